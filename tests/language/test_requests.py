"""What can be asked, in the ways people ask it. Every way here is common practice, no published source."""

from fractions import Fraction

import pytest

from assistant.language.grammar import ROOTS, load_english
from assistant.language.requests import (
    PIECE,
    Add,
    AskEngineer,
    Attend,
    Attention,
    Center,
    Confirm,
    Convert,
    Correct,
    Denominator,
    Done,
    Explain,
    Help,
    Hold,
    Items,
    Keep,
    ListBoard,
    Manner,
    Measure,
    Named,
    NeverMind,
    Parts,
    Pick,
    Print,
    Recall,
    Scratch,
    SetFeet,
    SetPlus,
    SetTape,
    Share,
    Sheet,
    StartOver,
    StartString,
    Step,
    TakeOff,
    Times,
    Total,
    Turn,
    Walk,
)
from assistant.language.understand import complete, understand
from assistant.language.understanding import Impossible, NotUnderstood, Unclear, Understood
from assistant.length import Length
from assistant.tape import EIGHTHS, MILLIMETERS, SIXTEENTHS, THIRTY_SECONDS, Feet, Form

ENGLISH = load_english()


def m(text, form=Form.INCHES, lean=0):
    return Measure(Length(text), Fraction(lean), form)


def outcome(text, expecting="request"):
    return understand(ENGLISH, text, expecting)[1]


