"""What the trade tasks are called and how their sizes are told apart. Every way here is common practice, no
published source; the grammar and the table of tasks are held against each other."""
# ruff: noqa: E501  # one saying a line

from fractions import Fraction

import pytest

from assistant.language.grammar import children, load_english
from assistant.language.jsgf import Tagged
from assistant.language.requests import PIECE, AskEngineer, Choose, Degrees, Measure, Named, Recall, Task, Turn
from assistant.language.task_meaning import badness
from assistant.language.tasks import HEADS, TASKS, Wanted, filled_in, missing, next_asked
from assistant.language.understand import understand
from assistant.language.understanding import Impossible, NotUnderstood, Unclear, Understood
from assistant.length import Length

ENGLISH = load_english()


def outcome(text):
    return understand(ENGLISH, text)[1]


def plain(task):
    """A task as a table can hold it: lengths as text, the rest as they are."""
    return task.kind, {n: str(v.length) if isinstance(v, Measure) else v for n, v in task.given}


SAID = [
    ("equal spaces", "spaces", {}),
    ("spaces", "spaces", {}),
    ("lay out some spaces", "spaces", {}),
    ("seven equal spaces in four foot two", "spaces", {"whole": "50", "count": 7}),
    ("spaces no more than 12 in 58 7/16", "spaces", {"whole": "58 7/16", "most": "12"}),
    ("six holes in 55 1/2, an inch and a quarter from each end", "holes", {"whole": "55 1/2", "holes": 6, "each end": "1 1/4"}),
    ("six holes in 55 1/2 two from one end three from the other", "holes", {"whole": "55 1/2", "holes": 6, "one end": "2", "other end": "3"}),
    # "Sixteenths: two" is an eighth, but not right after a number.
    ("six holes in forty five sixteenths two at each end", "holes", {"whole": "40 5/16", "holes": 6, "each end": "2"}),
    ("holes in sixty at sixteen", "holes", {"whole": "60", "spacing": "16"}),
    ("six holes in it", "holes", {"whole": PIECE, "holes": 6}),
    ("six holes in the rail", "holes", {"whole": Named("rail"), "holes": 6}),
    ("pickets in 78 7/8, three-quarter bar, no more than four inch gap", "pickets", {"clear": "78 7/8", "bar": "3/4", "most": "4"}),
    ("pickets in 78 7/8 bar a half gap under four", "pickets", {"clear": "78 7/8", "bar": "1/2", "most": "4", "strict": "yes"}),
    ("twelve pickets in 52 31/32 half inch bar", "pickets", {"clear": "52 31/32", "bar": "1/2", "count": 12}),
    ("gage five and a half on center of eight", "gage", {"gage": "5 1/2", "width": "8"}),
    ("four holes at three about the center of twenty", "row", {"along": "20", "holes": 4, "pitch": "3", "first": ""}),
    ("four holes at three about the center", "row", {"along": PIECE, "holes": 4, "pitch": "3", "first": ""}),
    ("diagonal of fifty and a half by 163 3/4", "diagonal", {"one side": "50 1/2", "other side": "163 3/4"}),
    (
        "square 163 3/4 by 50 1/2 got 171 1/2 and 171 1/4",
        "square",
        {"long": "163 3/4", "short": "50 1/2", "first": "171 1/2", "second": "171 1/4"},
    ),
    ("square", "square", {}),
    ("square up 163 3/4 by 50 1/2", "square", {"long": "163 3/4", "short": "50 1/2"}),
    ("three four five in sixty by forty-eight", "three four five", {"one side": "60", "other side": "48"}),
    ("corner three by two by a quarter angle", "cope", {"leg": "3", "other leg": "2", "thickness": "1/4"}),
    ("check corner three by three quarter angle", "cope", {"leg": "3", "other leg": "3", "thickness": "1/4"}),
    ("corner 36 by 48 across 60", "corner", {"one side": "36", "other side": "48", "across": "60"}),
    ("brace thirty-six by forty-eight", "brace", {"rise": "36", "run": "48"}),
    ("rise 46 1/2 run 78 7/8", "brace", {"rise": "46 1/2", "run": "78 7/8"}),
    ("six holes in 84 3/8 with 2 1/4 from each end", "holes", {"whole": "84 3/8", "holes": 6, "each end": "2 1/4"}),
    ("five holes in 61 1/2 with 2 1/4 at the ends", "holes", {"whole": "61 1/2", "holes": 5, "each end": "2 1/4"}),
    ("five holes in 61 1/2, 2 1/4 at each end", "holes", {"whole": "61 1/2", "holes": 5, "each end": "2 1/4"}),
    ("six holes evenly spaced in 84 3/8 with 2 1/4 from each end", "holes", {"whole": "84 3/8", "holes": 6, "each end": "2 1/4"}),
    ("seven holes equally spaced in 61 1/2", "holes", {"whole": "61 1/2", "holes": 7}),
    ("seven holes, equal spaces, in 61 1/2", "holes", {"whole": "61 1/2", "holes": 7}),
    ("evenly space six holes in 84 3/8", "holes", {"whole": "84 3/8", "holes": 6}),
    ("space six holes evenly in 84 3/8", "holes", {"whole": "84 3/8", "holes": 6}),
    ("bend quarter plate, three by two, with quarter radius", "bend", {"thickness": "1/4", "first leg": "3", "second leg": "2", "radius": "1/4"}),
    ("bend quarter plate three by two eighth radius", "bend", {"thickness": "1/4", "first leg": "3", "second leg": "2", "radius": "1/8"}),
    ("rise 46 1/2 brace 91 1/2", "brace", {"rise": "46 1/2", "length": "91 1/2"}),
    ("a brace", "brace", {}),
    ("bevel two in twelve", "bevel", {"rise": "2", "run": "12"}),
    ("bevel of 45 degrees", "bevel of angle", {"angle": 45}),
    ("eight holes on a nine and five eighths circle", "bolt circle", {"circle": "9 5/8", "holes": 8}),
    ("bolt circle 9 5/8 eight holes straddling", "bolt circle", {"circle": "9 5/8", "holes": 8, "straddle": "straddle"}),
    ("chord for eight holes on a 9 5/8 circle", "bolt circle", {"circle": "9 5/8", "holes": 8}),
    ("miter two long point 13 foot 7 3/4", "miter", {"width": "2", "long": "163 3/4"}),
    ("miter two piece ninety", "pipe miter", {"pieces": 2, "turn": 90}),
    ("miter six inch pipe two piece ninety", "pipe miter", {"pipe": "6", "pieces": 2, "turn": 90}),
    ("around six inch pipe", "around pipe", {"pipe": "6"}),
    ("around 6 5/8", "around", {"outside": "6 5/8"}),
    ("circumference of 6 5/8", "around", {"outside": "6 5/8"}),
    ("circumference of six inch pipe", "around pipe", {"pipe": "6"}),
    ("wrap for six inch pipe", "around pipe", {"pipe": "6"}),
    ("quarter points", "around pipe", {}),
    ("saddle four on six", "saddle", {"branch": "4", "header": "6"}),
    ("saddle four on six at sixty degrees", "saddle", {"branch": "4", "header": "6", "degrees": 60}),
    ("offset twelve", "offset", {"rise": "12"}),
    ("offset twelve at forty-five", "offset", {"rise": "12", "fitting": 45}),
    ("rolling offset 12 up 18 over, forty-five", "rolling offset", {"rise": "12", "roll": "18", "fitting": 45}),
    (
        "rolling offset 12 up 18 over 45 degrees take off 6 1/4 gap an eighth",
        "rolling offset",
        {"rise": "12", "roll": "18", "fitting": 45, "take-off": "6 1/4", "gap": "1/8"},
    ),
    ("bend quarter plate, three by two, quarter radius", "bend", {"thickness": "1/4", "first leg": "3", "second leg": "2", "radius": "1/4"}),
    ("ring 24 1/8 inside, quarter bar", "ring", {"inside": "24 1/8", "bar": "1/4"}),
    ("radius, chord ten foot rise thirty", "arc", {"chord": "120", "rise": "30"}),
    ("radius of a 120 chord thirty rise", "arc", {"chord": "120", "rise": "30"}),
    ("chord 120 radius 75", "arc", {"chord": "120", "radius": "75"}),
    ("rise thirty radius 75", "arc", {"rise": "30", "radius": "75"}),
    ("camber three quarters in forty foot", "camber", {"middle": "3/4", "length": "480"}),
    ("stairs, rise 9 foot 4 1/8", "stairs", {"rise": "112 1/8"}),
    ("stairs rise 112 1/8 tread 10 industrial", "stairs", {"rise": "112 1/8", "tread": "10", "rule": "industrial"}),
    ("stringer marks rise 112 1/8 tread 10 fourteen risers", "stringer", {"rise": "112 1/8", "tread": "10", "risers": 14}),
    ("weigh four foot by eight foot by quarter plate", "weigh plate", {"length": "48", "width": "96", "thickness": "1/4"}),
    ("weigh two inch tube quarter wall 20 foot long", "weigh tube", {"side": "2", "wall": "1/4", "length": "240"}),
    ("what does quarter plate four foot by eight foot weigh", "weigh plate", {"length": "48", "width": "96", "thickness": "1/4"}),
    ("weigh four by four quarter tube 20 foot long", "weigh tube", {"side": "4", "other side": "4", "wall": "1/4", "length": "240"}),
    ("weigh three by half flat ten foot long", "weigh flat", {"width": "3", "thickness": "1/2", "length": "120"}),
    ("weigh two by two by quarter angle 20 foot long", "weigh angle", {"leg": "2", "other leg": "2", "thickness": "1/4", "length": "240"}),
    ("weigh eight by ten beam 20 foot long", "weigh beam", {"depth": "8", "pounds": "10", "length": "240"}),
    ("weigh four by five point four channel ten foot long", "weigh channel", {"depth": "4", "pounds": "5 2/5", "length": "120"}),
    ("sticks twenty foot kerf an eighth trim a half", "sticks", {"stock": "240", "kerf": "1/8", "trim": "1/2"}),
    ("cut four at five foot eleven and seven eighths", "cut", {"count": 4, "cut": "71 7/8"}),
    ("nest", "nest", {}),
    ("three sticks of twenty foot", "sticks", {"stock": "240", "sticks": 3}),
    ("sticks twenty foot three of them", "sticks", {"stock": "240", "sticks": 3}),
    ("only three of the twenty foot", "sticks", {"stock": "240", "sticks": 3}),
    ("offcuts over two foot", "useful drop", {"useful": "24"}),
    ("two offcuts of fifty", "offcuts", {"stock": "50", "sticks": 2}),
    ("kerf an eighth", "kerf", {"kerf": "1/8"}),
    ("kerf", "kerf", {}),
    ("five at 18 3/8 with kerf", "with kerf", {"length": "18 3/8", "count": 5}),
    ("five times 18 3/8 with the kerf", "with kerf", {"length": "18 3/8", "count": 5}),
    ("k factor point four two", "k", {"k": Fraction("0.42")}),
    ("ring 24 5/8 outside, quarter bar", "ring", {"outside": "24 5/8", "bar": "1/4"}),
    ("bevel 2 1/4 in 12 across 6", "bevel cut", {"rise": "2 1/4", "run": "12", "depth": "6"}),
    ("bevel cut 2 1/4 in 12 on 6 long point 40", "bevel cut", {"rise": "2 1/4", "run": "12", "depth": "6", "long": "40"}),
    ("elbow six inch pipe ninety", "elbow", {"pipe": "6", "angle": 90}),
    ("elbow take off four inch pipe 45 degrees", "elbow", {"pipe": "4", "angle": 45}),
    ("offset twelve at forty-five on four inch pipe", "offset", {"rise": "12", "fitting": 45, "pipe": "4"}),
    (
        "grid four by three at three by two on twelve by ten",
        "grid",
        {"columns": 4, "rows": 3, "pitch": "3", "gage": "2", "along": "12", "width": "10"},
    ),
    ("pipe miter", "pipe miter", {}),
    ("miter six inch pipe five piece ninety", "pipe miter", {"pipe": "6", "pieces": 5, "turn": 90}),
    ("saddle four on six inside schedule 80", "saddle", {"branch": "4", "header": "6", "fit": "inside", "schedule": 80}),
    ("pickets in 60 half inch bar no more than 4 gap center marks", "pickets", {"clear": "60", "bar": "1/2", "most": "4", "marks": "centers"}),
    ("pickets in 60 half inch bar no more than 4 gap rising 30 in 40", "pickets", {"clear": "60", "bar": "1/2", "most": "4", "rail rise": "30", "rail run": "40"}),
    ("miter two at 120 degrees long point 50 one end", "miter", {"width": "2", "long": "50", "corner": 120, "ends": "one end"}),
    ("bend quarter plate, three by two, quarter radius, stainless", "bend", {"thickness": "1/4", "first leg": "3", "second leg": "2", "radius": "1/4", "material": "stainless"}),
    ("bend quarter plate, three by two, quarter radius, ninety degrees, the Navy rule", "bend", {"thickness": "1/4", "first leg": "3", "second leg": "2", "radius": "1/4", "degrees": 90, "material": "navy"}),
    ("bolt circle 9 5/8 eight holes on the line", "bolt circle", {"circle": "9 5/8", "holes": 8, "straddle": "on the line"}),
    ("chord for eight on nine and five eighths", "bolt circle", {"circle": "9 5/8", "holes": 8}),
    ("miter two inch tube long point 50 ninety degrees both ends", "miter", {"width": "2", "long": "50", "corner": 90, "ends": "both ends"}),
    ("miter two short point 46 1/2 one end", "miter", {"width": "2", "short": "46 1/2", "ends": "one end"}),
    ("fish mouth four on six", "saddle", {"branch": "4", "header": "6"}),
    ("how many pickets in 60", "pickets", {"clear": "60"}),
    ("what's my diagonal 58 1/2 by 34", "diagonal", {"one side": "58 1/2", "other side": "34"}),
    ("how far out am i", "square", {}),
    ("square it up", "square", {}),
    ("brace for 36 by 48", "brace", {"rise": "36", "run": "48"}),
    ("gage 5 1/2 about center of eight", "gage", {"gage": "5 1/2", "width": "8"}),
    ("three and a half on twelve", "bevel", {"rise": "3 1/2", "run": "12"}),
    (
        "grid four by three at three by two on twelve by ten about the center",
        "grid",
        {"columns": 4, "rows": 3, "pitch": "3", "gage": "2", "along": "12", "width": "10", "end": "", "edge": ""},
    ),
    ("gage of 8 by 31 beam", "gage of beam", {"depth": "8", "pounds": "31"}),
    ("gage of 10 by 15.3 channel", "gage of channel", {"depth": "10", "pounds": "15 3/10"}),
    ("gage of three inch angle", "gage of angle", {"leg": "3"}),
    ("eleven gage steel", "gauge", {"number": 11, "of": "steel"}),
    ("what's eleven gauge tube", "gauge", {"number": 11, "of": "tube wall"}),
    ("sixteen gage aluminum sheet", "gauge", {"number": 16, "of": "aluminum"}),
    ("ring sixty inside two by two quarter angle leg out", "ring of angle", {"inside": "60", "leg": "2", "other leg": "2", "thickness": "1/4", "way": "leg out"}),
    ("ring sixty outside 4 by 5.4 channel leg in", "ring of channel", {"outside": "60", "depth": "4", "pounds": "5 2/5", "way": "leg in"}),
    ("kick of six at thirty degrees", "offset", {"rise": "6", "fitting": 30}),
    ("six bolts on a seven and a half inch circle", "bolt circle", {"circle": "7 1/2", "holes": 6}),
    ("holes not over twelve apart in 58 7/16", "holes", {"whole": "58 7/16", "most": "12"}),
    ("holes every four in fifty", "holes", {"whole": "50", "spacing": "4"}),
    ("how many risers in nine foot four", "stairs", {"rise": "112"}),
    ("weigh a two inch schedule forty pipe twenty one foot", "weigh pipe", {"pipe": "2", "schedule": 40, "length": "252"}),
    ("miter a two inch tube ninety degrees one end", "miter", {"width": "2", "corner": 90, "ends": "one end"}),
    ("how heavy is a quarter plate four foot by eight foot", "weigh plate", {"length": "48", "width": "96", "thickness": "1/4"}),
    ("bend quarter plate three by two by two quarter radius", "bend", {"thickness": "1/4", "first leg": "3", "second leg": "2", "more legs": "2", "radius": "1/4"}),
    ("weld shrinkage 3/8 plate 1/8 opening sixty degrees", "shrinkage", {"thickness": "3/8", "opening": "1/8", "groove": 60}),
    ("growth of twenty foot thirty degrees", "growth", {"length": "240", "hotter": 30}),
    ("weigh two by two quarter angle twenty foot", "weigh angle", {"leg": "2", "other leg": "2", "thickness": "1/4", "length": "240"}),
    ("weigh two by two angle twenty foot", "weigh angle", {"leg": "2", "other leg": "2", "length": "240"}),
    ("weigh quarter sheet four foot by eight foot", "weigh plate", {"length": "48", "width": "96", "thickness": "1/4"}),
    ("weigh aluminum quarter plate four foot by eight foot", "weigh plate", {"length": "48", "width": "96", "thickness": "1/4", "metal": "aluminum"}),
    ("weigh brass one inch hex twelve foot long", "weigh hex", {"flats": "1", "length": "144", "metal": "brass"}),
    ("weigh two inch round tube eighth wall ten foot", "weigh round tube", {"outside": "2", "wall": "1/8", "length": "120"}),
    ("weigh stainless half inch round twenty foot", "weigh round", {"diameter": "1/2", "length": "240", "metal": "stainless"}),
    ("guard opening at six", "guard opening", {"distance": "6"}),
    ("how many pieces at 22 1/2 in twenty foot", "how many", {"length": "22 1/2", "stick": "240"}),
    ("how many at 22 1/2 out of twenty foot kerf an eighth", "how many", {"length": "22 1/2", "stick": "240", "kerf": "1/8"}),
    ("how many 22 inch pieces out of a twenty foot", "how many", {"length": "22", "stick": "240"}),
    ("weigh two inch square tubing quarter wall 20 foot long", "weigh tube", {"side": "2", "other side": "2", "wall": "1/4", "length": "240"}),
    ("what does a two inch square tube quarter wall ten foot weigh", "weigh tube", {"side": "2", "other side": "2", "wall": "1/4", "length": "120"}),
    ("weigh three by two rectangular tubing quarter wall ten foot", "weigh tube", {"side": "3", "other side": "2", "wall": "1/4", "length": "120"}),
    ("weigh two by two by quarter angle iron 20 foot", "weigh angle", {"leg": "2", "other leg": "2", "thickness": "1/4", "length": "240"}),
    ("weigh two inch quarter angle 20 foot", "weigh angle", {"leg": "2", "other leg": "2", "thickness": "1/4", "length": "240"}),
    ("weigh two inch angle quarter thick 20 foot", "weigh angle", {"leg": "2", "other leg": "2", "thickness": "1/4", "length": "240"}),
    ("ring sixty inside two inch quarter angle leg in", "ring of angle", {"inside": "60", "leg": "2", "other leg": "2", "thickness": "1/4", "way": "leg in"}),
    ("weigh 1 1/2 schedule forty ten foot", "weigh pipe", {"pipe": "1 1/2", "schedule": 40, "length": "120"}),
    ("circumference of a six inch circle", "around", {"outside": "6"}),
    ("mark six holes in sixty", "holes", {"whole": "60", "holes": 6}),
    ("square this up", "square", {}),
    ("weigh three inch flat bar quarter thick ten foot long", "weigh flat", {"width": "3", "thickness": "1/4", "length": "120"}),
    ("weigh half inch square bar 20 foot", "weigh square", {"side": "1/2", "length": "240"}),
    ("weigh half inch rod 20 foot", "weigh round", {"diameter": "1/2", "length": "240"}),
    ("weigh eight by ten i beam 20 foot", "weigh beam", {"depth": "8", "pounds": "10", "length": "240"}),
    ("weigh eight by 31 wide flange 20 foot", "weigh beam", {"depth": "8", "pounds": "31", "length": "240"}),
    ("pickets in 60 half inch square bar no more than 4 gap", "pickets", {"clear": "60", "bar": "1/2", "most": "4"}),
    ("miter two inch square tube ninety degrees both ends", "miter", {"width": "2", "corner": 90, "ends": "both ends"}),
    ("holes on sixteen inch centers in 96", "holes", {"whole": "96", "spacing": "16"}),
    ("holes at sixteen inch centers in 96", "holes", {"whole": "96", "spacing": "16"}),
    ("cut five pieces at 18 3/8", "cut", {"count": 5, "cut": "18 3/8"}),
    ("slope of 2 1/8 in twelve", "bevel", {"rise": "2 1/8", "run": "12"}),
    ("check for square", "square", {}),
    ("check square forty by sixty", "square", {"long": "40", "short": "60"}),
    ("mark every sixteen inches in ten foot", "spaces", {"whole": "120", "spacing": "16"}),
    ("every sixteen in ten foot", "spaces", {"whole": "120", "spacing": "16"}),
    ("quarter points on a six inch pipe", "around pipe", {"pipe": "6"}),
    ("how thick is eleven gauge", "gauge", {"number": 11}),
    ("how many steps in nine foot four", "stairs", {"rise": "112"}),
    ("check sixty and a sixteenth", "check", {"cut": "60 1/16"}),
    ("burn an inch", "burn", {"inch": "1"}),
    ("stop burning", "burn", {"inch": "0"}),
]  # fmt: skip


