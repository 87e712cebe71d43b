"""The table the benchmarks fill."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

__all__ = ["Row", "lines", "percentile"]


@dataclass(frozen=True, slots=True)
class Row:
    """One thing measured."""

    group: str
    """What kind of thing: "language", "hearing: numbers, clean"."""
    what: str
    measured: str
    """The figure with its unit."""
    target: str = ""
    """What it should be, where there is a target."""


def percentile(values: Sequence[float], share: float) -> float:
    """The value that ``share`` (0 to 1) of ``values`` do not exceed. ``values`` must not be empty."""
    ordered = sorted(values)
    return ordered[min(len(ordered) - 1, int(share * len(ordered)))]


def lines(rows: Iterable[Row]) -> Iterator[str]:
    """The rows as a Markdown table, ready to paste; each line as soon as its row is there."""
    yield "| | what | measured | target |"
    yield "|---|---|---|---|"
    before = ""
    for row in rows:
        yield f"| {row.group if row.group != before else ''} | {row.what} | {row.measured} | {row.target} |"
        before = row.group
