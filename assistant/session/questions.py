"""A question that is open, and what the next words mean while it is.

he says                                     it means
"two", key 2, "the second"                  that choice
the choice itself, or its measurement       that choice
"yes"                                       the only choice there is
"eighths", "three eighths", key 8           the missing bottom number
a measurement, where a name was asked for   what the name stands for
"no", "scratch that"                        never mind: the job is as it was; a question behind it is asked again
what a task asks for                        that: the task goes on, or is answered
"no", where a task can do without it        the task goes on without
"scratch that", while a task is asking      takes back what was given last
louder, again, print the marks, …            done, and the question stays
any other request                           the question is dropped, and the request answers the one behind it or is
                                            carried out
"""

from __future__ import annotations

from collections.abc import Container
from dataclasses import dataclass, replace
from fractions import Fraction

from assistant.errors import Slip
from assistant.language.requests import (
    PIECE,
    AskEngineer,
    Choose,
    Confirm,
    Correct,
    Degrees,
    Denominator,
    Explain,
    Go,
    Help,
    Hold,
    Keep,
    ListBoard,
    Manner,
    Measure,
    Named,
    Operand,
    Pick,
    Print,
    Recall,
    Request,
    Scratch,
    Step,
    Task,
    Walk,
)
from assistant.language.speak import cap_first, fraction_names, speak_whole
from assistant.language.task_meaning import fit
from assistant.language.tasks import TASKS, Wanted, filled_in, next_asked
from assistant.language.understand import complete
from assistant.language.understanding import Unclear
from assistant.length import Length
from assistant.session.answer import Offered
from assistant.session.carry_out import put_right
from assistant.session.deeds import Deed, operands
from assistant.session.manners import SETTINGS

__all__ = [
    "RECALLS",
    "Again",
    "Aside",
    "Dropped",
    "Filled",
    "NoReply",
    "Offer",
    "Question",
    "Reply",
    "Taken",
    "TakenBack",
    "about_plus",
    "about_settings",
    "for_name",
    "from_outcome",
    "of_task",
    "reply_to",
]


@dataclass(frozen=True, slots=True)
class Offer:
    """One numbered choice; its number is its place, from 1."""

    say: str
    deed: Deed


@dataclass(frozen=True, slots=True)
class Question:
    text: str
    """What is asked, without the choices."""
    choices: tuple[Offer, ...] = ()
    incomplete: Request | None = None
    """What a missing bottom number completes."""
    name: str = ""
    """The name that has no size yet."""
    waiting: Deed | None = None
    """What goes on once the name has one."""
    by_the_way: bool = False
    """True where an answer was given first and stands whether or not he replies."""
    behind: Question | None = None
    """The question to come back to with what this one makes clear."""
    task: Task | None = None
    """The task that is asking, with what it has so far."""
    slot: str = ""
    """What it asks for."""
    everything: bool = False
    """Whether it asks for what it can do without, too."""
    before: Question | None = None
    """What it asked before this."""

    @property
    def say(self) -> str:
        """The question with its choices, as it is spoken."""
        if len(self.choices) == 1 and self.incomplete is None:
            return f"{self.text} Yes or no?"
        numbers = [speak_whole(n) for n in range(1, len(self.choices) + 1)]
        if numbers and all(offer.say.casefold() in self.text.casefold() for offer in self.choices):
            # he has heard them already
            return f"{self.text} {cap_first(', '.join(numbers[:-1]))} or {numbers[-1]}?"
        return " ".join([self.text, *(f"{cap_first(n)}: {o.say}." for n, o in zip(numbers, self.choices, strict=True))])

    @property
    def offered(self) -> tuple[Offered, ...]:
        """The choices as they are shown."""
        return tuple(Offered(str(n), offer.say, _exact(offer.deed)) for n, offer in enumerate(self.choices, start=1))

    @property
    def expecting(self) -> str:
        """The public rule of the grammar that hears the reply."""
        if self.incomplete is not None:
            return "denominator"
        return "answer" if self.choices else "request"


