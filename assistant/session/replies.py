"""What is said and shown for each thing that changes a job."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

from assistant.language.requests import (
    Done,
    Hold,
    Keep,
    Measure,
    Named,
    Recall,
    SetFeet,
    SetPlus,
    SetTape,
    StartString,
    Task,
    Turn,
)
from assistant.language.speak import speak_decimal, speak_whole
from assistant.layout.cautions import GIVE_IT_BACK
from assistant.layout.result import Result, Value
from assistant.length import Length
from assistant.session.answer import Answer, ShownValue
from assistant.session.carry_out import KERF, kept_as, marks_in_hand, racks_of, result_of
from assistant.session.deeds import Deed
from assistant.session.job import Job
from assistant.session.present import answered, mark_words, marks_of, said
from assistant.session.reader import Reader, sentence
from assistant.tape import Feet, Tape

__all__ = ["board_reply", "picture", "reply", "shown", "undone_words", "where_words"]

_K_PLACES = 4
"""Decimals of K as they are said; handbooks print two or three."""


_MOST_READ = 20
"""Names read aloud from the board at once: a minute of talk. All of them are shown."""
FEET_WORDS = {
    Feet.SAID: "Feet where you say feet.",
    Feet.ALWAYS: "Always feet and inches.",
    Feet.NEVER: "Inches only.",
}


def reply(heard: str, before: Job, deed: Deed, after: Job, tape: Tape, reader: Reader) -> Answer:
    """The answer to a request that turned the job ``before`` into the one ``after``."""
    match deed:
        case Keep(name):
            return _kept(heard, name, before, after, reader)
        case Done(name):
            return Answer(heard, "done", sentence(f"{name} is off the board"))
        case SetTape(new):
            return picture(Answer(heard, "done", sentence(f"{new.name} from now on")), after, tape, reader)
        case SetPlus(size):
            worth = f"Your plus is {reader.exactly(size)}" if size else "Just a hair. The number stays as it is"
            again = said(result_of(after.asked, tape), reader) if size and after.asked is not None else ""
            return picture(Answer(heard, "done", sentence(worth, again)), after, tape, reader)
        case SetFeet(feet):
            return picture(Answer(heard, "done", FEET_WORDS[feet]), after, tape, reader)
        case StartString():
            return Answer(heard, "done", "String started. Give me the first.")
        case Turn():
            mark = mark_words(marks_in_hand(after, tape), reader, after.at, datum=True)
            return picture(Answer(heard, "answer", mark), after, tape, reader)
        case Task("kerf"):
            return _kept(heard, KERF, before, after, reader)
        case Task("k"):
            assert after.k is not None
            return Answer(
                heard, "done", sentence(f"K is {speak_decimal(after.k, _K_PLACES)} for every bend from now on")
            )
        case Task("sticks" | "offcuts" | "cut" as kind):
            return Answer(heard, "done", _list_words(kind, after, reader))
        case Task("useful drop"):
            return Answer(heard, "done", _useful_words(after, reader))
        case Task("burn"):
            return picture(Answer(heard, "done", _held_words(after, reader)), after, tape, reader)
    if after.string is not None and after.asked is None:
        return _items(heard, before, after, reader)
    assert after.asked is not None
    answer = _drawn(answered(heard, result_of(after.asked, tape), reader), after, tape, reader)
    if isinstance(deed, Recall) or (isinstance(deed, Hold) and isinstance(deed.what, Named)):
        name = deed.name if isinstance(deed, Recall) else deed.what.name  # type: ignore[union-attr]
        return replace(answer, say=sentence(f"{name}: {answer.say[0].lower()}{answer.say[1:]}"))
    return answer


def _list_words(kind: str, job: Job, reader: Reader) -> str:
    """The last line of the cut list, and how many pieces there are, so that one missed or doubled is noticed."""
    assert job.cutting is not None
    values = dict(job.cutting.given)  # the last of each

    def said(name: str) -> str:
        value = kept_as(job, name) if name == KERF else values.get(name)
        return f"{name} {reader.measured(value)}" if isinstance(value, Measure) else ""

    if kind == "cut":
        counts = [value for name, value in job.cutting.given if name == "count" and isinstance(value, int)]
        pieces = f"{speak_whole(sum(counts))} {'piece' if sum(counts) == 1 else 'pieces'} so far"
        return sentence(f"{speak_whole(counts[-1])} at {said('cut').removeprefix('cut ')}", pieces)
    stock, number = racks_of(job.cutting)[-1]
    what = "offcut" if kind == "offcuts" else "stick"
    many = f"{what}s" if number == 0 else f"{speak_whole(number)} {what}{'' if number == 1 else 's'}"
    return sentence(
        ", ".join(filter(None, (f"{many} of {reader.measured(stock)}", said(KERF), said("trim")))),
        "" if "cut" in values else "Now the cuts",
    )


def _useful_words(job: Job, reader: Reader) -> str:
    assert job.cutting is not None
    useful = dict(job.cutting.given)["useful"]
    if not isinstance(useful, Measure):
        return "No drop is called scrap."
    return sentence(f"A drop of {reader.measured(useful)} or more is an offcut to keep, a shorter one is scrap")


def _held_words(job: Job, reader: Reader) -> str:
    if not job.held:
        return "Back on the end of the tape. Every mark is as it is."
    inch = reader.exactly(job.held)
    return sentence(f"Holding on {inch}, and every mark reads {inch} more until the piece is done", GIVE_IT_BACK)


def picture(answer: Answer, job: Job, tape: Tape, reader: Reader) -> Answer:
    """The answer with what is on the bench drawn beside it, and its cautions for as long as it is."""
    if job.asked is None or job.walked is None:
        return answer
    values, cautions = shown(result_of(job.asked, tape), reader), result_of(job.walked, tape).cautions
    return _drawn(replace(answer, values=values, cautions=cautions), job, tape, reader)


def shown(result: Result, reader: Reader) -> tuple[ShownValue, ...]:
    return tuple(reader.shown(value, result.form) for value in result.values)


def board_reply(heard: str, job: Job, reader: Reader) -> Answer:
    """Everything that is kept, read aloud."""
    if not job.kept:
        return Answer(heard, "done", "Nothing on the board.")
    said = [f"{name}, {reader.on_tape(measure)}" for name, measure in job.kept[-_MOST_READ:]]
    if len(job.kept) > _MOST_READ:
        said.append(f"and {len(job.kept) - _MOST_READ} more, kept before these")
    values = tuple(_shown_measure(name, measure, reader) for name, measure in job.kept)
    return Answer(heard, "done", sentence(f"On the board: {'; '.join(said)}"), values)


def where_words(job: Job, reader: Reader) -> str:
    """What is in hand."""
    if job.string is not None:
        if not job.string:
            return "nothing in the string yet"
        return f"{speak_whole(len(job.string))} in the string, the last was {reader.on_tape(job.string[-1])}"
    return f"the piece is {reader.on_tape(job.piece)}" if job.piece else "the bench is clear"


def undone_words(before: Job, after: Job, reader: Reader) -> str:
    """What is otherwise now that the last thing was scratched."""
    was, now = ({name.casefold(): measure for name, measure in job.kept} for job in (before, after))
    changes = [f"{name} is off the board" for name, _ in before.kept if name.casefold() not in now]
    for name, measure in after.kept:
        if was.get(name.casefold()) != measure:
            changes.append(f"{name} is {reader.on_tape(measure)}")
    if before.tape != after.tape:
        changes.append(f"{reader.tape.name} again")
    if before.k != after.k:
        changes.append("your K is as it was")
    if before.plus != after.plus:
        changes.append("your plus is as it was")
    if before.feet != after.feet:
        changes.append("feet are as they were")
    return sentence("Scratched", *(changes or [where_words(after, reader)]))


def _drawn(answer: Answer, job: Job, tape: Tape, reader: Reader) -> Answer:
    assert job.walked is not None
    return replace(answer, marks=marks_of(marks_in_hand(job, tape), reader), at=job.at or None)


def _kept(heard: str, name: str, before: Job, after: Job, reader: Reader) -> Answer:
    measure, was = kept_as(after, name), kept_as(before, name)
    assert measure is not None
    changed = f"It was {reader.on_tape(was)}" if was is not None and was != measure else ""
    say = sentence(f"{name} is {reader.on_tape(measure)}", changed)
    return Answer(heard, "done", say, (_shown_measure(name, measure, reader),))


def _items(heard: str, before: Job, after: Job, reader: Reader) -> Answer:
    """The number and the size of what was added, so that one missed or doubled is noticed."""
    assert after.string
    first, count = len(before.string or ()) + 1, len(after.string)
    new = after.string[first - 1 :]
    numbers = f"number {speak_whole(first)}"
    if len(new) > 1:
        numbers = f"numbers {speak_whole(first)} {'and' if len(new) == 2 else 'to'} {speak_whole(count)}"
    so_far = Value(
        "total",
        sum((m.length for m in after.string), Length(0)),
        lean=sum((m.lean for m in after.string), Fraction(0)),
    )
    return Answer(
        heard,
        "answer",
        sentence(f"{numbers}: {', '.join(reader.measured(m) for m in new)}"),
        (
            *(_shown_measure("item", m, reader) for m in new),
            reader.shown(Value("count", count, "count"), after.string[0].form),
            reader.shown(so_far, after.string[0].form),
        ),
    )


def _shown_measure(name: str, measure: Measure, reader: Reader) -> ShownValue:
    return reader.shown(Value(name, measure.length, lean=measure.lean), measure.form)
