"""Trade tasks in conversation: asked piece by piece, put right, refused, read from the other end."""
# ruff: noqa: E501  # one turn a line

from __future__ import annotations

import pytest

from assistant.language.grammar import load_english
from assistant.language.requests import Go, Task
from assistant.language.tasks import TASKS
from assistant.language.text import in_words
from assistant.language.understand import understand
from assistant.session.job import Job
from tests.session.bench import Bench

ENGLISH = load_english()


class Talk:
    def __init__(self) -> None:
        self.bench = Bench()

    def say(self, words):
        heard, outcome = understand(ENGLISH, words, self.bench.session.expecting)
        return self.bench.hear(outcome, heard)


CONVERSATIONS = {
    "asked one by one": [
        ("equal spaces", "question", "Equal spaces. How long?"),
        ("fifty five and a half", "question", "Fifty-five and a half. How many spaces? Say no to give the biggest space instead."),
        ("six", "question", "How much from each end? Say no for none."),
        ("no", "answer", "Six equal spaces in fifty-five and a half: six spaces of nine and a quarter, first at nine and a quarter. All marks from one end. Don't step them off."),
        ("next", "done", "From one end. One of five: nine and a quarter."),
    ],
    "a piece missing is asked for": [
        ("pickets in sixty", "question", "Pickets, clear sixty. How wide is the picket?"),
        ("a half", "question", "A half. What is the biggest gap allowed?"),
        ("what can i say", "done", "You can say: center of ten; add seven eighths."),
        ("three and three what", "not-understood", "Say again?"),
        ("scratch that", "question", "Taken back. How wide is the picket?"),
        ("three quarters", "question", "Three quarters. What is the biggest gap allowed?"),
        ("no five eighths", "question", "Five eighths. What is the biggest gap allowed?"),
        ("center of ten", "answer", "Center of ten: five."),
    ],
    "a question behind the question": [
        ("brace rise forty", "question", "Brace, rise forty. How much run? Say no to give the brace instead."),
        ("six and three", "question", "Three what? One: three quarters. Two: three eighths. Three: three sixteenths. Four: six foot three."),
        ("eighths", "answer", "Rise forty, run six and three eighths: forty and a half, bevel one and fifteen sixteenths minus in twelve off plumb, about nine point one degrees. That is the working line. Take off for gussets and gaps yourself."),
    ],
    "a name that is not on the board": [
        ("diagonal of the gate by thirty", "question", "What's the gate?"),
        ("forty", "answer", "Gate is forty. Diagonal of forty by thirty: fifty. Check your sides before your diagonals."),
        ("diagonal", "question", "Diagonal. How long is one side?"),
        ("the gate", "question", "How long is the other side?"),
        ("nine", "answer", "Diagonal of forty by nine: forty-one. Check your sides before your diagonals."),
    ],
    "a brace that is no piece": [
        ("brace", "question", "Brace. How much rise?"),
        ("never mind", "done", "All right."),
        ("the brace", "question", "Brace. How much rise?"),
        ("nine", "question", "Nine. How much run? Say no to give the brace instead."),
        ("never mind", "done", "All right."),
        ("three quarters", "answer", "Three quarters."),
        ("call it brace", "done", "Brace is three quarters."),
        ("brace", "answer", "Brace: three quarters."),
        ("the brace", "answer", "Brace: three quarters."),
        ("a brace", "question", "Brace. How much rise?"),
    ],
    "how far out of square a frame is that is not measured yet": [
        ("square up forty by nine", "question", "Square by diagonals, long forty, short nine. What does the first diagonal read?"),
    ],
    "an angle": [
        ("offset twelve", "question", "Pipe offset, rise twelve. What angle are the fittings, in degrees?"),
        ("ninety five", "refused", "The fitting can't be ninety-five degrees. Say one under ninety."),
        ("forty five degrees", "answer", "Offset twelve, forty-five degrees: travel seventeen minus, run twelve. Set and roll go to pipe centers, not faces. Pressure, gas, steam or hydraulic: code welder, code procedure, engineer. I only give the shape."),
    ],
    "what to weigh": [
        ("weigh", "question", "Weight. Weigh what? One: plate. Two: bar. Three: tube. Four: pipe. Five: angle. Six: channel. Seven: beam."),
        ("seven", "question", "Beam. How deep?"),
        ("eight", "question", "Eight. How many pounds a foot?"),
        ("ten", "question", "Ten. How long?"),
        ("twenty foot", "answer", "W eight by ten, twenty foot long: about two hundred pounds. This is heavy. Get a hoist or more hands. Stay out from under it. Lugs, hooks and slings: engineer only. Weight is figured from the size. Add hooks, weld, and what's inside."),
    ],
    "never mind drops all that is asked": [
        ("weigh", "question", None),
        ("seven", "question", "Beam. How deep?"),
        ("never mind", "done", "All right."),
        ("eight", "answer", "Eight."),
        ("never mind", "done", "All right."),
        ("half it", "answer", "Center of eight: four."),
    ],
    "how many out of a stick": [
        ("how many pieces at twenty two and a half in twenty foot", "question", "How many out of a stick, length twenty-two and a half, stick twenty foot. How wide is the kerf? Say no for none."),
        ("an eighth", "answer", "Twenty-two and a half out of twenty foot, kerf an eighth: ten pieces, thirteen and three quarters left. Keep your line. Kerf goes in the scrap."),
        ("next", "done", "From one end. One of ten: twenty-two and a half."),
        ("next", "done", "Two of ten: forty-five and an eighth."),
        ("how many at ten foot in six foot", "refused", "Ten foot won't come out of six foot. Check both."),
        ("how many pieces in twenty foot", "question", "How many out of a stick, stick twenty foot. How long is each piece?"),
        ("forty", "answer", "Forty out of twenty foot, kerf an eighth: five pieces, thirty-nine and three eighths left. Keep your line. Kerf goes in the scrap."),
    ],
    "from the other end": [
        ("six holes in fifty five and fifteen sixteenths an inch and a quarter from each end", "answer", None),
        ("next", "done", "From one end. One of six: one and a quarter."),
        ("from the other end", "answer", "From the other end. Six of six: fifty-four and eleven sixteenths."),
        ("back", "done", "Five of six: forty-four."),
        ("flip it", "answer", "From one end. Two of six: eleven and fifteen sixteenths."),
    ],
    "a held inch, until the piece is done": [
        ("center of fifty three and five eighths", "answer", None),
        ("burn an inch", "done", "Holding on one, and every mark reads one more until the piece is done. Burning an inch? Give it back."),
        ("next", "done", "From either end, holding on one: twenty-seven and thirteen sixteenths."),
        ("check twenty seven and seven eighths", "answer", "Check twenty-seven and seven eighths: a sixteenth long."),
        ("stop burning", "done", "Back on the end of the tape. Every mark is as it is."),
        ("burn an inch", "done", None),
        ("center of forty", "answer", "Center of forty: twenty."),
        ("next", "done", "From either end: twenty."),
    ],
    "a cut list": [
        ("sticks twenty foot kerf an eighth trim a half", "done", "Sticks of twenty foot, kerf an eighth, trim a half. Now the cuts."),
        ("cut four at fifty nine and seven eighths", "done", "Four at fifty-nine and seven eighths. Four pieces so far."),
        ("cut two at thirty", "done", "Two at thirty. Six pieces so far."),
        ("scratch that", "done", None),
        ("cut six at thirty", "done", "Six at thirty. Ten pieces so far."),
        ("cut one at thirty foot", "done", "One at thirty foot. Eleven pieces so far."),
        ("nest", "refused", None),
        ("scratch that", "done", None),
        ("nest", "answer", None),
    ],
    "a kerf is kept until another is said": [
        ("five at eighteen and three eighths with kerf", "question", "So many with kerf, length eighteen and three eighths, count five. How wide is the kerf? Say no for none."),
        ("an eighth", "answer", "Five at eighteen and three eighths, kerf an eighth: five pieces, total ninety-two and three eighths, ninety-two and a half with the last cut. Keep your line. Kerf goes in the scrap."),
        ("next", "done", "From one end. One of five: eighteen and three eighths."),
        ("next", "done", "Two of five: thirty-six and seven eighths."),
        ("start over", "done", None),
        ("two at ten with kerf", "answer", "Two at ten, kerf an eighth: two pieces, total twenty and an eighth, twenty and a quarter with the last cut. Keep your line. Kerf goes in the scrap."),
        ("kerf three sixteenths", "done", "Kerf is three sixteenths. It was an eighth."),
        ("no, a sixteenth", "done", "Kerf is a sixteenth. It was an eighth."),
        ("two at ten with kerf", "answer", "Two at ten, kerf a sixteenth: two pieces, total twenty and a sixteenth, twenty and an eighth with the last cut. Keep your line. Kerf goes in the scrap."),
        ("scratch that", "done", None),
        ("scratch that", "done", None),
        ("what's on the board", "done", "On the board: kerf, three sixteenths."),
    ],
    "a kerf nobody said is asked for before the nest": [
        ("nest", "refused", "There are no cuts to nest. Say how many, and at what length."),
        ("cut two at sixty", "done", "Two at sixty. Two pieces so far."),
        ("nest", "refused", "There are no sticks to cut from. Say sticks, and how long they are."),
        ("sticks ten foot", "done", "Sticks of ten foot."),
        ("nest", "question", "Nest the cut list. How wide is the kerf? Say no for none."),
        ("no", "answer", None),
        ("what's on the board", "done", "On the board: kerf, zero."),
        ("kerf an eighth", "done", "Kerf is an eighth. It was zero."),
        ("nest", "answer", "Two pieces from sticks of ten foot, kerf an eighth: two sticks, cannot be fewer, stick one, first mark sixty. Keep your line. Kerf goes in the scrap. A tight stick needs a true kerf. Measure the bar and your slot first. Try one piece before you cut them all."),
    ],
    "which drops are kept": [
        ("sticks ten foot", "done", "Sticks of ten foot. Now the cuts."),
        ("kerf an eighth", "done", None),
        ("cut three at forty seven and seven eighths", "done", None),
        ("offcuts over two foot", "done", "A drop of two foot or more is an offcut to keep, a shorter one is scrap."),
        ("nest", "answer", "Three pieces from sticks of ten foot, kerf an eighth: two sticks, cannot be fewer, two offcuts to keep, stick one, first mark forty-seven and seven eighths. Keep your line. Kerf goes in the scrap. A tight stick needs a true kerf. Measure the bar and your slot first. Try one piece before you cut them all."),
        ("how come", "answer", "Three pieces come to one hundred forty-three and five eighths. Three kerfs of an eighth add three eighths. With its last kerf a stick gives one hundred twenty and an eighth. One hundred forty-four by that is two or more sticks. The sticks come to two hundred forty, and no cutting takes less than two hundred forty. A drop shorter than two foot is scrap."),
        ("offcuts over thirty", "done", None),
        ("nest", "answer", "Three pieces from sticks of ten foot, kerf an eighth: two sticks, cannot be fewer, one offcut to keep, stick one, first mark forty-seven and seven eighths. Keep your line. Kerf goes in the scrap. A tight stick needs a true kerf. Measure the bar and your slot first. Try one piece before you cut them all."),
        ("offcuts over six foot one", "done", "A drop of six foot one or more is an offcut to keep, a shorter one is scrap."),
        ("nest", "answer", "Three pieces from sticks of ten foot, kerf an eighth: two sticks, cannot be fewer, every drop is scrap, stick one, first mark forty-seven and seven eighths. Keep your line. Kerf goes in the scrap. A tight stick needs a true kerf. Measure the bar and your slot first. Try one piece before you cut them all."),
        ("offcuts over", "question", None),
        ("no", "done", "No drop is called scrap."),
        ("nest", "answer", "Three pieces from sticks of ten foot, kerf an eighth: two sticks, cannot be fewer, stick one, first mark forty-seven and seven eighths. Keep your line. Kerf goes in the scrap. A tight stick needs a true kerf. Measure the bar and your slot first. Try one piece before you cut them all."),
        ("offcuts over zero", "refused", "The drop can't be nothing. How much is it?"),
    ],
    "offcuts and few sticks": [
        ("sticks twenty foot", "done", "Sticks of twenty foot. Now the cuts."),
        ("two offcuts of fifty", "done", "Two offcuts of fifty. Now the cuts."),
        ("only three of the twenty foot", "done", "Three sticks of twenty foot. Now the cuts."),
        ("kerf an eighth", "done", "Kerf is an eighth."),
        ("cut four at fifty nine and seven eighths", "done", "Four at fifty-nine and seven eighths. Four pieces so far."),
        ("cut two at thirty", "done", "Two at thirty. Six pieces so far."),
        ("nest", "answer", "Six pieces from two sticks of fifty and three sticks of twenty foot, kerf an eighth: three sticks, three hundred forty of steel, cannot be less, stick one of two hundred forty, first mark fifty-nine and seven eighths. Keep your line. Kerf goes in the scrap. A tight stick needs a true kerf. Measure the bar and your slot first. Try one piece before you cut them all."),
        ("last", "done", "From the squared end of each stick. Six of six, stick three of fifty, cut one, thirty: thirty."),
        ("only one of the twenty foot", "done", "One stick of twenty foot, kerf an eighth."),
        ("cut five at two hundred", "done", None),
        ("nest", "refused", None),
    ],
    "a choice by its own word": [
        ("ring quarter bar", "question", "Ring, bar a quarter. By the inside or by the outside? One or two?"),
        ("outside", "question", "Outside. How big across the outside?"),
        ("twenty four and five eighths", "answer", "Ring twenty-four and five eighths outside, bar a quarter: cut seventy-six and nine sixteenths plus. Rolls leave flat ends. Allow extra at both ends and trim. Try one piece before you cut them all."),
        ("outside", "refused", "I asked for nothing that is outside. Say what you need."),
    ],
    "a choice by its number, and the rest is still asked": [
        ("pickets", "question", "Pickets. How wide is the opening?"),
        ("sixty", "question", "Sixty. How wide is the picket?"),
        ("a half", "question", "A half. What is the biggest gap allowed?"),
        ("four", "question", "Four. Marks at the edges or at the centers? One or two?"),
        ("two", "question", "Centers. How much does the rail rise? Say no where it is level."),
        ("thirty", "question", "Thirty. In how much run?"),
        ("forty", "answer", None),
    ],
    "another way by saying no": [
        ("equal holes", "question", None),
        ("fifty", "question", None),
        ("no", "question", "What is the biggest space allowed?"),
        ("twelve", "question", "Twelve. How much from each end? Say no for none."),
        ("one", "answer", "Spaces no more than twelve in fifty, one from each end: five marks, four spaces of twelve, first at one. All marks from one end. Don't step them off."),
    ],
    "what a stair is for is asked, unless the risers are given": [
        ("stairs rise 112 1/8 tread eleven", "question", "Stairs, rise one hundred twelve and an eighth, tread eleven. Is the stair public, industrial or in a house? One, two or three?"),
        ("in a house", "answer", "People walk on this. Check the building code and the inspector. All risers the same. An odd step trips people. Measure from finished floor to finished floor. House stairs, rise one hundred twelve and an eighth, tread eleven: fifteen risers, seven and a half minus, fourteen treads, total run one hundred fifty-four."),
        ("stairs rise 112 1/8 tread eleven sixteen risers", "answer", "People walk on this. Check the building code and the inspector. A riser of seven and one over one hundred twenty-eight is over the seven of the IBC. All risers the same. An odd step trips people. Measure from finished floor to finished floor. Stairs, rise one hundred twelve and an eighth, tread eleven: sixteen risers, seven, fifteen treads, total run one hundred sixty-five."),
    ],
    "the K of his brake is kept": [
        ("bend quarter plate three by two quarter radius", "question", "Bend, thickness a quarter, first leg three, second leg two, radius a quarter. How many degrees is a bend? Say no for ninety."),
        ("no", "question", "By the K of steel, stainless or aluminum, or by the Navy rule? One, two, three or four?"),
        ("steel", "answer", "Bend a quarter, legs three by two, radius a quarter, steel, K zero point four one: blank four and nine sixteenths minus, bend line two and three quarters plus from the first leg's end. Bend a test strip first. Your brake decides. Use the radius your tooling leaves inside, not what the drawing hopes for. Too tight cracks."),
        ("bend quarter plate three by two quarter radius ninety degrees stainless", "answer", "Bend a quarter, legs three by two, radius a quarter, stainless, K zero point four five: blank four and nine sixteenths, bend line two and thirteen sixteenths minus from the first leg's end. Bend a test strip first. Your brake decides. Use the radius your tooling leaves inside, not what the drawing hopes for. Too tight cracks."),
        ("k factor point four four", "done", "K is zero point four four for every bend from now on."),
        ("bend quarter plate three by two quarter radius ninety degrees", "answer", None),
        ("how come", "answer", None),
        ("bend quarter plate three by two quarter radius ninety degrees navy", "answer", None),
        ("how come", "answer", None),
        ("k factor two", "refused", "K can't be two. It lies between nothing and a half."),
    ],
    "never our call": [
        ("stairs", "question", "Stairs. How much rise, finished floor to finished floor?"),
        ("will it hold", "refused", "That's an engineer's call."),
        ("how big a beam", "refused", "That's an engineer's call."),
        ("what size weld", "refused", "That's an engineer's call."),
    ],
}  # fmt: skip


