"""The table the benchmarks fill."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

__all__ = ["Row", "percentile", "printed"]


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


def printed(rows: Iterable[Row]) -> str:
    """The rows as a Markdown table, ready to paste."""
    lines = ["| | what | measured | target |", "|---|---|---|---|"]
    before = ""
    for row in rows:
        lines.append(f"| {row.group if row.group != before else ''} | {row.what} | {row.measured} | {row.target} |")
        before = row.group
    return "\n".join(lines) + "\n"