def test_a_thickness_is_said_by_its_gauge():
    """By hand from the table's own header: ounces a square foot by pounds for an inch, and Birmingham's 0.120."""
    sheet = Measure(Length(Fraction(80, 16) / Fraction("41.82")))
    stainless = Measure(Length(Fraction(40, 16) / 40))
    for said, name, thick in [
        ("weigh eleven gage sheet four foot by eight foot", "thickness", sheet),
        ("weigh four foot by eight foot eleven gage sheet", "thickness", sheet),
        ("weigh stainless sixteen gage sheet four foot by eight foot", "thickness", stainless),
        ("bend eleven gage plate three by two eighth radius", "thickness", sheet),
        ("weigh two inch eleven gage square tube 20 foot", "wall", Measure(Length("0.12"))),
        ("weigh two by two tubing eleven gage wall 20 foot", "wall", Measure(Length("0.12"))),
    ]:
        assert dict(outcome(said).request.given)[name] == thick, said


@pytest.mark.parametrize(
    ("said", "sentence"),
    [
        ("weigh brass sixteen gage sheet four foot by eight foot", "I have no gauges of brass. Say the thickness."),
        (
            "weigh forty gage sheet four foot by eight foot",
            "I have no 40 gauge in my table. It runs from 7 to 30. Say the thickness.",
        ),
    ],
)
def test_a_gauge_that_there_is_not_is_refused(said, sentence):
    assert outcome(said) == Impossible(sentence)


