"""Keys through the real session. The numbers are worked out beside each check with whole sixteenths."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from assistant.errors import Slip
from assistant.keypad.bridge import Keypad, bench_of, key_effects, run_keys
from assistant.keypad.jobs import JOBS
from assistant.keypad.keys import Key, keyed
from assistant.language.requests import Attention, Center, Hold, Manner, Measure
from assistant.language.understanding import Understood
from assistant.length import Length
from assistant.session.effects import Adjust, Hush, Say, Show, Sound
from assistant.session.events import Heard, SpeechFinished
from assistant.session.manners import Manners
from assistant.session.session import Session
from assistant.tape import THIRTY_SECONDS, Feet

_SETTINGS = [job.name for job in JOBS].index("settings") % 9 + 1


def session() -> Session:
    return Session(Manners())


def answers(text: str, at: Session | None = None):
    return list(run_keys(at or session(), text))


def exact(answer) -> Fraction:
    return Fraction(answer.values[0].exact)


@pytest.mark.parametrize(
    ("keys", "inches"),
    [
        ("53.5/8E", Fraction(858, 16)),
        ("53.5/8EE", Fraction(429, 16)),
        ("11..4.3/8E", Fraction(136 * 8 + 3, 8)),
        ("11..E", Fraction(132)),
        (".5/8E", Fraction(5, 8)),
        ("53.5/8E+53.5/8E", Fraction(858, 8)),
        ("53.5/8E-.1/8E", Fraction(856, 16)),
        ("53.5/8E*3E", Fraction(3 * 858, 16)),
        ("53.5/8E/7E", Fraction(858, 16 * 7)),
        ("53.5/8+7/8E", Fraction(872, 16)),
        ("53.5E1", Fraction(858, 16)),  # eighths are offered first
        ("53.9E1", Fraction(857, 16)),
        ("53.17E/32E", Fraction(53 * 32 + 17, 32)),
        ("53.5E/16E", Fraction(53 * 16 + 5, 16)),
        ("53.5E8E", Fraction(858, 16)),
        ("53.5/8EE-.1/8E1", Fraction(856, 16)),  # asked, and picked
        ("53.5/8EE-.1/8E2", Fraction(1, 8)),
        ("53.5/8EE/7E1", Fraction(858, 16 * 7)),
        ("53.5/8EE/7E2", Fraction(7)),
        ("*296E8E", Fraction(12)),
        ("96E*E2E8E", Fraction(12)),
        ("*810.1/4E3.5/8EE", Fraction(13 * 8 + 7, 8)),
        ("*810.1/4E3.5/8E*9", Fraction(13 * 8 + 7, 8)),
        ("96E*E1E", Fraction(48)),
        ("*396E6EE", Fraction(16)),  # equal spaces, nothing from the ends
        ("96E*E3E6E1.1/2E", Fraction(31, 2)),
        ("*396E6<8E6E", Fraction(21, 2)),
        ("*396E<90E6EE", Fraction(15)),  # the length taken back
        ("*E1<236E48E", Fraction(60)),  # a brace
        ("53.5/8E<53E", Fraction(53)),
    ],
)
def test_the_whole_job_by_keys(keys, inches):
    last = answers(keys)[-1]
    assert last.status == "answer"
    assert exact(last) == inches


def test_enter_makes_it_the_piece_then_its_center_then_walks_the_marks():
    piece, center, first, back, again, how = answers("53.5/8EEE-./")
    assert (piece.status, center.status) == ("answer", "answer")
    assert exact(piece) == Fraction(858, 16)
    assert exact(center) == exact(first) == exact(back) == exact(again) == Fraction(429, 16)
    assert [first.status, back.status, again.status] == ["done", "done", "done"]
    assert how.steps


@pytest.mark.parametrize(
    ("keys", "says"),
    [
        ("53.5E", "Five what? One: five eighths. Two: five sixteenths."),
        ("53.9E", "Nine what? One: nine sixteenths."),
        ("53.17E", "Seventeen what?"),
        ("53EE/7E", "It in seven parts, or a new piece, seven inches? One or two?"),
    ],
)
def test_what_is_asked_back(keys, says):
    assert answers(keys)[-1].say == says


@pytest.mark.parametrize(
    ("keys", "status"),
    [
        ("53.5E", "question"),
        ("53.9/8E", "refused"),
        ("11..12E", "refused"),
        ("53.5/0E", "refused"),
        ("12001E", "refused"),
        ("E", "refused"),
        ("-", "refused"),
        ("/", "refused"),
        ("*", "question"),
        ("*2", "question"),
        ("53.5/8", "question"),
        ("53.5/8EE/7E", "question"),
    ],
)
def test_how_a_request_ends(keys, status):
    last = answers(keys)[-1]
    assert last.status == status
    assert last.say


def test_what_was_refused_is_put_right_without_keying_it_again():
    refused, mended = answers("60E-61.1/2E<<<<<E")[1:]
    assert (refused.status, exact(mended)) == ("refused", Fraction(60 - 6))


def test_a_refusal_leaves_the_piece_as_it_was():
    at = session()
    answers("53.5/8E11..12E", at)
    assert at.job.piece == Measure(Length("53 5/8"))


def test_the_list_is_offered_as_numbered_choices():
    (listed,) = answers("*")
    assert [choice.key for choice in listed.choices] == list("123456789")
    assert listed.choices[0].say == "center"
    assert answers("*2")[-1].say == "Equal parts. Equal parts of what?"


@pytest.mark.parametrize(
    ("keys", "says", "manners"),
    [
        ("1", "The voice? One: louder.", Manners()),
        ("21", "Which tape? One: eighths.", Manners()),
        ("23E", "Thirty-seconds from now on.", Manners(tape=THIRTY_SECONDS)),
        ("32", "Always feet and inches.", Manners(feet=Feet.ALWAYS)),
        ("43", "Your plus is a thirty-second.", Manners(plus=Length("1/32"))),
        ("52", "Push to talk.", Manners(attention=Attention.PUSH)),
        ("53", "Always listening.", Manners(attention=Attention.OPEN)),
    ],
)
def test_everything_he_may_have_otherwise_can_be_keyed(keys, says, manners):
    """The list of jobs, its last page, the last of them."""
    at = session()
    said = [answer.say for answer in answers(f"*-{_SETTINGS}{keys}", at)]
    assert said[2].startswith("Change what? One: the voice. Two: the tape.")
    assert any(words.startswith(says) for words in said), said
    assert at.manners == manners or keys in ("1", "21")


def test_the_voice_by_keys():
    """Louder, softer, slower, faster, higher, deeper, another voice: in the order of their numbers."""
    asked = []
    for number in range(1, 8):
        at = session()
        effects = list(key_effects(at, f"*-{_SETTINGS}1{number}"))
        asked += [effect.manner for effect in effects if isinstance(effect, Adjust)]
        again = list(key_effects(at, "."))  # said again, not done again
        assert not any(isinstance(effect, Adjust) for effect in again)
    assert asked == [manner for manner in Manner if manner is not Manner.STOP]


def test_every_key_cuts_what_is_being_said():
    at = session()
    keypad = Keypad()
    for key in keyed("53E"):
        keypad.press(key, at)  # now the answer is being spoken
    assert keypad.press(Key.FIVE, at) == [Hush(), Say("five")]
    for key in keyed("3E"):
        keypad.press(key, at)
    assert keypad.press(Key.ENTER, at)[0] == Hush()


def test_a_key_that_does_not_fit_makes_the_error_sound():
    assert list(key_effects(session(), "+")) == [
        Hush(), Sound("error"), Say("There is no piece yet. Key its length first, then Enter."),
    ]  # fmt: skip


def test_what_was_said_since_ends_the_doubt_about_a_walking_key():
    at, keypad = session(), Keypad()
    for key in keyed("53.5/8EE-"):
        keypad.press(key, at)
    at.handle(Heard("center of forty eight", Understood(Center(Measure(Length(48))))))
    effects = [effect for key in keyed("7E") for effect in keypad.press(key, at)]
    assert [effect.answer.status for effect in effects if isinstance(effect, Show)] == ["answer"]
    assert at.job.piece == Measure(Length(7))


def test_a_question_by_the_way_does_not_swallow_the_next_size():
    """Asked once, after a plus was said: how much it is worth. Its numbers are 1 to 3."""

    def asked() -> Session:
        at = session()
        at.handle(Heard("twelve strong", Understood(Hold(Measure(Length(12), lean=Fraction(1))))))
        assert at.question is not None
        return at

    assert exact(answers("24.3/4E", asked())[-1]) == Fraction(99, 4)
    at = asked()
    answers("2E", at)
    assert at.job.plus == Length(Fraction(1, 64))


def test_the_line_in_words_is_there_to_be_shown():
    keypad = Keypad()
    assert keypad.line == ""
    for key in keyed("53.5/8"):
        keypad.press(key, session())
    assert keypad.line == "fifty-three and five eighths"


def test_an_unknown_key_is_told_before_any_key_is_put_in():
    at = session()
    with pytest.raises(Slip, match="There is no 'X' on the keypad"):
        answers("53Ex", at)
    assert at.job.piece is None


@settings(max_examples=60, deadline=None)
@given(st.lists(st.sampled_from(Key), max_size=40))
def test_no_keys_ever_fail_at_the_bench_and_each_is_answered(keys):
    at, keypad = session(), Keypad()
    for key in keys:
        effects = keypad.press(key, at)
        assert any(isinstance(effect, (Show, Say)) for effect in effects)
        at.handle(SpeechFinished())
        assert bench_of(at).piece == at.job.piece
