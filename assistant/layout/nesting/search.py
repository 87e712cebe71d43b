"""The whole search: a good cutting, a proven bound, and work on either until they meet."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from math import gcd

from assistant.layout.nesting.bounds import fewest_sticks
from assistant.layout.nesting.cover import cover
from assistant.layout.nesting.packing import fullest_first, longest_first, shake
from assistant.layout.nesting.problem import Cutting, Effort, Problem, Stick, free_stock
from assistant.layout.nesting.relaxation import ONE, Pattern, Relaxation, relax

__all__ = ["Solution", "solve"]

_SHAKES = 500
"""Shakes before the bound by patterns is worked out: most lists need no more."""
_POLISH = 1000
"""Shakes at the end, which only gather the drops: one long drop is worth more than many short."""
_HALF = ONE * 6 // 10
"""A pattern cut at least so much of a time more is cut once more, when a mix is made whole."""


@dataclass(frozen=True, slots=True)
class Solution:
    """A cutting, and the least that any cutting could cost. Where the two are equal it cannot be bettered."""

    cutting: Cutting
    cost: int
    bound: int


def solve(problem: Problem, effort: Effort) -> Solution:
    """The cutting that uses the least steel that was found, with its bound. Never worse than longest first."""
    run = _Search(problem, effort)
    run.offer(longest_first(problem))
    run.offer(fullest_first(problem.pieces, problem.stocks, free_stock(problem.stocks, [])))
    run.raise_bound(run.simple_bound())
    run.offer(shake(problem, run.best, run.bound, effort, _SHAKES + len(set(problem.pieces)) ** 2 // 2))
    run.by_patterns()
    seed = 2
    while not run.done() and effort.spend(1):
        run.offer(shake(problem, run.best, run.bound, effort, _SHAKES * seed, seed))
        seed += 1
    run.offer(shake(problem, run.best, -1, effort, _POLISH))
    return Solution(run.best, run.cost, run.bound)


class _Search:
    def __init__(self, problem: Problem, effort: Effort) -> None:
        self.problem = problem
        self.effort = effort
        self.best = Cutting((), problem.pieces)
        self.cost = self.best.cost(problem)
        self.bound = 0
        self.costs = _possible_costs([stock.cost for stock in problem.stocks], self.cost)
        self.pool: set[Pattern] = set()

    def offer(self, cutting: Cutting) -> None:
        """Take a cutting where it is better. Its patterns are remembered."""
        for stick in cutting.sticks:
            counts = Counter(stick.pieces)
            self.pool.add((stick.stock, tuple(sorted(counts.items(), reverse=True))))
        cost = cutting.cost(self.problem)
        if cost < self.cost or (cost == self.cost and _fuller(cutting, self.best)):
            self.best, self.cost = cutting, cost

    def raise_bound(self, least: int) -> None:
        """No cutting costs less than the least sum of stick costs from here on."""
        self.bound = max(self.bound, min(self.costs(least), self.cost))

    def done(self) -> bool:
        return self.cost <= self.bound

    def simple_bound(self) -> int:
        """By length for sticks of several lengths; by dual feasible functions for one."""
        stocks = self.problem.stocks
        if len(stocks) == 1:
            return fewest_sticks(self.problem.pieces, stocks[0].room) * stocks[0].cost
        total = sum(self.problem.pieces)
        return min(-(-total * stock.cost // stock.room) for stock in stocks)

    def by_patterns(self) -> None:
        """The bound by patterns, the mix made whole, and the search through all patterns that can be in it."""
        if self.done():
            return
        demand = Counter(self.problem.pieces)
        free = free_stock(self.problem.stocks, [])
        relaxed = relax(demand, self.problem.stocks, free, self.pool, self.effort, (self.cost - 1) * ONE)
        self.raise_bound(-(-relaxed.bound // ONE))
        if self.done():
            return
        self._make_whole(relaxed)
        while not self.done() and relaxed.prices is not None:
            found, complete = cover(self.problem, relaxed.prices, self.bound, self.effort)
            if found is not None:
                self.offer(found)
            if not complete:
                return
            if found is None:
                self.raise_bound(self.bound + 1)

    def _make_whole(self, relaxed: Relaxation) -> None:
        """Cut the patterns of the mix that are cut most, relax what is left, and so on.

        What is left after each round is also packed fullest first, and counts where that meets the bound.
        """
        stocks = self.problem.stocks
        rest = Counter(self.problem.pieces)
        sticks: list[Stick] = []
        spent = 0
        while True:
            before = len(sticks)
            for (kind, cuts), amount in sorted(relaxed.mix, key=lambda m: -m[1]):
                times = (amount + ONE - _HALF) // ONE or (len(sticks) == before)
                free = free_stock(stocks, sticks)[kind]
                for _ in range(times if free is None else min(times, free)):
                    if any(rest[size] < count for size, count in cuts):
                        break
                    rest.subtract(dict(cuts))
                    sticks.append(Stick(kind, tuple(size for size, count in cuts for _ in range(count))))
                    spent += stocks[kind].cost
            rest = +rest
            tail = fullest_first(list(rest.elements()), stocks, free_stock(stocks, sticks))
            whole = Cutting((*sticks, *tail.sticks), tail.left_over)
            self.offer(whole)
            if self.done() or len(sticks) == before or not rest or not self.effort.spend(1):
                return
            free_now = free_stock(stocks, sticks)
            relaxed = relax(dict(rest), stocks, free_now, self.pool, self.effort)
            if spent * ONE + relaxed.bound > (self.cost - 1) * ONE:
                return


def _fuller(one: Cutting, other: Cutting) -> bool:
    return sum(sum(s.pieces) ** 2 for s in one.sticks) > sum(sum(s.pieces) ** 2 for s in other.sticks)


def _possible_costs(costs: Sequence[int], most: int) -> _Rounding:
    return _Rounding(costs, most)


class _Rounding:
    """Rounds a cost up to the next that some number of sticks comes to."""

    def __init__(self, costs: Sequence[int], most: int) -> None:
        self.unit = gcd(*costs)
        steps = [cost // self.unit for cost in costs]
        limit = most // self.unit + 1
        mask = (1 << (limit + 1)) - 1
        sums = 1
        for step in steps:
            shift = step
            while shift <= limit:
                sums |= sums << shift & mask
                shift *= 2
        self.sums = sums

    def __call__(self, least: int) -> int:
        whole = -(-least // self.unit)
        above = self.sums >> whole
        return (whole + (above & -above).bit_length() - 1) * self.unit if above else whole * self.unit
