"""One measurement as it is keyed: ``.`` is "and", ``/`` is "over", ``..`` is "foot".

53.5/8      fifty-three and five eighths       11..        eleven foot
.5/8  5/8   five eighths                       11..4.3/8   eleven foot four and three eighths
53          fifty-three                        11...3/8    eleven foot and three eighths
"""

from __future__ import annotations

import re
from fractions import Fraction

from assistant.errors import Slip
from assistant.keypad.spoken import fraction, start, whole
from assistant.language.requests import Measure
from assistant.layout.limits import LONGEST
from assistant.length import INCHES_PER_FOOT, Length
from assistant.tape import Form

__all__ = ["can_be", "read", "words"]

_DIGITS = 6
"""The most digits of one number: a thousand feet is five digits of inches. More is a key stuck down."""
_SIZE = re.compile(
    rf"""(?:(?P<feet>\d{{1,{_DIGITS}}})\.\.)?
    (?P<whole>\d{{0,{_DIGITS}}})
    (?:(?P<dot>\.)(?P<top>\d{{0,{_DIGITS}}}))?
    (?:(?P<over>(?<=\d)/)(?P<bottom>\d{{0,{_DIGITS}}}))?""",
    re.VERBOSE | re.ASCII,
)
_FINEST = 64
"""The most parts of an inch that anyone counts. A top as big as this is no reading of a tape: "53.75"."""


def can_be(text: str) -> bool:
    """Whether these keys are a measurement, or the beginning of one."""
    return _SIZE.fullmatch(text) is not None


def words(text: str) -> str:
    """The measurement as far as it is keyed, in words.

    >>> words("11..4.3/8")
    'eleven foot four and three eighths'
    >>> words("53."), words("53.5/"), words(".5/8")
    ('fifty-three and', 'fifty-three and five over', 'five eighths')
    """
    found = _SIZE.fullmatch(text)
    assert found is not None
    said = [f"{whole(found['feet'])} foot"] if found["feet"] else []
    top, bottom = found["top"], found["bottom"]
    if found["over"] and not found["dot"]:
        top = found["whole"]
    elif found["whole"]:
        said.append(whole(found["whole"]))
    if found["dot"] and (said or not top):
        said.append("and")
    if top:
        said.append(fraction(top, bottom) if bottom else whole(top))
    if found["over"] and not bottom:
        said.append("over")
    return " ".join(said)


def read(text: str) -> Measure:
    """The measurement; its ``missing`` is set where only the bottom of the fraction is still to come.

    Raises:
        Slip: where no tape reads so. The sentence says what to key.
    """
    found = _SIZE.fullmatch(text)
    if not found or not (found["feet"] or found["whole"] or found["top"]):
        raise Slip("There is no measurement yet. Key the inches.")
    inches, top, bottom = found["whole"], found["top"], found["bottom"]
    if found["dot"] and not top:
        raise Slip(f"{start(words(text))} what? Key the fraction, or take back the dot.")
    if found["over"] and not found["dot"]:
        inches, top = "", inches
    if found["feet"] and int(inches or 0) >= INCHES_PER_FOOT:
        raise Slip(f"{start(whole(inches))} inches is a foot or more. Key the feet and the inches again.")
    missing = None
    size = Length(INCHES_PER_FOOT * int(found["feet"] or 0) + int(inches or 0))
    if top and bottom:
        size += _fraction(top, bottom)
    elif top and int(top):  # nothing over anything is nothing
        missing = int(top)
        if missing >= _FINEST:
            raise Slip(f"{start(whole(top))} what? Key over, and the bottom number.")
    if size > LONGEST:
        raise Slip("That is over a thousand feet. Take back a key.")
    return Measure(size, form=Form.FEET if found["feet"] else Form.INCHES, missing=missing)


def _fraction(top: str, bottom: str) -> Length:
    if not int(bottom):
        raise Slip("Nothing goes over zero. Take it back, and key the bottom number.")
    if int(top) >= int(bottom):
        raise Slip(f"{start(fraction(top, bottom))} is an inch or more. Key the whole inches first.")
    return Length(Fraction(int(top), int(bottom)))
