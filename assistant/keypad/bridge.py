"""The keypad and the session together: keys in, effects out."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from assistant.keypad.entry import Bench, Pad, Pressed, press
from assistant.keypad.expression import words
from assistant.keypad.keys import Key, keyed
from assistant.keypad.spoken import start
from assistant.language.understanding import Understood
from assistant.session.answer import Answer, Offered
from assistant.session.carry_out import result_of
from assistant.session.effects import Effect, Hush, Say, Show, Sound
from assistant.session.events import Asked, Event, Heard
from assistant.session.job import Job
from assistant.session.session import Session
from assistant.tape import SIXTEENTHS

__all__ = ["Keypad", "bench_of", "key_effects", "run_keys"]


class Keypad:
    """One keypad at one session. Voice may go on between its keys."""

    def __init__(self) -> None:
        self.pad = Pad()
        self._left: Job | None = None
        """The job as the last key left it."""

    @property
    def line(self) -> str:
        """What is being keyed, in words; empty when nothing is."""
        return words(self.pad.line) if self.pad.line else ""

    def press(self, key: Key, session: Session) -> list[Effect]:
        """What is to be done about a key. Every key cuts what is being said, and is answered."""
        before = self.pad
        if session.job is not self._left:  # something was said since: the keys before it are over
            before = replace(before, walked="")
        pressed = press(before, key, bench_of(session))
        self.pad = pressed.pad
        effects = self._put(pressed, before, session) if pressed.outcome else _echo(pressed, session)
        self._left = session.job
        return effects

    def _put(self, pressed: Pressed, before: Pad, session: Session) -> list[Effect]:
        effects = session.handle(_event(pressed))
        refused = any(isinstance(effect, Show) and effect.answer.status == "refused" for effect in effects)
        if refused and before.line:
            self.pad = before  # to be put right, not keyed again
        return effects


def bench_of(session: Session) -> Bench:
    """What the keys need to know of a session.

    A question asked by the way does not have its choices picked by one digit: he may well be keying the next
    size. The number and Enter answer it.
    """
    question, job = session.question, session.job
    marks = result_of(job.asked, job.tape or SIXTEENTHS).marks if job.asked is not None else ()
    return Bench(
        piece=job.piece,
        walking=bool(marks),
        choices=len(question.choices) if question and not question.by_the_way else 0,
        bottom=question is not None and question.incomplete is not None,
    )


def key_effects(session: Session, text: str) -> Iterator[Effect]:
    """Put keys, as they are typed out, to a session. What is left without Enter at the end is asked about.

    Raises:
        Slip: before the first key, where the text has a key that no keypad has.
    """
    keypad = Keypad()
    keys = keyed(text)
    for key in keys:
        yield from keypad.press(key, session)
    if keypad.pad.line and keys[-1] is not Key.ENTER:  # after Enter it is there because it was refused
        say = f"{start(keypad.line)}. Now press Enter."
        yield Show(Answer(keypad.line, "question", say, piece=session.job.piece))


def run_keys(session: Session, text: str) -> Iterator[Answer]:
    """The answers to keys, as they are typed out; the prompts of the job list are questions among them.

    Raises:
        Slip: before the first key, where the text has a key that no keypad has.
    """
    for effect in key_effects(session, text):
        if isinstance(effect, Show):
            yield effect.answer


def _event(pressed: Pressed) -> Event:
    if isinstance(pressed.outcome, Understood):
        return Asked(pressed.outcome.request, pressed.shown)
    assert pressed.outcome is not None
    return Heard(pressed.shown, pressed.outcome, typed=True)


def _echo(pressed: Pressed, session: Session) -> list[Effect]:
    effects: list[Effect] = [Hush()]
    if pressed.asks:
        options = tuple(Offered(str(number), name) for number, name in enumerate(pressed.options, 1))
        effects.append(Show(Answer("", "question", pressed.say, choices=options, piece=session.job.piece)))
    if not pressed.fits:
        effects.append(Sound("error"))
    return [*effects, Say(pressed.say)]