@pytest.mark.parametrize("turns", CONVERSATIONS.values(), ids=CONVERSATIONS)
def test_a_conversation(turns):
    talk = Talk()
    for words, status, say in turns:
        answer = talk.say(words)
        assert (answer.status, answer.say) == (status, say if say is not None else answer.say), words


@pytest.mark.parametrize(
    ("said", "number"),
    [
        ("six holes in ten, five and a half from each end", "5 1/2"),
        ("saddle eight on six outside ninety degrees", "8 5/8"),
        ("corner three by four across nine", "9"),
        ("chord one twenty radius fifty nine", "59"),
        ("gage nine on eight", "9"),
        ("square forty by thirty got thirty five and fifty", "35"),
        ("brace rise forty brace thirty", "30"),
        ("seven equal spaces in ten two from one end nine from the other", "10"),
        ("four holes at six about the center of ten", "18"),
        ("bend quarter plate three by a quarter one inch radius ninety degrees steel", "1/4"),
        ("around seven inch pipe", "7"),
        ("spaces of twelve in ten", "12"),
        ("elbow six inch pipe one hundred twenty degrees", "120"),
        ("grid four by three at three by two on eight by ten about the center", "9"),
        ("six holes in ten six from one end five from the other end", "6"),
        ("pickets in sixty bar seventy no more than four gap edge marks", "70"),
        ("ring four outside two by two quarter angle leg out", "4"),
        ("forty gage steel", "40"),
        ("bend quarter plate three by two quarter radius two hundred degrees steel", "200"),
        ("offset four at forty five degrees take off three gap an eighth", "6 1/4"),
        ("camber six in ten", "6"),
        ("stairs rise seventy tread eleven public seven inch thick", "7"),
        ("rise ninety radius forty", "90"),
        ("miter six inch pipe two piece two hundred degrees", "200"),
        ("weigh two by two tube one inch wall ten foot", "1"),
        ("miter two at ninety degrees long point one both ends", "1"),
    ],
)  # fmt: skip
def test_what_cannot_be_is_refused_in_one_sentence_and_changes_nothing(said, number):
    talk = Talk()
    talk.say("sixty")
    job = talk.bench.session.job
    answer = talk.say(said)
    assert answer.status == "refused", answer.say
    assert in_words(number).lower() in answer.say.lower()
    assert answer.say.endswith((".", "?"))
    assert talk.bench.session.job is job


