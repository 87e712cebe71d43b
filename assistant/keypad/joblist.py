"""The list of jobs, and a job asking for its measurements one at a time.

the list    1 to 9 picks, Enter or + next page, - page before, . says it again, * or Backspace leaves
a prompt    a line, then Enter; Enter alone where the prompt offers it; with nothing keyed . says it again
            unless it can begin a measurement; * or Backspace goes a prompt back, from the first to the list
"""

from __future__ import annotations

from dataclasses import replace

from assistant.errors import Slip
from assistant.keypad.expression import Bench, can_be, measure, whole_number, words
from assistant.keypad.jobs import JOBS, Prompt, Wanted
from assistant.keypad.keys import DIGITS, Key
from assistant.keypad.pad import Listing, Pad, Pressed, Prompting, refused, take_back
from assistant.keypad.spoken import start, whole
from assistant.language.requests import Operand, Piece
from assistant.language.understanding import Impossible, Understood

__all__ = ["JOBS_A_PAGE", "answer", "choose", "listed"]

JOBS_A_PAGE = 9
"""As many as there are digits to pick with."""


def listed(page: int = 0) -> Pressed:
    """The list opened at a page. Turning past either end goes round."""
    page %= -(-len(JOBS) // JOBS_A_PAGE)
    names = tuple(job.name for job in JOBS[page * JOBS_A_PAGE :][:JOBS_A_PAGE])
    said = " ".join(f"{start(whole(str(number)))}, {name}." for number, name in enumerate(names, 1))
    more = " Enter for more." if len(JOBS) > JOBS_A_PAGE else ""
    return Pressed(Pad(stage=Listing(page)), f"Jobs. {said}{more}", asks=True, options=names)


def choose(listing: Listing, pad: Pad, key: Key, bench: Bench) -> Pressed:
    """A key while the list is open."""
    if key in DIGITS and key is not Key.ZERO:
        jobs = JOBS[listing.page * JOBS_A_PAGE :][:JOBS_A_PAGE]
        number = int(key.value)
        if number > len(jobs):
            return refused(pad, f"There is no job {whole(key.value)} here.")
        return _next(Prompting(jobs[number - 1]), bench)
    match key:
        case Key.ENTER | Key.PLUS:
            return listed(listing.page + 1)
        case Key.MINUS:
            return listed(listing.page - 1)
        case Key.DOT:
            return listed(listing.page)
        case Key.STAR | Key.BACKSPACE:
            return Pressed(Pad(), "Jobs closed.")
    return refused(pad)


def answer(stage: Prompting, pad: Pad, key: Key, bench: Bench) -> Pressed:
    """A key while a job is asking."""
    prompt = stage.job.prompts[len(stage.given)]
    if key is Key.ENTER:
        return _entered(stage, prompt, pad, bench)
    if key in (Key.STAR, Key.BACKSPACE):
        if pad.line or (key is Key.STAR and pad.taken is Key.STAR):
            return take_back(pad, key, words)
        return _before(stage, bench)
    line = pad.line + key.value
    if prompt.wanted is Wanted.NUMBER:
        if not pad.line and key is Key.DOT:
            return _asked(stage, bench)
        fits = key in DIGITS and can_be(f"*{line}")
    else:
        fits = line[0] not in "+-*/" and can_be(line)
    if not fits:
        return refused(pad)
    return Pressed(replace(pad, line=line, taken=None), words(line))


def _entered(stage: Prompting, prompt: Prompt, pad: Pad, bench: Bench) -> Pressed:
    try:
        value = _value(prompt, pad.line, bench)
    except Slip as slip:
        return Pressed(replace(pad, taken=None), shown=words(pad.line), outcome=Impossible(str(slip)))
    return _next(Prompting(stage.job, (*stage.given, value)), bench)


def _value(prompt: Prompt, line: str, bench: Bench) -> Operand | int:
    if line:
        return measure(line) if prompt.wanted is Wanted.LENGTH else whole_number(line, prompt.things)
    if prompt.enter is None or (isinstance(prompt.enter, Piece) and not bench.piece):
        raise Slip(f"Nothing is keyed. {prompt.say}")
    return prompt.enter


def _next(stage: Prompting, bench: Bench) -> Pressed:
    if len(stage.given) < len(stage.job.prompts):
        return _asked(stage, bench)
    return Pressed(Pad(), shown=stage.job.name, outcome=Understood(stage.job.request(*stage.given)))


def _before(stage: Prompting, bench: Bench) -> Pressed:
    if not stage.given:
        return listed(JOBS.index(stage.job) // JOBS_A_PAGE)
    return _asked(Prompting(stage.job, stage.given[:-1]), bench)


def _asked(stage: Prompting, bench: Bench) -> Pressed:
    prompt = stage.job.prompts[len(stage.given)]
    offered = prompt.enter is not None and (bench.piece or not isinstance(prompt.enter, Piece))
    named = "" if stage.given else f"{start(stage.job.name)}. "
    enter = f" Enter for {prompt.enter_is}." if offered else ""
    return Pressed(Pad(stage=stage), f"{named}{prompt.say}{enter}", asks=True)
