"""Sentences as they are said at the bench, with the answer a person there would give. Values are computed with exact
fractions or to 40 digits outside this project, unless a published source stands beside them."""

from __future__ import annotations

from fractions import Fraction

import pytest

from assistant.language.grammar import load_english
from assistant.language.understand import understand
from assistant.length import Length
from tests.session.bench import Bench

ENGLISH = load_english()


def answers(said):
    bench = Bench()
    heard, outcome = understand(ENGLISH, said, bench.session.expecting)
    answer = bench.hear(outcome, heard)
    assert answer.status == "answer", answer.say
    return answer


@pytest.mark.parametrize(
    ("said", "values"),
    [
        ("center of one oh six and three quarters", {"center": "53 3/8"}),
        ("ninety six and a quarter less three eighths and an eighth each end", {"left": "95 1/4"}),
        ("gage five and a half on center of eight", {"near line": "1 1/4", "far line": "6 3/4"}),  # W8x31, AISC v16.0
        ("gage three and a half about the center of 6.49", {"near line": "1.495", "far line": "4.995"}),  # W12x26
        # Carpenters Guide, "To square a foundation": 6-8-10.
        ("diagonal of six foot by eight foot", {"diagonal": "10'"}),
        ("three four five in forty by forty nine", {"up": "36", "over": "48", "across": "60"}),
        ("corner three foot by four foot across five foot", {"across when square": "5'"}),
        ("eight holes on a nine and five eighths circle straddling", {"radius": "4 13/16"}),
        ("miter six inch pipe two piece ninety", {"cut-back": "6 5/8", "half the cut-back": "3 5/16"}),
        # NAVEDTRA 14251, figures 3-46 to 3-48: half the cut-back each side of the base line.
        ("offset ten at thirty degrees", {"travel": "20"}),
        # Butt-weld elbows of ASME B16.9 (from memory), NPS 4 of 45 degrees also in a published table: 64 mm.
        ("elbow four inch pipe forty five degrees", {"take-off": "2 1/2"}),
        ("elbow six inch pipe ninety", {"take-off": "9"}),
        # Hatfield, American House Carpenter, article 518: radius 75, chord 120, rise 30.
        ("radius chord ten foot rise thirty", {"radius": "75"}),
        ("chord one twenty radius seventy five", {"rise": "30"}),
        ("camber three quarters in twenty foot", {"middle": "3/4", "quarter": "9/16"}),
        ("thirty inches in twelve parts", {"part": "2 1/2"}),
        # 29 CFR 1910.217 table O-10.
        ("guard opening six", {"opening": "3/4"}),
    ],
)
def test_the_answer_is_exact(said, values):
    shown = {value.name: Fraction(value.exact) for value in reversed(answers(said).values)}
    assert {name: shown.get(name) for name in values} == {n: Length(text).inches for n, text in values.items()}


@pytest.mark.parametrize(
    ("said", "name", "printed"),
    [
        # Cyclopedia of Carpentry, "The Steel Square".
        ("brace thirty six by thirty six", "brace", "50.91"),
        ("brace forty two by forty two", "brace", "59.40"),
        ("diagonal of six by twelve", "diagonal", "13.42"),  # encyclopedia text on the steel square
        ("diagonal of sixty foot by one hundred foot", "diagonal", "1399.43"),  # 116.619 ft
        # plumbinghelp.com/rolling-offset-formula, for a set of a hundred.
        ("offset one hundred at sixty degrees", "travel", "115.5"),
        ("offset one hundred at sixty degrees", "run", "57.7"),
        ("offset one hundred at forty five degrees", "travel", "141.4"),
        ("offset one hundred at twenty two and a half degrees", "travel", "261.3"),
        ("offset one hundred at twenty two and a half degrees", "run", "241.4"),
        # shopswarf.orcon.net.nz/spacing.html: the chord of so many holes on a circle of a hundred.
        ("three holes on a one hundred inch circle straddling", "chord", "86.60"),
        ("six holes on a one hundred inch circle straddling", "chord", "50.00"),
        ("twelve holes on a one hundred inch circle straddling", "chord", "25.88"),
        ("twenty holes on a one hundred inch circle straddling", "chord", "15.64"),
        # π(60 + 1): iforgeiron.com thread 20367, against the smith's rule.
        ("ring five foot inside one inch bar", "cut", "191.637"),
        ("around six inch pipe", "around", "20.813"),
        # AISC Shapes Database v16.0.
        ("weigh eight by thirty one beam one foot long", "each", "31.0"),
        ("weigh ten by fifteen point three channel one foot long", "each", "15.3"),
        ("weigh four by four by three eighths angle one foot long", "each", "9.8"),
        ("weigh six by four quarter tube one foot long", "each", "15.62"),
        # Craftsman Cribsheet 106: an inch of plate 40.8 lb a square foot, inch round 32.04 lb for twelve foot.
        ("weigh one foot by one foot by one inch plate", "each", "40.8"),
        ("weigh one inch round twelve foot long", "each", "32.04"),
        ("weigh one by one flat twelve foot long", "each", "40.80"),
        ("weigh one inch square bar twelve foot long", "each", "40.80"),
        # Manufacturers' Standard Gauge, from memory: 16 is 0.0598 in, 11 is 0.1196; by the 40.8 above.
        ("weigh one foot by one foot sixteen gage sheet", "each", "2.44"),
        ("weigh one foot by one foot eleven gage sheet", "each", "4.88"),
        # 2 x 2 tube of 11 gauge, 0.120 in (Birmingham): 3.4 x 4 x 1.88 x 0.12, by hand.
        ("weigh two inch eleven gage square tube one foot", "each", "3.07"),
        # ASME B36.10M standard weight, as AISC Shapes Database v16.0 prints it.
        ("weigh six inch pipe standard one foot long", "each", "19.0"),
        ("weigh two inch pipe one foot long schedule forty", "each", "3.66"),
        ("weigh one inch hex one foot long", "each", "2.9445"),
        # The same sheet: aluminum 0.346, brass 1.08 of steel.
        ("weigh aluminum one foot by one foot by one inch plate", "each", "14.117"),
        ("weigh brass one by one flat twelve foot long", "each", "44.064"),
        ("weigh brass one inch hex one foot long", "each", "3.180"),
        # A pipe's rule on a round tube: 10.69 (2 - 1/8) 1/8, from memory.
        ("weigh two inch round tube eighth wall one foot long", "each", "2.505"),
        # 0.10 of the weld's area by the thickness: Lincoln's Procedure Handbook and Blodgett, cited in a method
        # statement. 1/8 in open, 60 degrees in 3/8 in: 0.10 (1/8 + 3/8 tan 30).
        ("weld shrinkage three eighths plate eighth opening sixty degrees", "shrinkage", "0.03415"),
        # 20 ft, 30 degrees Fahrenheit: AISC coefficient (from memory).
        ("growth of twenty foot thirty degrees", "growth", "0.0468"),
        ("bevel of twenty two and a half degrees", "in twelve off level", "4.97"),
    ],
)
def test_the_answer_is_the_printed_one(said, name, printed):
    value = next(v for v in answers(said).values if v.name == name)
    places = len(printed.partition(".")[2])
    assert abs(Fraction(value.exact) - Fraction(printed)) <= Fraction(6, 10 ** (places + 1)), value.exact