@dataclass(frozen=True, slots=True)
class Taken:
    """The reply settles it: this is to be done."""

    deeds: tuple[Deed, ...]


@dataclass(frozen=True, slots=True)
class Again:
    """It was meant as a reply and settles nothing: say this, and ask again."""

    sentence: str = ""


@dataclass(frozen=True, slots=True)
class Dropped:
    """He wants none of it."""


@dataclass(frozen=True, slots=True)
class Aside:
    """Not a reply, and it leaves the question open."""


@dataclass(frozen=True, slots=True)
class NoReply:
    """Something new: the question is dropped."""


@dataclass(frozen=True, slots=True)
class Filled:
    """The task that asks has what it asked for."""

    question: Question
    """What was asked."""
    value: Operand | int | Fraction | str

    @property
    def task(self) -> Task:
        assert self.question.task is not None
        return filled_in(self.question.task, self.question.slot, self.value)


@dataclass(frozen=True, slots=True)
class TakenBack:
    """What the task was given last is taken back."""


Reply = Taken | Filled | TakenBack | Again | Dropped | Aside | NoReply
_ASIDE = (Manner, Help, AskEngineer, ListBoard, Explain, Print)
_SAID_BACK = (Walk(Step.AGAIN), Walk(Step.WHERE), Walk(Step.ANSWER), Walk(Step.LEFT))
RECALLS = (Recall, Hold)
"""What a name asks for by itself: giving it its size is the whole answer."""
_TAPE_BOTTOMS = (2, 4, 8, 16, 32, 64)
"""What a bare number may mean after "three what?"; any other is a new measurement."""


def from_outcome(unclear: Unclear, behind: Question | None) -> Question:
    """The question the language asks back."""
    offers = tuple(Offer(choice.say, choice.request) for choice in unclear.choices)
    return Question(unclear.question, offers, unclear.incomplete, behind=behind)


def for_name(name: str, waiting: Deed) -> Question:
    """What is the plate?"""
    return Question(f"What's the {name}?", name=name, waiting=waiting)


def about_plus() -> Question:
    """How much a plus is worth: asked once, after an answer that stands without it."""
    return replace(about_settings("plus"), by_the_way=True)


def about_settings(part: str) -> Question:
    """What he may have otherwise, or one part of it."""
    text, choices = SETTINGS[part]
    return Question(text, tuple(Offer(say, deed) for say, deed in choices))


def of_task(
    task: Task, everything: bool, before: Question | None = None, known: Container[str] = ()
) -> Question | None:
    """What a task has to ask next, if anything. ``everything``: also for what it can do without. ``known``: what
    the job knows already."""
    menu = TASKS[task.kind].menu
    if menu:
        return Question(TASKS[task.kind].slots[0].ask, tuple(Offer(TASKS[kind].name, Task(kind)) for kind in menu))
    slot = next_asked(task, everything, known)
    if slot is None:
        return None
    offers = tuple(Offer(word, Choose(word)) for word in slot.choices)
    return Question(slot.ask, offers, task=task, slot=slot.name, everything=everything, before=before)


def reply_to(question: Question, deed: Deed) -> Reply:
    """What a request means while a question is open."""
    if question.task is not None:
        reply = _to_task(question, question.task, deed)
        if reply is not None:
            return reply
    if (isinstance(deed, Confirm) and not deed.yes) or (isinstance(deed, Scratch) and question.behind is not None):
        return Dropped()
    number = _number(question, deed)
    if number is not None:
        if 1 <= number <= len(question.choices):
            return Taken((question.choices[number - 1].deed,))
        if isinstance(deed, Pick):
            return Again()
    if isinstance(deed, (Confirm, Go)):
        return Taken((question.choices[0].deed,)) if len(question.choices) == 1 else Again()
    if question.incomplete is not None:
        bottom = _bottom(question.incomplete, deed)
        if bottom is not None:
            return _completed(question.incomplete, bottom)
    if isinstance(deed, Hold) and isinstance(deed.what, Measure):
        if question.name and question.waiting is not None:
            return Taken((Keep(question.name, deed.what), question.waiting))
        if deed.what.missing is None:
            meant = [offer.deed for offer in question.choices if deed.what.length in _lengths(offer.deed)]
            if len(meant) == 1:
                return Taken((meant[0],))
    aside = isinstance(deed, _ASIDE) or deed in _SAID_BACK
    return Aside() if aside else NoReply()


