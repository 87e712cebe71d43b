"""Walking the marks of an answer, one a breath. No mark advances without his word."""

from __future__ import annotations

from assistant.errors import Slip
from assistant.language.requests import Step
from assistant.language.speak import speak_whole
from assistant.layout.result import Result
from assistant.session.deeds import Deed
from assistant.session.present import closing_words, mark_words
from assistant.session.reader import Reader, sentence

__all__ = ["likely_next", "walked"]


def walked(result: Result, asked: Deed, at: int, step: Step | int, reader: Reader) -> tuple[int, str]:
    """Which mark is said last after a step, or on going to one by its number, and what is said. ``at`` is 0 before the
    first.

    The datum is said once, with the first mark he hears. Past the last mark comes where it all closes, and
    the walk stays there; before the first there is nothing.

    Raises:
        Slip: where there is no mark of such a number.
    """
    count = len(result.marks)

    def mark(n: int, lead: str = "") -> tuple[int, str]:
        return n, " ".join(filter(None, (lead, mark_words(result, reader, n, datum=at == 0))))

    if isinstance(step, int):
        if not 1 <= step <= count:
            there = f"are {speak_whole(count)} marks" if count > 1 else "is only one mark"
            raise Slip(f"There {there}. Say next, or the number of one.")
        return mark(step)
    if step is Step.FIRST:
        return mark(1)
    if step is Step.LAST:
        return mark(count)
    if step is Step.NEXT:
        return mark(at + 1) if at < count else (at, closing_words(result, reader, asked))
    if step is Step.BACK and at > 1:
        return mark(at - 1)
    if at == 0:
        before = f"Before the first of {speak_whole(count)}" if count > 1 else "Before the only mark"
        return 0, sentence(before, "Say next to go on")
    if step is Step.BACK:
        return mark(1, sentence("That's the first" if count > 1 else "That's the only one"))
    return at, mark_words(result, reader, at, datum=True)


def likely_next(result: Result, asked: Deed, at: int, reader: Reader) -> tuple[str, ...]:
    """What "next" will say, to be made ready ahead."""
    return (walked(result, asked, at, Step.NEXT, reader)[1],) if result.marks else ()
