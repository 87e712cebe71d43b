"""The cutting problem in whole numbers, and a cutting that answers it."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field

__all__ = ["Cutting", "Effort", "Problem", "Stick", "Stock"]


@dataclass(frozen=True, slots=True)
class Stock:
    """One length of stick."""

    room: int
    """What it holds: usable length and one kerf, in the problem's unit."""
    cost: int
    """What using one up counts for: its whole length, in the problem's unit."""
    quantity: int | None = None
    """How many there are; none for as many as it takes."""


@dataclass(frozen=True, slots=True)
class Problem:
    """Pieces to cut from stock. Every size has the kerf in it; every length is a whole number of one unit."""

    pieces: tuple[int, ...]
    """Longest first."""
    stocks: tuple[Stock, ...]


@dataclass(frozen=True, slots=True)
class Stick:
    """One stick and the pieces cut from it."""

    stock: int
    """Which of the problem's stocks."""
    pieces: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Cutting:
    """Sticks for all the pieces but those left over, for want of stock."""

    sticks: tuple[Stick, ...]
    left_over: tuple[int, ...] = ()

    def cost(self, problem: Problem) -> int:
        """Steel used. A piece left over counts more than any stick could."""
        return sum(problem.stocks[s.stock].cost for s in self.sticks) + len(self.left_over) * penalty(problem.stocks)


def penalty(stocks: Sequence[Stock]) -> int:
    """What leaving a piece uncut counts for: dearer than the dearest stick."""
    return 4 * max(stock.cost for stock in stocks)


def free_stock(stocks: Sequence[Stock], sticks: Sequence[Stick]) -> list[int | None]:
    """How many of each stock are left after some sticks; none for no limit."""
    used = Counter(stick.stock for stick in sticks)
    return [None if s.quantity is None else s.quantity - used[i] for i, s in enumerate(stocks)]


@dataclass(slots=True)
class Effort:
    """How much work may still be done: so many steps, and until somebody says it is enough.

    A step is about ten microseconds' work on a bench computer.
    """

    steps: int
    enough: Callable[[], bool] = field(default=lambda: False)

    def spend(self, steps: int) -> bool:
        """Take so many steps; false where there are none left."""
        self.steps -= steps
        return self.steps > 0 and not self.enough()