def test_what_cannot_be_at_the_last_question_leaves_the_question_open():
    talk = Talk()
    for words in ("corner", "three", "four"):
        talk.say(words)
    assert talk.say("nine").status == "refused"
    assert talk.say("five").status == "answer"


def test_enter_alone_takes_the_piece_and_leaves_out_what_can_be():
    talk = Talk()
    talk.say("sixty")
    talk.say("equal spaces")
    assert talk.bench.key(Go()).say.endswith("How many spaces? Say no to give the biggest space instead.")
    talk.say("four")
    answer = talk.bench.key(Go())
    assert [v.exact for v in answer.values][:2] == ["15", "4"]


PROMPTED = {
    "equal spaces": "fifty, six, no",
    "equal holes": "fifty, no, twelve, one",
    "pickets": "sixty, a half, four, edges, no",
    "square": "forty, thirty, forty, thirty, fifty, fifty",
    "diagonal": "forty, thirty",
    "sticks": "twenty foot, three, an eighth, no",
    "offcuts": "two, fifty",
    "cut": "four, sixty",
    "offcuts over": "two foot",
    "kerf": "an eighth",
    "burn": "one",
    "bevel": "two, twelve",
    "bevel cut": "two, twelve, six, no",
    "bolt circle": "nine and five eighths, eight, straddle",
    "gage": "five and a half, eight",
    "row of holes": "twenty, four, three, no",
    "grid": "four, three, three, two, twelve, ten, no, no",
    "three four five": "forty, forty nine",
    "corner": "thirty six, forty eight, sixty",
    "corner angle": "three, three, a quarter",
    "miter": "two, fifty, no, one end",
    "pipe miter": "six, three, ninety degrees",
    "offset": "twelve, forty five degrees, six, an eighth",
    "kick": "twelve, forty five degrees, no",
    "rolling offset": "twelve, eighteen, forty five degrees, two and a half, no",
    "quarter points": "six",
    "saddle": "four, six, inside, no, sixty degrees",
    "elbow": "six, ninety",
    "bend": "a quarter, three, two, a quarter, no, aluminum",
    "k factor": "point four two",
    "ring": "outside, twenty four, a quarter, no",
    "arc": "one hundred twenty, no, seventy five, twelve",
    "camber": "three quarters, twenty foot",
    "stairs": "nine foot four, ten, no, industrial, one and a quarter",
    "stringer marks": "nine foot four, ten, fourteen",
    "guard opening": "six",
    "eleven gage": "stainless",
    "ring of angle": "inside, forty, two, two, a quarter, leg out, no",
    "weld shrinkage": "three eighths, an eighth, sixty degrees",
    "growth": "twenty foot, thirty degrees",
    "weigh": "one, ten, ten, a quarter, no",
}


