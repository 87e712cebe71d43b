"""Measurements as they come off a tape, and some that do not."""

from fractions import Fraction

from hypothesis import strategies as st

from assistant.language.requests import Measure
from assistant.length import Length
from assistant.tape import Form

#: Off a tape (binary fractions), off paper (thirds, fifths, thousandths), off a metric tape.
BOTTOMS = st.sampled_from([1, 2, 4, 8, 16, 32, 64, 3, 5, 6, 7, 10, 100, 1000, 127])
FORMS = st.sampled_from(list(Form))


@st.composite
def lengths(draw, most: int = 12000) -> Length:
    bottom = draw(BOTTOMS)
    return Length(Fraction(draw(st.integers(0, most * bottom)), bottom))


@st.composite
def measures(draw, most: int = 12000) -> Measure:
    return Measure(draw(lengths(most)), lean=Fraction(draw(st.integers(-2, 2))), form=draw(FORMS))
