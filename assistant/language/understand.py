"""Words to one outcome: a request, or a question back where there are two honest readings or a piece missing."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import fields, is_dataclass, replace
from fractions import Fraction
from functools import lru_cache
from typing import Any, TypeVar

from assistant.errors import Slip
from assistant.language.describe import DESCRIBED, describe, describe_operand
from assistant.language.grammar import Grammar
from assistant.language.meaning import NoSense, Refused
from assistant.language.parse import Parser
from assistant.language.requests import Add, Denominator, Hold, Items, Measure, Pick, Recall, Request, TakeOff, Task
from assistant.language.speak import cap_first, fraction_names, speak_whole
from assistant.language.task_meaning import badness
from assistant.language.text import to_words
from assistant.language.understanding import Choice, Impossible, NotUnderstood, Outcome, Unclear, Understood
from assistant.length import Length

__all__ = ["about_sizes", "ask_for_bottom", "complete", "understand", "understand_words", "which"]

_COMMON_BOTTOMS = (4, 8, 16)
"""What a missing bottom usually is on a tape of sixteenths; offered as choices."""
_T = TypeVar("_T")


@lru_cache(maxsize=4)
def _parser(grammar: Grammar) -> Parser:
    return Parser(grammar)


def understand(grammar: Grammar, text: str, expecting: str = "request", rival: str = "") -> tuple[str, Outcome]:
    """Typed text, or words heard, to ``(the words, what they mean)``. ``expecting`` is a root of the grammar.

    ``rival``: words that were about as likely said. Where both ask for something about sizes, he is asked which.
    """
    try:
        words = to_words(text)
    except Slip as slip:
        return " ".join(text.lower().split()), Impossible(str(slip))
    heard = " ".join(word for word in words if word != ",")
    outcome = _after_a_pause(grammar, words, expecting) or understand_words(grammar, heard.split(), expecting)
    return heard, _either(outcome, understand_words(grammar, rival.split(), expecting)) if rival else outcome


def understand_words(grammar: Grammar, words: list[str], expecting: str = "request") -> Outcome:
    """Words of the language, one by one, to what they mean."""
    readings = _parser(grammar).parse(words, expecting)
    return _decide([r for r in readings if not isinstance(r, NoSense)], expecting)


def _either(first: Outcome, second: Outcome) -> Outcome:
    match first, second:
        case Understood(one), Understood(other) if about_sizes(first) and about_sizes(second):
            said = [_without_what_is_in_hand(describe(request)) for request in (one, other)]
            if said[0] != said[1]:
                return which(said, [one, other])
    return first


def _without_what_is_in_hand(description: str) -> str:
    """ "Plus five" of "it plus five", "three eighths" of "no, three eighths": he is choosing what goes with it."""
    return description.removeprefix("it ").removeprefix("no, ")


def about_sizes(outcome: Outcome) -> bool:
    """Whether it is to be carried out and works on sizes: a slip there ends in steel. Any other is undone by a word."""
    return isinstance(outcome, Understood) and isinstance(outcome.request, DESCRIBED)


def _after_a_pause(grammar: Grammar, words: list[str], expecting: str) -> Outcome | None:
    """ "Three sixteenths plus, seven eighths": the pause makes the plus a lean, and the rest another number."""
    if words.count(",") != 1:
        return None
    at = words.index(",")
    before, after = (understand_words(grammar, w, expecting) for w in (words[:at], words[at + 1 :]))
    match before, after:
        case Understood(Hold(Measure() as first)), Understood(Hold(Measure() as second)) if first.lean:
            both = Add((replace(first, lean=Fraction(0)), second))
            alone = f"next number, {describe_operand(second)}"
            return Unclear("Add them, or next number?", (Choice(describe(both), both), Choice(alone, Hold(second))))
    return None


def _decide(readings: list[Any], expecting: str) -> Outcome:
    requests: list[Request] = [r for r in readings if not isinstance(r, Refused)]
    if not requests:
        return Impossible(readings[0].sentence) if readings else NotUnderstood()
    # With a question open, a bare "two" is its second choice, and "eighths" its bottom number.
    expected: type | None = {"answer": Pick, "denominator": Denominator}.get(expecting)
    for request in requests:
        if expected and isinstance(request, expected):
            return Understood(request)
    requests = [r for r in requests if r == _sure(r) or _sure(r) not in requests]
    if len(requests) > 1:
        requests = [r for r in requests if not isinstance(r, Items)] or requests
    # "The brace" is the piece of that name; where none is kept, the session takes it for the task.
    requests = [r for r in requests if isinstance(r, Recall)] or requests
    tasks = [r for r in requests if isinstance(r, Task)]
    if len(tasks) == len(requests):
        least = min(map(badness, tasks))
        requests = [r for r in tasks if badness(r) == least]
    pairs = [r for r in requests if isinstance(r, Items)]
    if pairs:
        return _one_or_two(next((p for p in pairs if p.both[0] == p.both[1]), pairs[0]))
    unfinished = next((r for r in requests if _missing(r)), None)
    if unfinished is not None:
        return ask_for_bottom(unfinished, [r for r in requests if not _missing(r) and isinstance(r, (Hold, TakeOff))])
    if len(requests) == 1 and all(m.sure for m in _measures(requests[0])):
        return Understood(requests[0])
    sure = [_sure(r) for r in sorted(requests, key=lambda r: isinstance(r, Add))]
    return which(list(map(describe, sure)), sure)


def _one_or_two(items: Items) -> Outcome:
    first, second = items.both
    if first == second:
        question = f"That's two of {describe_operand(first)}?"
        return Unclear(question, (Choice("two of them", items), Choice("just the one", Hold(first))))
    both = f"{describe_operand(first)}, and {describe_operand(second)}"
    return Unclear(f"{cap_first(both)}: add them both?", (Choice("both", items), Choice("just the last", Hold(second))))


def which(said: Sequence[str], requests: Sequence[Request]) -> Unclear:
    """Which of these requests was it? ``said`` is what is offered for each."""
    return Unclear(f"{cap_first(', or '.join(said))}?", tuple(map(Choice, said, requests)))


def ask_for_bottom(request: Request, others: Sequence[Request] = ()) -> Unclear:
    """Three what? For a request with a missing bottom number; ``others`` are whole readings it may be instead."""
    top = next(m.missing for m in _measures(request) if m.missing is not None)
    names = fraction_names()
    choices = [
        Choice(f"{speak_whole(top)} {names[bottom][top > 1]}", complete(request, bottom))
        for bottom in _COMMON_BOTTOMS
        if top < bottom
    ]
    choices += [Choice(describe(_sure(o)), _sure(o)) for o in others]
    return Unclear(f"{cap_first(speak_whole(top))} what?", tuple(choices), request)


def complete(request: Request, bottom: int) -> Request:
    """The request with its missing fraction filled in.

    Raises:
        Slip: where the fraction would be a whole or more.
    """

    def fill(measure: Measure) -> Measure:
        if measure.missing is None:
            return measure
        if measure.missing >= bottom:
            said = f"{speak_whole(measure.missing)} {fraction_names()[bottom][1]}"
            raise Slip(f"{cap_first(said)} is an inch or more. Say it again.")
        return replace(measure, length=measure.length + Length(Fraction(measure.missing, bottom)), missing=None)

    return _map_measures(request, fill)


def _sure(request: Request) -> Request:
    return _map_measures(request, lambda m: replace(m, sure=True))


def _missing(request: Request) -> bool:
    return any(m.missing is not None for m in _measures(request))


def _measures(value: Any) -> Iterator[Measure]:
    if isinstance(value, Measure):
        yield value
    elif isinstance(value, tuple):
        for one in value:
            yield from _measures(one)
    elif is_dataclass(value):
        for field in fields(value):
            yield from _measures(getattr(value, field.name))


def _map_measures(value: _T, change: Any) -> _T:
    if isinstance(value, Measure):
        return change(value)  # type: ignore[no-any-return]
    if isinstance(value, tuple):
        return tuple(_map_measures(one, change) for one in value)  # type: ignore[return-value]
    if is_dataclass(value) and not isinstance(value, type) and list(_measures(value)):
        return replace(value, **{f.name: _map_measures(getattr(value, f.name), change) for f in fields(value)})
    return value