@pytest.mark.parametrize(("said", "kind", "given"), SAID)
def test_a_task_is_understood(said, kind, given):
    found = outcome(said)
    assert isinstance(found, Understood), found
    assert plain(found.request) == (kind, given)


@pytest.mark.parametrize(("said", "kind", "given"), SAID)
def test_what_is_said_is_never_lost_or_moved(said, kind, given):
    """The size a task was given for each slot is one a person said: none is left over and none made up."""
    request = outcome(said).request
    assert badness(request)[1:3] == (0, 0)  # nothing half heard, and no word of the task taken for a lean
    assert [name for name, _ in request.given] == [s.name for s in TASKS[kind].slots if s.name in given]


@pytest.mark.parametrize(
    "said",
    [
        "square 40 by 30 by 20",
        "diagonal of six",
        "bend by by",
        "six stairs",
        "weigh ten foot",
        "pickets in 60 on a circle",
        "gage 5 from each end",
        "saddle 4 on 6 on 8",
        "six equal spaces in sixty at ten",
        "chord ten rise two radius seven",
    ],
)
def test_what_does_not_go_together_is_not_a_task(said):
    found = outcome(said)
    assert isinstance(found, NotUnderstood) or (isinstance(found, Understood) and missing(found.request)), found


@pytest.mark.parametrize("said", ["diagonal of six by eight foot", "weigh four by eight foot quarter plate"])
def test_feet_said_once_may_be_meant_for_both(said):
    found = outcome(said)
    assert isinstance(found, Unclear)
    first = [next(iter(plain(choice.request)[1].values())) for choice in found.choices]
    assert Length(first[0]) * 12 == Length(first[1])
    assert isinstance(outcome("diagonal of six and a half by eight foot"), Understood)
    assert isinstance(outcome("diagonal of six foot by eight foot"), Understood)


