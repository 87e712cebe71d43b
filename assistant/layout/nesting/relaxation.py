"""The bound by patterns: how little steel it takes if fractions of a stick could be cut.

Gilmore and Gomory's linear program (Operations Research 9, 1961, and 11, 1963): the least cost of a mix of
cutting patterns that gives every piece. Patterns are made as they are wanted, by a knapsack; the simplex
method runs on whole numbers, each a multiple of 2**-64. That arithmetic is rounded, so the bound is not
taken from it: any prices of the pieces give one (weak duality), and the prices it ends with are checked in
exact arithmetic against the best pattern there is (Farley, Operations Research 38, 1990).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

from assistant.layout.nesting.problem import Effort, Stock, penalty

__all__ = ["ONE", "Pattern", "Prices", "Relaxation", "best_pattern", "relax"]

_BITS = 64
ONE = 1 << _BITS
_NEAR = ONE >> 30
"""Nothing, as far as the rounded arithmetic can tell."""
_HAIR = ONE >> 24
_KNAPSACK_STEPS = 20_000

Pattern = tuple[int, tuple[tuple[int, int], ...]]
"""Which stock, and the sizes cut from one stick with how many of each."""


@dataclass(frozen=True, slots=True)
class Prices:
    """What each size, and each limited stick, is worth: proven so that no pattern is worth more than it costs."""

    sizes: dict[int, int]
    """In units of 1 / ONE of the cost."""
    sticks: dict[int, int]
    """By stock: what one more of it would save."""


@dataclass(slots=True)
class Relaxation:
    """The mix of patterns, and the proven bound."""

    bound: int = 0
    """The cost is at least this over ONE."""
    prices: Prices | None = None
    mix: list[tuple[Pattern, int]] = field(default_factory=list)
    """Patterns with how often each is cut, in units of 1 / ONE."""


def relax(
    demand: dict[int, int],
    stocks: Sequence[Stock],
    free: Sequence[int | None],
    pool: set[Pattern],
    effort: Effort,
    good_enough: int | None = None,
) -> Relaxation:
    """Solve it for so many of each size, with so many of each stock free.

    ``pool`` holds patterns known already, and is added to. It stops where the bound is over ``good_enough``
    (a cost times ONE) or the effort is spent; the bound is proven all the same.
    """
    tableau = _Tableau(demand, stocks, free)
    known = [p for p in pool if tableau.takes(p)]
    result = Relaxation()
    while effort.spend(1 + len(tableau.basis) ** 2 // 64):
        if tableau.enter_slack() or tableau.enter_known(known):
            continue
        made = tableau.price(result, effort)
        if made is None or (good_enough is not None and result.bound > good_enough):
            break
        known.append(made)
        pool.add(made)
        if not tableau.enter_known([made]):
            break
    result.mix = tableau.mix()
    return result


class _Tableau:
    """The revised simplex method with its inverse kept in full. Rows: each size, then each limited stock."""

    def __init__(self, demand: dict[int, int], stocks: Sequence[Stock], free: Sequence[int | None]) -> None:
        self.stocks = stocks
        self.sizes = list(demand)
        self.demand = list(demand.values())
        self.row_of = {size: row for row, size in enumerate(self.sizes)}
        limited = [i for i, count in enumerate(free) if count is not None]
        self.free = free
        self.limit_row = {kind: len(self.sizes) + row for row, kind in enumerate(limited)}
        count = len(self.sizes) + len(limited)
        self.basis: list[Pattern | None] = [None] * count
        self.inverse = [[0] * count for _ in range(count)]
        self.amount = [0] * count
        self.price_of = [0] * count
        for row, (size, wanted) in enumerate(demand.items()):
            self._start(row, size, wanted)
        for kind, row in self.limit_row.items():
            self.inverse[row][row] = ONE
            self.amount[row] = (free[kind] or 0) << _BITS

    def _start(self, row: int, size: int, wanted: int) -> None:
        """A first basis: each size alone on the stick that does it cheapest, or bought in, dear."""
        ways = [
            (stock.cost * wanted // min(wanted, stock.room // size), kind)
            for kind, stock in enumerate(self.stocks)
            if self.free[kind] is None and stock.room >= size
        ]
        each, cost = 1, penalty(self.stocks)
        if ways:
            kind = min(ways)[1]
            each, cost = min(wanted, self.stocks[kind].room // size), self.stocks[kind].cost
            self.basis[row] = (kind, ((size, each),))
        self.inverse[row][row] = ONE // each
        # A hair more of each, all different, so that no two rows leave at once and the method cannot go round.
        self.amount[row] = ((wanted << _BITS) + (row + 1) * _HAIR) // each
        self.price_of[row] = cost * ONE // each

    def takes(self, pattern: Pattern) -> bool:
        """Whether a pattern cuts nothing that is not wanted."""
        rows = self.row_of
        return self.free[pattern[0]] != 0 and all(s in rows and self.demand[rows[s]] >= n for s, n in pattern[1])

    def enter_slack(self) -> bool:
        """Bring in the waste of a piece, or of a limited stick, where that pays."""
        last = len(self.sizes)
        row = min(range(len(self.price_of)), key=lambda r: self.price_of[r] if r < last else -self.price_of[r])
        gain = self.price_of[row] if row < last else -self.price_of[row]
        if gain >= -_NEAR:
            return False
        self._pivot([(row, -1 if row < last else 1)], gain, None)
        return True

    def enter_known(self, patterns: Sequence[Pattern]) -> bool:
        """Bring in the pattern, of these, that saves most."""
        best, gain = None, -_NEAR
        prices, rows = self.price_of, self.row_of
        for pattern in patterns:
            kind, cuts = pattern
            saved = self.stocks[kind].cost << _BITS
            if kind in self.limit_row:
                saved -= prices[self.limit_row[kind]]
            for size, count in cuts:
                saved -= prices[rows[size]] * count
            if saved < gain:
                best, gain = pattern, saved
        if best is None:
            return False
        column = [(rows[size], count) for size, count in best[1]]
        if best[0] in self.limit_row:
            column.append((self.limit_row[best[0]], 1))
        self._pivot(column, gain, best)
        return True

    def _pivot(self, column: Sequence[tuple[int, int]], gain: int, pattern: Pattern | None) -> None:
        step = [sum(row[r] * count for r, count in column) for row in self.inverse]
        leave, above, below = -1, 0, 1
        for row, per in enumerate(step):
            if per > _NEAR and (leave < 0 or self.amount[row] * below < above * per):
                leave, above, below = row, self.amount[row], per
        if leave < 0:
            raise ArithmeticError("a pattern that could be cut without end")
        new = [(v << _BITS) // below for v in self.inverse[leave]]
        amount = (above << _BITS) // below
        for row, per in enumerate(step):
            if per and row != leave:
                self.inverse[row] = [v - (per * w >> _BITS) for v, w in zip(self.inverse[row], new, strict=True)]
                self.amount[row] -= per * amount >> _BITS
        self.inverse[leave], self.amount[leave], self.basis[leave] = new, amount, pattern
        self.price_of = [v + (gain * w >> _BITS) for v, w in zip(self.price_of, new, strict=True)]

    def price(self, result: Relaxation, effort: Effort) -> Pattern | None:
        """The pattern worth most over its cost, and with it the proven bound; none where nothing more pays."""
        worth = [max(0, p) for p in self.price_of[: len(self.sizes)]]
        spare = {kind: max(0, -self.price_of[row]) for kind, row in self.limit_row.items()}
        best, gain, exact = None, -_NEAR, True
        # The share of the prices at which no pattern is worth more than it costs.
        top, bottom = 1, 1
        for kind, stock in enumerate(self.stocks):
            if self.free[kind] == 0:
                continue
            value, cuts, all_tried = best_pattern(self.sizes, worth, self.demand, stock.room, effort)
            exact = exact and all_tried
            cost, net = stock.cost << _BITS, value - spare.get(kind, 0)
            if net > cost and cost * bottom < top * net:
                top, bottom = cost, net
            if cost - net < gain and cuts:
                best, gain = (kind, cuts), cost - net
        if exact:
            # Down for the pieces and up for the sticks, so that the rounded prices are themselves proven.
            sizes = {size: w * top // bottom for size, w in zip(self.sizes, worth, strict=True)}
            sticks = {kind: -(-p * top // bottom) for kind, p in spare.items()}
            total = sum(sizes[size] * n for size, n in zip(self.sizes, self.demand, strict=True))
            total -= sum(price * (self.free[kind] or 0) for kind, price in sticks.items())
            if total > result.bound:
                result.bound, result.prices = total, Prices(sizes, sticks)
        return best

    def mix(self) -> list[tuple[Pattern, int]]:
        """The patterns in the basis that are cut at all."""
        return [(p, n) for p, n in zip(self.basis, self.amount, strict=True) if p is not None and n > _NEAR]


def best_pattern(
    sizes: Sequence[int], worth: Sequence[int], wanted: Sequence[int], room: int, effort: Effort
) -> tuple[int, tuple[tuple[int, int], ...], bool]:
    """The pieces worth most together that fit a room: their worth, the cuts, and whether that is proven.

    Branch and bound, the most worth for its length first (Martello and Toth, Knapsack Problems, 1990, 2.5).
    """
    order = [i for i, w in enumerate(worth) if w > 0 and sizes[i] <= room]
    order.sort(key=lambda i: -(worth[i] << 20) // sizes[i])
    length, value, most = ([row[i] for i in order] for row in (sizes, worth, wanted))
    shortest = [0] * (len(order) + 1)
    shortest[-1] = room + 1
    for k in range(len(order) - 1, -1, -1):
        shortest[k] = min(shortest[k + 1], length[k])
    picked = [0] * len(order)
    best, best_picked, steps = 0, picked, 0

    def branch(k: int, left: int, so_far: int) -> None:
        nonlocal best, best_picked, steps
        steps += 1
        if so_far > best:
            best, best_picked = so_far, picked[:]
        if left < shortest[k]:
            return
        for j in range(k, len(order)):
            if so_far + left * value[j] // length[j] <= best or steps > _KNAPSACK_STEPS:
                return
            for count in range(min(most[j], left // length[j]), 0, -1):
                picked[j] = count
                branch(j + 1, left - count * length[j], so_far + count * value[j])
            picked[j] = 0

    branch(0, room, 0)
    effort.spend(steps // 8)
    cuts = tuple((sizes[i], n) for i, n in zip(order, best_picked, strict=True) if n)
    return best, cuts, steps <= _KNAPSACK_STEPS