@pytest.mark.parametrize(("name", "replies"), PROMPTED.items(), ids=PROMPTED)
def test_a_task_asks_for_one_thing_at_a_time_and_then_answers(name, replies):
    talk = Talk()
    said = [name, *replies.split(", ")]
    statuses = [talk.say(words).status for words in said]
    assert statuses[:-1] == ["question"] * (len(said) - 1), list(zip(said, statuses, strict=True))
    assert statuses[-1] in ("answer", "done")


@pytest.mark.parametrize(
    ("number", "replies"),
    [
        ("one", "four foot, eight foot, a quarter, no"),
        ("two", "one, three, a half, ten foot, brass"),
        ("two", "two, one, ten foot, aluminum"),
        ("two", "three, one, ten foot, no"),
        ("two", "four, one, ten foot, stainless"),
        ("three", "one, four, four, a quarter, ten foot, no"),
        ("three", "two, two, an eighth, ten foot, steel"),
        ("four", "six, forty, ten foot, no"),
        ("five", "two, two, a quarter, ten foot, no"),
        ("six", "four, five point four, ten foot"),
        ("seven", "eight, ten, ten foot"),
    ],
)
def test_everything_that_is_weighed_is_asked_for(number, replies):
    talk = Talk()
    said = ["weigh", number, *replies.split(", ")]
    statuses = [talk.say(words).status for words in said]
    assert statuses == ["question"] * (len(said) - 1) + ["answer"]