@pytest.mark.parametrize("degrees", [" degrees", ""])
def test_a_miter_may_be_said_by_its_corner_or_by_the_saw(degrees):
    """A corner of ninety is cut at forty-five, and either number is said."""
    found = outcome(f"miter four at forty five{degrees}")
    assert isinstance(found, Unclear)
    assert [plain(choice.request)[1] for choice in found.choices] == [
        {"width": "4", "corner": 45},
        {"width": "4", "saw": 45},
    ]
    assert isinstance(outcome(f"miter four at ninety{degrees}"), Understood)
    assert plain(outcome(f"miter two inch tube ninety{degrees} both ends").request) == (
        "miter",
        {"width": "2", "corner": 90, "ends": "both ends"},
    )


def test_a_sheet_may_be_feet_or_inches():
    """Four by eight foot is the sheet a yard sells; four by eight inches is a base plate. Nothing tells them apart."""
    found = outcome("weigh four by eight quarter plate")
    assert isinstance(found, Unclear)
    assert [plain(choice.request)[1]["length"] for choice in found.choices] == ["4", "48"]
    assert isinstance(outcome("weigh ten by ten half plate"), Understood)


def test_sizes_that_run_together_two_ways_are_asked_about():
    found = outcome("pickets in seventy eight three quarter bar no more than four inch gap")
    assert isinstance(found, Unclear)
    assert len({choice.request for choice in found.choices}) == len(found.choices) > 1
    assert {plain(choice.request)[1]["bar"] for choice in found.choices} >= {"3/4", "8 3/4"}


