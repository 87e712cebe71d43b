"""Lower bounds on the sticks of one length, by dual feasible functions.

Such a function takes each size to another so that any set that fits a stick still fits; the sizes' new sum
over the stick's is a bound. Families and proofs: Clautiaux, Alves, Valério de Carvalho, A survey of dual-feasible
and superadditive functions, Annals of Operations Research 179 (2010), 317-342; the first is Martello and
Toth's L2 (1990).
"""

from __future__ import annotations

from collections.abc import Callable, Sequence

__all__ = ["fewest_sticks"]

_MOST_PARTS = 100
"""Parameters of the rounding families tried; more have not been seen to help."""


def fewest_sticks(pieces: Sequence[int], room: int) -> int:
    """How few sticks of one room could hold the pieces."""
    small = sorted({p for p in pieces if 2 * p <= room})
    best = -(-sum(pieces) // room)
    for function, whole in (*_thresholds(small, room), *_whole_parts(small, room), *_roundings(room)):
        best = max(best, -(-sum(map(function, pieces)) // whole))
    return best


Family = list[tuple[Callable[[int], int], int]]


def _thresholds(small: Sequence[int], room: int) -> Family:
    """Over the room less a limit a piece takes a whole stick, under the limit it takes nothing."""

    def made(limit: int) -> Callable[[int], int]:
        return lambda p: room if p > room - limit else p if p >= limit else 0

    return [(made(limit), room) for limit in small]


def _whole_parts(small: Sequence[int], room: int) -> Family:
    """Small pieces by how many whole times a part goes into them, big ones by what they leave."""

    def made(part: int) -> Callable[[int], int]:
        whole = room // part

        def function(p: int) -> int:
            if 2 * p > room:
                return 2 * (whole - (room - p) // part)
            return whole if 2 * p == room else 2 * (p // part)

        return function

    return [(made(part), 2 * (room // part)) for part in small]


def _roundings(room: int) -> Family:
    """Sizes rounded to k-ths of the room: all down, or the small down and the big up."""

    def down(k: int) -> Callable[[int], int]:
        return lambda p: p * k if not (k + 1) * p % room else (k + 1) * p // room * room

    def inward(k: int) -> Callable[[int], int]:
        def short(p: int) -> int:
            return max(0, -(-k * p // room) - 1)

        def function(p: int) -> int:
            if 2 * p == room:
                return k - 1
            return 2 * short(p) if 2 * p < room else 2 * (k - 1) - 2 * short(room - p)

        return function

    return [(down(k), k * room) for k in range(1, _MOST_PARTS)] + [
        (inward(k), 2 * (k - 1)) for k in range(2, _MOST_PARTS)
    ]
