"""Good cuttings: longest first, fullest stick first, and shaking a few sticks at a time."""

from __future__ import annotations

from collections.abc import Sequence
from random import Random

from assistant.layout.nesting.problem import Cutting, Effort, Problem, Stick, Stock, free_stock

__all__ = ["fullest_first", "longest_first", "shake"]

_LESS_FULL = 4
"""One stick in so many is shaken into its next best filling, so that the best for one is not the end of it."""


def longest_first(problem: Problem) -> Cutting:
    """Every piece, longest first, in the first open stick with room; else a new stick, the cheapest to hold it."""
    free = free_stock(problem.stocks, [])
    opened: list[tuple[int, list[int]]] = []
    rooms: list[int] = []
    left: list[int] = []
    for piece in problem.pieces:
        place = next((i for i, room in enumerate(rooms) if room >= piece), None)
        if place is None:
            fit = [(stock.cost, i) for i, stock in enumerate(problem.stocks) if stock.room >= piece and free[i] != 0]
            if not fit:
                left.append(piece)
                continue
            kind = min(fit)[1]
            _take(free, kind)
            opened.append((kind, []))
            rooms.append(problem.stocks[kind].room)
            place = len(rooms) - 1
        opened[place][1].append(piece)
        rooms[place] -= piece
    return Cutting(tuple(Stick(kind, tuple(pieces)) for kind, pieces in opened), tuple(left))


def fullest_first(
    pieces: Sequence[int], stocks: Sequence[Stock], free: list[int | None], rng: Random | None = None
) -> Cutting:
    """The longest piece left and the rest chosen to fill its stick best, stick by stick.

    The best filling is found exactly, by the sums that the pieces can make held as bits of one number. Of
    equal fillings the longest pieces are taken, or with ``rng`` any. ``free`` is used up.
    """
    rest = sorted(pieces)
    sticks: list[Stick] = []
    left: list[int] = []
    while rest:
        first = rest.pop()
        kinds = [i for i, stock in enumerate(stocks) if stock.room >= first and free[i] != 0]
        if not kinds:
            left.append(first)
            continue
        if rng is not None:
            rng.shuffle(rest)
        deepest = max(stocks[i].room for i in kinds) - first
        sums = [1]
        mask = (1 << (deepest + 1)) - 1
        for piece in rest:
            sums.append((sums[-1] | sums[-1] << piece) & mask)
        kind, filled = _best_stock(sums[-1], first, kinds, stocks)
        if rng is not None and not rng.randrange(_LESS_FULL):
            below = sums[-1] & ((1 << filled) - 1)
            filled = below.bit_length() - 1 if below else filled
        taken = [first]
        kept: list[int] = []
        for piece, before in zip(reversed(rest), reversed(sums[:-1]), strict=True):
            # Without this piece the sum cannot be made, or with it it can and longest is wanted.
            if piece <= filled and before >> (filled - piece) & 1 and (rng is None or not before >> filled & 1):
                taken.append(piece)
                filled -= piece
            else:
                kept.append(piece)
        _take(free, kind)
        sticks.append(Stick(kind, tuple(taken)))
        rest = sorted(kept)
    return Cutting(tuple(sticks), tuple(left))


def _best_stock(sums: int, first: int, kinds: Sequence[int], stocks: Sequence[Stock]) -> tuple[int, int]:
    """The stock that costs least for what it holds, and how much goes beside the first piece."""
    best_kind, best_fill = kinds[0], -1
    for kind in kinds:
        fits = sums & ((1 << (stocks[kind].room - first + 1)) - 1)
        filled = fits.bit_length() - 1
        if best_fill < 0 or stocks[kind].cost * (best_fill + first) < stocks[best_kind].cost * (filled + first):
            best_kind, best_fill = kind, filled
    return best_kind, best_fill


def _take(free: list[int | None], kind: int) -> None:
    count = free[kind]
    if count is not None:
        free[kind] = count - 1


def shake(problem: Problem, cutting: Cutting, target: int, effort: Effort, moves: int, seed: int = 1) -> Cutting:
    """Empty a few sticks, fill them again another way, keep what is no worse; until the target cost is met.

    Of two cuttings that use the same steel the one with fuller full sticks is better: it leaves one long drop.
    """
    rng = Random(seed)
    stocks = problem.stocks
    sticks, left = list(cutting.sticks), list(cutting.left_over)
    cost = cutting.cost(problem)
    for _ in range(moves):
        if cost <= target or len(sticks) < 2 or not effort.spend(3):
            break
        some = rng.sample(range(len(sticks)), min(len(sticks), rng.choice((2, 3, 3, 4, 5))))
        if rng.randrange(2):
            loosest = min(range(len(sticks)), key=lambda i: sum(sticks[i].pieces))
            some = [loosest, *(i for i in some[1:] if i != loosest)]
        chosen = set(some)
        others = [stick for i, stick in enumerate(sticks) if i not in chosen]
        old = Cutting(tuple(sticks[i] for i in some), tuple(left))
        pieces = [p for stick in old.sticks for p in stick.pieces] + left
        new = fullest_first(pieces, stocks, free_stock(stocks, others), rng)
        gain = old.cost(problem) - new.cost(problem)
        if gain > 0 or (gain == 0 and _fullness(new) >= _fullness(old)):
            sticks, left, cost = [*others, *new.sticks], list(new.left_over), cost - gain
    return Cutting(tuple(sticks), tuple(left))


def _fullness(cutting: Cutting) -> int:
    return sum(sum(stick.pieces) ** 2 for stick in cutting.sticks)