@pytest.mark.parametrize(
    "word", sorted({word for row in TASKS.values() for slot in row.slots for word in slot.choices})
)
def test_every_choice_can_be_said_by_its_own_word(word):
    assert outcome(word) == Understood(Choose(word))


def test_what_is_not_a_task_stays_what_it_was():
    assert outcome("brace") == Understood(Recall("brace"))
    assert outcome("from the other end") == Understood(Turn())
    assert outcome("forty-five degrees") == Understood(Degrees(Fraction(45)))
    assert outcome("twenty-two and a half degrees") == Understood(Degrees(Fraction(45, 2)))


@pytest.mark.parametrize(
    "said",
    [
        "will it hold",
        "is it strong enough",
        "how much weight will it carry",
        "what size weld",
        "how big a beam do I need",
        "what size weld do I need",
        "how thick a plate do I need",
        "how much load can it take",
        "what's the load",
        "what pressure will it hold",
        "how much pressure can that take",
        "is it safe to lift",
        "can I lift it",
        "will that carry",
    ],
)
def test_what_only_an_engineer_may_answer(said):
    assert outcome(said) == Understood(AskEngineer())


# ---------------------------------------------------------------- the table


@pytest.mark.parametrize("row", TASKS.values(), ids=str)
def test_a_row_names_only_slots_it_has(row):
    names = {slot.name for slot in row.slots}
    words = [*row.before.values(), *row.after.values()]
    said = {name for value in words for name in value.split("|")} | {name for name, _ in row.alone.values()}
    said |= {name for left in row.leaving.values() for name in left}
    assert said | set(row.plain) | ({row.counted, row.piece} - {""}) <= names
    assert ({row.long, row.thinnest} - {""}) <= names
    assert {name for slot in row.slots for names in slot.unless for name in names} <= names
    assert {name for slot in row.slots if slot.only_if for name in slot.only_if[0].split("|")} <= names
    assert all(slot.choices for slot in row.slots if slot.wanted is Wanted.CHOICE and slot.ask)
    assert max(len(row.menu), *(len(slot.choices) for slot in row.slots)) <= 9  # a digit of the keypad picks