@pytest.mark.parametrize(
    ("said", "request_"),
    [
        ("center of fifty-three and five eighths", Center(m("53 5/8"))),
        ("the middle of 106 3/4", Center(m("106 3/4"))),
        ("centre of six foot four", Center(m("76", Form.FEET))),
        ("half of six and a half", Center(m("6 1/2"))),
        ("half, six and a half", Center(m("6 1/2"))),
        ("split 53 5/8", Center(m("53 5/8"))),
        ("split it", Center(PIECE)),
        ("middle", Center(PIECE)),
        ("center", Center(PIECE)),
        ("half of it", Center(PIECE)),
        ("cut it in half", Center(PIECE)),
        ("center of seven strong", Center(m("7", lean=1))),
        ("center of the leg", Center(Named("leg"))),
        ("third of fifty eight and a half", Share(m("58 1/2"), 1, 3)),
        ("a quarter of forty", Share(m("40"), 1, 4)),
        ("two fifths of 20", Share(m("20"), 2, 5)),
        ("58 1/2 in four parts", Parts(m("58 1/2"), 4)),
        ("divide 58 1/2 by seven", Parts(m("58 1/2"), 7)),
        ("divide 58 1/2 into seven equal spaces", Parts(m("58 1/2"), 7)),
        ("cut it into five", Parts(PIECE, 5)),
        ("five equal parts of ten foot", Parts(m("120", Form.FEET), 5)),
        ("in seven parts", Parts(PIECE, 7)),
        ("ten and a quarter plus three and five eighths", Add((m("10 1/4"), m("3 5/8")))),
        ("five and three sixteenths plus seven eighths", Add((m("5 3/16"), m("7/8")))),
        ("ten and a half and six and a quarter and two", Add((m("10 1/2"), m("6 1/4"), m("2")))),
        ("plus three sixteenths", Add((PIECE, m("3/16")))),
        ("add seven eighths", Add((PIECE, m("7/8")))),
        ("add the plate", Add((PIECE, Named("plate")))),
        ("forty less three quarters", TakeOff(m("40"), (m("3/4"),))),
        ("forty less three quarters and an eighth", TakeOff(m("40"), (m("7/8"),))),
        ("forty less one and a half and one", TakeOff(m("40"), (m("1 1/2"), m("1")))),
        ("96 1/4 less 3/8 and 1/8 each end", TakeOff(m("96 1/4"), (m("3/8"), m("1/8")), 2)),
        ("seven minus a quarter", TakeOff(m("7"), (m("1/4"),))),
        ("minus an eighth", TakeOff(PIECE, (m("1/8"),))),
        ("minus the plate", TakeOff(PIECE, (Named("plate"),))),
        ("take off an eighth", TakeOff(PIECE, (m("1/8"),))),
        ("take off an eighth each end", TakeOff(PIECE, (m("1/8"),), 2)),
        ("take a sixteenth off each side", TakeOff(PIECE, (m("1/16"),), 2)),
        ("96 1/4 take off 3/8 both ends", TakeOff(m("96 1/4"), (m("3/8"),), 2)),
        ("knock off a sixteenth", TakeOff(PIECE, (m("1/16"),))),
        ("take an eighth off that", TakeOff(PIECE, (m("1/8"),))),
        ("take three eighths off twelve", TakeOff(m("12"), (m("3/8"),))),
        ("take away 3/8 from the leg", TakeOff(Named("leg"), (m("3/8"),))),
        ("take two at three eighths out of twelve foot", TakeOff(m("144", Form.FEET), (m("3/8"), m("3/8")))),
        ("take an eighth and a quarter off 12 each end", TakeOff(m("12"), (m("1/8"), m("1/4")), 2)),
        ("what's twelve minus three eighths", TakeOff(m("12"), (m("3/8"),))),
        ("what is ten and a quarter plus three and five eighths", Add((m("10 1/4"), m("3 5/8")))),
        ("ninety divided by four", Parts(m("90"), 4)),
        ("58 1/2 divided in three parts", Parts(m("58 1/2"), 3)),
        ("give me the center of fifty-three and five eighths", Center(m("53 5/8"))),
        ("give me the middle", Center(PIECE)),
        ("five at 18 3/8", Times(m("18 3/8"), 5)),
        ("five pieces at 18 3/8", Times(m("18 3/8"), 5)),
        ("18 3/8 times five", Times(m("18 3/8"), 5)),
        ("forty-eight times three", Times(m("48"), 3)),
        ("times three", Times(PIECE, 3)),
        ("four of them", Times(PIECE, 4)),
        ("double it", Times(PIECE, 2)),
        ("double six and a half", Times(m("6 1/2"), 2)),
        ("start a string", StartString()),
        ("total", Total()),
        ("what's the total", Total()),
        ("53 5/8 in millimeters", Convert(m("53 5/8"), Form.MILLIMETERS)),
        ("600 mm in inches", Convert(m("600 mm", Form.MILLIMETERS), Form.INCHES)),
        ("in feet", Convert(PIECE, Form.FEET)),
        ("that in decimal", Convert(PIECE, Form.DECIMAL)),
        ("keep that as leg", Keep("leg")),
        ("save it as the gate", Keep("gate")),
        ("call it top rail", Keep("top rail")),
        ("leg is thirty one and a quarter", Keep("leg", m("31 1/4"))),
        ("the left leg is six foot two", Keep("left leg", Measure(Length("74"), form=Form.FEET))),
        ("keep forty two as the leg", Keep("leg", m(42))),
        ("call forty two and a half leg", Keep("leg", m("42 1/2"))),
        ("leg", Recall("leg")),
        ("the leg", Recall("leg")),
        ("post number two", Recall("post number two")),
        ("what's on the board", ListBoard()),
        ("done with leg", Done("leg")),
        ("print the marks", Print(Sheet.MARKS)),
        ("print the cut list", Print(Sheet.CUTS)),
        ("print a template", Print(Sheet.TEMPLATE)),
        ("print the sheet", Print()),
        ("print it", Print()),
        ("next", Walk(Step.NEXT)),
        ("back", Walk(Step.BACK)),
        ("again", Walk(Step.AGAIN)),
        ("say that again", Walk(Step.AGAIN)),
        ("first", Walk(Step.FIRST)),
        ("last mark", Walk(Step.LAST)),
        ("where am I", Walk(Step.WHERE)),
        ("how many left", Walk(Step.WHERE)),
        ("what mark am I on", Walk(Step.WHERE)),
        ("how far apart are they", Walk(Step.ANSWER)),
        ("what's the answer", Walk(Step.ANSWER)),
        ("what's left", Walk(Step.LEFT)),
        ("how much is left", Walk(Step.LEFT)),
        ("mark four", Walk(4)),
        ("go to mark twelve", Walk(12)),
        ("back up one", Walk(Step.BACK)),
        ("one more time", Walk(Step.AGAIN)),
        ("read that back", Walk(Step.AGAIN)),
        ("start from the other end", Turn()),
        ("wait", Manner.STOP),
        ("how come", Explain()),
        ("how did you get that", Explain()),
        ("repeat that", Walk(Step.AGAIN)),
        ("what did you say", Walk(Step.AGAIN)),
        ("what's the next mark", Walk(Step.NEXT)),
        ("where's the center of twelve and a half", Center(m("12 1/2"))),
        ("half it", Center(PIECE)),
        ("twice twelve and three eighths", Times(m("12 3/8"), 2)),
        ("deduct an eighth", TakeOff(PIECE, (m("1/8"),), 1)),
        ("take two three eighths plates off", TakeOff(PIECE, (m("3/8"),) * 2, 1)),
        ("take off three quarter inch gaps", TakeOff(PIECE, (m("1/4"),) * 3, 1)),
        ("sixty less two three eighths plates", TakeOff(m(60), (m("3/8"),) * 2, 1)),
        ("find me the middle of sixty", Center(m(60))),
        ("divide into four", Parts(PIECE, 4)),
        ("split into three", Parts(PIECE, 3)),
        ("what's that in feet and inches", Convert(PIECE, Form.FEET)),
        ("less the kerf", TakeOff(PIECE, (Named("kerf"),), 1)),
        ("ninety-six less a kerf", TakeOff(m(96), (Named("kerf"),), 1)),
        ("take off three kerfs", TakeOff(PIECE, (Named("kerf"),) * 3, 1)),
        ("take two three eighths plates off sixty", TakeOff(m(60), (m("3/8"),) * 2, 1)),
        ("into seven equal spaces", Parts(PIECE, 7)),
        ("what's a quarter of 12 1/2", Share(m("12 1/2"), 1, 4)),
        ("subtract an eighth", TakeOff(PIECE, (m("1/8"),), 1)),
        ("subtract three and a quarter from fifty", TakeOff(m("50"), (m("3 1/4"),), 1)),
        ("difference between fifty and thirty-two and a half", TakeOff(m("50"), (m("32 1/2"),), 1)),
        ("what's the difference between 32 1/2 and fifty", TakeOff(m("50"), (m("32 1/2"),), 1)),
        ("how many inches in four foot two", Convert(Measure(Length("50"), form=Form.FEET), Form.INCHES)),
        ("point six two five as a fraction", Convert(m("5/8"), Form.INCHES)),
        ("show me", Explain()),
        ("no, three eighths", Correct(m("3/8"))),
        ("no, forty and a half", Correct(m("40 1/2"))),
        ("scratch that", Scratch()),
        ("never mind", NeverMind()),
        ("forget it", NeverMind()),
        ("cancel that", NeverMind()),
        ("start over", StartOver()),
        ("stop", Manner.STOP),
        ("quiet", Manner.STOP),
        ("louder", Manner.LOUDER),
        ("slower", Manner.SLOWER),
        ("thirty-seconds tape", SetTape(THIRTY_SECONDS)),
        ("sixteenths tape", SetTape(SIXTEENTHS)),
        ("eighths tape", SetTape(EIGHTHS)),
        ("metric tape", SetTape(MILLIMETERS)),
        ("higher", Manner.HIGHER),
        ("deeper", Manner.DEEPER),
        ("another voice", Manner.ANOTHER_VOICE),
        ("always feet", SetFeet(Feet.ALWAYS)),
        ("inches only", SetFeet(Feet.NEVER)),
        ("feet or inches", SetFeet(Feet.SAID)),
        ("my plus is a hair", SetPlus(Length(0))),
        ("my plus is a sixty-fourth", SetPlus(Length("1/64"))),
        ("my plus is a thirty-second", SetPlus(Length("1/32"))),
        ("wake word on", Attend(Attention.WAKE)),
        ("wake word off", Attend(Attention.OPEN)),
        ("push to talk", Attend(Attention.PUSH)),
        ("what can I say", Help()),
        ("yes sir", Confirm(True)),
        ("yup", Confirm(True)),
        ("nope", Confirm(False)),
        ("will it hold", AskEngineer()),
        ("what size weld", AskEngineer()),
    ],
)
def test_understood(said, request_):
    assert outcome(said) == Understood(request_)