def _to_task(question: Question, task: Task, deed: Deed) -> Reply | None:
    """What a request means to a task that asks, where it means something else than to any other question."""
    slot = TASKS[task.kind].slot(question.slot)
    match deed:
        case Scratch():
            return TakenBack()
        case Confirm(yes=False) | Go() if slot.optional or slot.declinable:
            return Filled(question, "")
        case Go() if slot is TASKS[task.kind].slots[0] and slot.wanted is Wanted.LENGTH:
            return Filled(question, PIECE)
        case Correct(to) if question.before is not None and question.before.task is not None:
            asked = question.before.slot
            (was,) = [value for name, value in task.given if name == asked]
            if isinstance(was, Measure):
                return _given(question.before, put_right(was, to))
        case Hold(Measure(missing=None) as what) | Hold(Named() as what) if not slot.choices:
            return _given(question, what)
        case Recall(name) if not slot.choices:
            return _given(question, Named(name))
        case Choose(word) if word in slot.choices:
            return Filled(question, word)
        case Degrees(angle) if slot.wanted is Wanted.ANGLE:
            return Filled(question, angle)
        case Pick(number) if slot.wanted is Wanted.COUNT:
            return Filled(question, number)
    chosen = _number(question, deed) if slot.choices else None
    if chosen is not None and 1 <= chosen <= len(slot.choices):
        return Filled(question, slot.choices[chosen - 1])
    return None


def _given(question: Question, what: Operand) -> Reply:
    assert question.task is not None
    value = fit(TASKS[question.task.kind].slot(question.slot).wanted, what)
    return Again("Give me a whole number.") if value is None else Filled(question, value)


def _number(question: Question, deed: Deed) -> int | None:
    """The number of a choice that this may be. A choice's own measurement comes before its number."""
    if isinstance(deed, Pick):
        return deed.number
    if deed == Walk(Step.FIRST) and question.choices:
        return 1
    if isinstance(deed, Hold) and isinstance(deed.what, Measure) and question.choices:
        m = deed.what
        itself = any(m.length in _lengths(offer.deed) for offer in question.choices)
        if not itself and m == Measure(m.length) and m.length.inches.denominator == 1:
            return int(m.length.inches)
    return None


def _lengths(deed: Deed) -> tuple[Length, ...]:
    return tuple(operand.length for operand in operands(deed) if isinstance(operand, Measure))


def _gap(deed: Deed) -> Measure:
    """The measurement whose fraction has no bottom yet."""
    return next(o for o in operands(deed) if isinstance(o, Measure) and o.missing is not None)


def _bottom(incomplete: Deed, deed: Deed) -> int | None:
    """The bottom number a reply gives, said by itself, as the whole fraction, or as the whole measurement."""
    if isinstance(deed, Denominator):
        return deed.bottom
    if not (isinstance(deed, Hold) and isinstance(deed.what, Measure)) or deed.what.missing is not None:
        return None
    gap, said = _gap(incomplete), deed.what.length.inches
    top, whole = gap.missing or 0, gap.length.inches
    if said in _TAPE_BOTTOMS and said > top and deed.what == Measure(deed.what.length):
        return int(said)
    part = said - whole if said > 1 else said
    bottom = top / part if 0 < part < 1 else Fraction(0)
    return int(bottom) if bottom and bottom.denominator == 1 else None


def _completed(incomplete: Request, bottom: int) -> Reply:
    if bottom not in fraction_names():
        return Again("I don't know that fraction.")
    try:
        return Taken((complete(incomplete, bottom),))
    except Slip as slip:
        return Again(str(slip))


def _exact(deed: Deed) -> str:
    lengths = _lengths(deed)
    return str(lengths[0].inches) if len(lengths) == 1 else ""