def test_every_head_and_word_of_the_grammar_is_known_to_a_row():
    rules = [rule for name, rule in ENGLISH.rules.items() if name.startswith("tasks.")]
    tags = {tag for rule in rules for tag in _tags(rule.body) if tag[0] in "#."}
    heads = {t for t in tags if t[0] == "#"}
    known = {
        w
        for row in TASKS.values()
        for w in (*row.before, *row.after, *row.alone, *row.leaving, *row.joining, *"|".join(row.must).split("|"))
        if w
    }
    assert heads == set(HEADS)
    said_by_heads = {word for head in HEADS.values() for word in head.words}
    assert (tags - heads - {".lead"}) | said_by_heads == known
    assert {word for head in HEADS.values() for word in head.words} <= known


def _tags(expansion):
    if isinstance(expansion, Tagged):
        yield expansion.tag
    for child in children(expansion):
        yield from _tags(child)


@pytest.mark.parametrize("row", [r for r in TASKS.values() if any(s.ask for s in r.slots) and not r.menu], ids=str)
def test_asked_one_by_one_a_task_comes_to_an_end(row):
    """Fill whatever is asked: everything needed is there in the end, and nothing is asked twice."""
    task, asked = Task(row.kind), []
    while (slot := next_asked(task, everything=True)) is not None:
        asked.append(slot.name)
        task = filled_in(task, slot.name, Measure(Length(1)))
    assert not missing(task)
    assert len(asked) == len(set(asked)) > 0
