"""Every cutting that could meet a cost, tried: the last word where few patterns are good enough.

Prices of the pieces at which no pattern is worth more than it costs leave each pattern with so much over.
What a whole cutting has over is settled by its cost, so that a pattern with more over than that is in none.
Two sets of prices sift the patterns: those of the relaxation, and plain length, which is the same as waste.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from fractions import Fraction
from typing import NamedTuple

from assistant.layout.nesting.problem import Cutting, Effort, Problem, Stick, free_stock
from assistant.layout.nesting.relaxation import ONE, Pattern, Prices

__all__ = ["cover"]

_MOST_PATTERNS = 4000
"""More patterns than this are not tried through; the cutting is then not proven."""


class _Priced(NamedTuple):
    over: int
    """What it costs over its worth at the relaxation's prices, in 1 / ONE."""
    waste: int
    """Room left empty, as the dearest stock's room counts it: cost less length at the cheapest rate."""
    pattern: Pattern


def cover(problem: Problem, prices: Prices, target: int, effort: Effort) -> tuple[Cutting | None, bool]:
    """A cutting of no more than the target cost, or none; and whether every one was tried."""
    demand = Counter(problem.pieces)
    worth = sum(prices.sizes[size] * n for size, n in demand.items())
    worth -= sum(price * (problem.stocks[kind].quantity or 0) for kind, price in prices.sticks.items())
    rate = min(problem.stocks, key=lambda stock: Fraction(stock.cost, stock.room))
    waste = target * rate.room - sum(problem.pieces) * rate.cost
    patterns = _within(problem, demand, prices, (target * ONE - worth, waste), (rate.cost, rate.room), effort)
    if patterns is None:
        return None, False
    return _Cover(problem, patterns, effort).run(demand, target * ONE - worth, waste)


class _Cover:
    """Depth first, the size with the fewest patterns next."""

    def __init__(self, problem: Problem, patterns: Sequence[_Priced], effort: Effort) -> None:
        self.patterns = patterns
        self.effort = effort
        self.free = free_stock(problem.stocks, [])
        self.sizes = sorted(set(problem.pieces))
        self.chosen: list[Stick] = []
        self.failed: dict[tuple[int, ...], int] = {}
        self.complete = True

    def run(self, demand: Counter[int], over: int, waste: int) -> tuple[Cutting | None, bool]:
        if self._branch(demand, self.patterns, over, waste):
            return Cutting(tuple(self.chosen)), True
        return None, self.complete

    def _branch(self, rest: Counter[int], allowed: Sequence[_Priced], over: int, waste: int) -> bool:
        if not self.effort.spend(2 + len(allowed) // 4):
            self.complete = False
            return False
        if not rest:
            return True
        key = tuple(rest[size] for size in self.sizes)
        if self.failed.get(key, -1) >= over:
            return False
        live = [p for p in allowed if p.over <= over and p.waste <= waste and self._can(p.pattern, rest)]
        ways = Counter(size for p in live for size, _ in p.pattern[1])
        tight = min(rest, key=lambda size: (ways[size], -size))
        for priced in live:
            kind, cuts = priced.pattern
            if all(size != tight for size, _ in cuts):
                continue
            after = rest.copy()
            after.subtract(dict(cuts))
            count = self.free[kind]
            if count is not None:
                self.free[kind] = count - 1
            self.chosen.append(Stick(kind, tuple(size for size, n in cuts for _ in range(n))))
            if self._branch(+after, live, over - priced.over, waste - priced.waste):
                return True
            self.chosen.pop()
            self.free[kind] = count
            if not self.complete:
                return False
        self.failed[key] = over
        return False

    def _can(self, pattern: Pattern, rest: Counter[int]) -> bool:
        return self.free[pattern[0]] != 0 and all(rest[size] >= n for size, n in pattern[1])


def _within(
    problem: Problem,
    demand: Counter[int],
    prices: Prices,
    budget: tuple[int, int],
    rate: tuple[int, int],
    effort: Effort,
) -> list[_Priced] | None:
    """Every pattern, full or not, with no more over and no more waste than the budget; none where too many."""
    sizes = sorted(demand, reverse=True)
    best, sums = _from_each_size_down(sizes, demand, prices, max(stock.room for stock in problem.stocks))
    over_budget, waste_budget = budget
    cost_rate, room_rate = rate
    found: list[_Priced] = []
    for kind, stock in enumerate(problem.stocks):
        base = stock.cost * ONE + prices.sticks.get(kind, 0)
        # Waste of a pattern is cost x room_rate less its length x cost_rate; this much may stay empty.
        empty = (waste_budget - stock.cost * room_rate + stock.room * cost_rate) // cost_rate
        stack: list[tuple[int, int, int, tuple[tuple[int, int], ...]]] = [(0, stock.room, base, ())]
        while stack:
            k, room, over, cuts = stack.pop()
            above, below = best[k]
            if over - above * room // below > over_budget or not _reaches(sums[k], room, empty):
                continue
            if k == len(sizes):
                if cuts:
                    waste = stock.cost * room_rate - (stock.room - room) * cost_rate
                    found.append(_Priced(max(over, 0), waste, (kind, cuts)))
                    if len(found) > _MOST_PATTERNS:
                        return None
                continue
            if not effort.spend(1):
                return None
            size = sizes[k]
            worth = prices.sizes[size]
            stack.append((k + 1, room, over, cuts))
            for count in range(1, min(demand[size], room // size) + 1):
                stack.append((k + 1, room - count * size, over - count * worth, (*cuts, (size, count))))
    found.sort(key=lambda p: p.over)
    return found


def _from_each_size_down(
    sizes: Sequence[int], demand: Counter[int], prices: Prices, room: int
) -> tuple[list[tuple[int, int]], list[int]]:
    """From each size down: the most that a length is worth, as worth and length; and the sums it can make, as bits."""
    best, sums = [(0, 1)], [1]
    mask = (1 << (room + 1)) - 1
    for size in reversed(sizes):
        above, below = best[-1]
        worth = prices.sizes[size]
        best.append((worth, size) if worth * below > above * size else (above, below))
        made = sums[-1]
        for _ in range(min(demand[size], room // size)):
            made |= made << size & mask
        sums.append(made)
    return best[::-1], sums[::-1]


def _reaches(sums: int, room: int, empty: int) -> bool:
    """Whether the sums have one that leaves no more than so much of the room empty."""
    if empty < 0:
        return False
    least = max(0, room - empty)
    return bool(sums >> least & ((1 << (room - least + 1)) - 1))