@pytest.mark.parametrize(
    ("said", "first"),
    [
        ("four and six and a half", Hold(m("54 1/2", Form.FEET))),
        ("six and eight", Hold(m("80", Form.FEET))),
        ("three sixteenths plus, seven eighths", Add((m("3/16"), m("7/8")))),
        ("center of six and three", Center(m("6 3/4"))),
        ("center of two foot and a half", Center(m("24 1/2", Form.FEET))),
    ],
)
def test_asked_back_with_numbered_choices(said, first):
    found = outcome(said)
    assert isinstance(found, Unclear)
    assert found.choices[0].request == first


@pytest.mark.parametrize("said", ["pass me the grinder", "", "of of of", "center of of", "half of the", "blue whale"])
def test_off_grammar_talk_is_nothing(said):
    assert outcome(said) == NotUnderstood()


@pytest.mark.parametrize("said", ["divide six foot by zero", "zero at six foot", "ten plus three minus two"])
def test_refused_with_a_sentence(said):
    assert isinstance(outcome(said), Impossible)


def test_a_bare_number_answers_an_open_question():
    assert outcome("two", "answer") == Understood(Pick(2))
    assert outcome("the second one", "answer") == Understood(Pick(2))
    assert outcome("two") == Understood(Hold(m("2")))
    assert outcome("two and a half", "answer") == Understood(Hold(m("2 1/2")))


def test_a_bare_bottom_answers_three_what():
    assert outcome("eighths", "denominator") == Understood(Denominator(8))
    assert outcome("three eighths", "denominator") == Understood(Denominator(8))
    asked = outcome("take off six and three each end")
    assert isinstance(asked, Unclear)
    assert asked.incomplete is not None
    assert complete(asked.incomplete, 8) == TakeOff(PIECE, (m("6 3/8"),), 2)


def test_the_same_size_twice_in_a_string_is_asked_about():
    found = outcome("forty-eight forty-eight", "next_in_string")
    assert isinstance(found, Unclear)
    assert [c.request for c in found.choices] == [Items((m("48"), m("48"))), Hold(m("48"))]


def test_every_example_in_the_grammar_is_understood():
    shown = [e for _, examples in ENGLISH.examples() for e in examples]
    assert len(shown) > 25
    for example in shown:
        assert isinstance(outcome(example), Understood), example


@pytest.mark.parametrize("root", ROOTS)
def test_every_root_has_words(root):
    assert ENGLISH.words_of(root) <= ENGLISH.words