@pytest.mark.parametrize("replies", ["one, eight, thirty one", "two, ten, fifteen point three", "three, four"])
def test_the_usual_gage_is_asked_for_by_its_shape(replies):
    talk = Talk()
    assert talk.bench.key(Task("usual gage")).status == "question"
    statuses = [talk.say(words).status for words in replies.split(", ")]
    assert statuses == ["question"] * (len(statuses) - 1) + ["answer"]


@pytest.mark.parametrize("kind", [kind for kind in TASKS if kind != "nest"])
def test_every_task_can_be_asked_for_by_its_name_alone(kind):
    answer = Bench().hear(Task(kind))
    assert answer.status == "question"
    assert answer.say.count("?") == (2 if answer.choices and not TASKS[kind].menu else 1)


def test_his_k_is_used_and_kept_over_a_new_job():
    talk = Talk()
    talk.say("k factor point four two")
    talk.say("start over")
    answer = talk.say("bend quarter plate three by two and an eighth quarter radius ninety degrees")
    assert "K zero point four two" in answer.say


@pytest.mark.parametrize(
    "kept",
    [
        "kerf an eighth",
        "k factor point four two",
        "two offcuts of fifty",
        "only three of the twenty foot",
        "offcuts over two foot",
    ],
)
def test_what_is_kept_survives_the_board(kept):
    talk = Talk()
    assert talk.say(kept).status == "done"
    job = talk.bench.session.job
    assert Job.from_dict(job.to_dict()) == job


def test_a_task_survives_the_board():
    talk = Talk()
    talk.say("six holes in fifty five and a half an inch and a quarter from each end")
    talk.say("burn an inch")
    talk.say("next")
    talk.say("from the other end")
    job = talk.bench.session.job
    assert Job.from_dict(job.to_dict()) == job
