"""Everything a job holds while it runs. One frozen value, so that undo is keeping the one before."""

from __future__ import annotations

from dataclasses import dataclass, fields, replace
from fractions import Fraction
from typing import Any

from assistant.errors import BoardTooNew
from assistant.language.requests import Measure, Task
from assistant.language.tasks import filled_in
from assistant.length import Length
from assistant.session.deeds import Deed
from assistant.session.record import from_record, to_record
from assistant.tape import Feet, Tape

__all__ = ["VERSION", "Job", "Names", "alone", "cleared", "with_names"]

VERSION = 1
"""Of the form a job is written in."""


Names = tuple[tuple[str, Measure], ...]
"""What stands on the board: names with what they stand for, oldest first. Each name once."""


@dataclass(frozen=True, slots=True)
class Job:
    """The state of the bench. A new one is made by every request that changes anything."""

    piece: Measure | None = None
    """The measurement in hand."""
    asked: Deed | None = None
    """What the last answer answers, with every measurement filled in: "how come" explains it, "next" walks
    its marks. The answer itself is worked out again whenever it is needed, never stored."""
    marked: Deed | None = None
    """Whose marks are walked, where the last answer only put the piece in another unit: he keeps his marks."""
    at: int = 0
    """Which of the marks was said last; 0 before the first."""
    string: tuple[Measure, ...] | None = None
    """The running string, while one is open."""
    kept: Names = ()
    tape: Tape | None = None
    """The tape he asked for; none where the settings decide."""
    plus: Length | None = None
    """How much he said his plus is worth; none where the settings decide."""
    feet: Feet | None = None
    """When he said he wants feet; none where the settings decide."""
    plus_asked: bool = False
    """Whether he was asked: only once."""
    k: Fraction | None = None
    """The K he said for the bends of his brake; none where he said none yet."""
    cutting: Task | None = None
    """The cut list as far as it is given: sticks, trim and pieces, to be nested with his kerf."""
    held: Length | None = None
    """The inch he holds on the end, until the piece is done: every mark is read so much further on."""
    cautioned: tuple[str, ...] = ()
    """The cautions already spoken for this piece."""
    base: Job | None = None
    """The job before the last measurement he gave. It has none itself."""
    trail: tuple[Deed, ...] = ()
    """What he asked from there on, as he said it; the first one holds that measurement. Putting it right is
    doing all of them again."""

    @property
    def walked(self) -> Deed | None:
        """What the marks belong to."""
        return self.marked or self.asked

    @property
    def clean(self) -> bool:
        """Whether nothing has been asked yet."""
        return self == cleared(self)

    def to_dict(self) -> dict[str, Any]:
        """As JSON can hold it, exactly; the version of the form is inside."""
        return {"version": VERSION, **self._record()}

    @classmethod
    def from_dict(cls, record: dict[str, Any]) -> Job:
        """What ``to_dict`` wrote.

        Raises:
            BoardTooNew: where a newer Tapehand wrote it; ValueError where it is broken.
        """
        version = record.get("version")
        if not isinstance(version, int) or version < 1:
            raise ValueError("not a job: no version")
        if version > VERSION:
            raise BoardTooNew("This job was kept by a newer Tapehand. Update this one, or use the newer one.")
        return cls._from(record)

    def _record(self) -> dict[str, Any]:
        base = self.base._record() if self.base else None
        return {f.name: to_record(getattr(self, f.name)) for f in fields(self) if f.name != "base"} | {"base": base}

    @classmethod
    def _from(cls, record: dict[str, Any]) -> Job:
        parts = {f.name: from_record(record[f.name]) for f in fields(cls) if f.name in record and f.name != "base"}
        if parts.get("cutting"):
            parts["cutting"] = _counted(parts["cutting"])
        base = record.get("base")
        return cls(**parts, base=cls._from(base) if base else None)


def _counted(cutting: Task) -> Task:
    """A cut list from before sticks were counted: there are as many as it takes, which 0 stands for."""
    names = [name for name, _ in cutting.given]
    for _ in range(names.count("stock") - names.count("sticks")):
        cutting = filled_in(cutting, "sticks", 0)
    return cutting


def cleared(job: Job) -> Job:
    """A new job for the same person: the board with his kerf, his tape, his feet, his plus and his K stay."""
    return Job(kept=job.kept, tape=job.tape, plus=job.plus, feet=job.feet, plus_asked=job.plus_asked, k=job.k)


def alone(job: Job) -> Job:
    """Without what came before it: fit to be the ``base`` of another."""
    return replace(job, base=None, trail=())


def with_names(job: Job, taken: Names, added: Names) -> Job:
    """With what others did to the board: what they finished or wrote over taken away, what they put up added."""
    gone = set(taken)
    kept = {name: measure for name, measure in job.kept if (name, measure) not in gone} | dict(added)
    base = with_names(job.base, taken, added) if job.base else None
    return replace(job, kept=tuple(kept.items()), base=base)
