"""How many kits a number of equal pieces of cloth gives, and how many pieces a kit.

A demand is what must come from one piece of cloth, and how often a kit has it:

    piece by piece   one of a kind, and as many times as a kit has of it
    role by role     all of a role, once
    kit by kit       all of the kit, once

    most B with Σ n_r x ≥ times_r B for each demand r, Σ x ≤ pieces

over the ways x that one piece can be cut (its Pareto set, exact). Where the set is not
known in time, part of it gives what is surely possible, and weights on the kinds, that
no piece can exceed, give what is surely too much.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from random import Random
from typing import Protocol

import numpy as np
from numpy.typing import NDArray

from studio.maths.cutting.filling_pieces import PieceFiller
from studio.maths.cutting.kept import Kept, read
from studio.maths.cutting.kinds import Kind
from studio.maths.cutting.listing import unbeaten
from studio.maths.cutting.programs import fewest_giving, most_of_each
from studio.maths.cutting.rectangles import ParetoSets
from studio.maths.cutting.worth import WorthTable

Vectors = NDArray[np.int64]
Key = tuple[tuple[tuple[int, int, bool], ...], int, int]
SOME = 40
WITHOUT_END = 10**9


class Shelf(Protocol):
    """Where Pareto sets are kept, so that each is worked out once."""

    def get(self, key: Key) -> Vectors | None: ...

    def __setitem__(self, key: Key, vectors: Vectors) -> None: ...


@dataclass(frozen=True)
class Demands:
    """Counts of kinds that come from one piece, and how often a kit has each."""

    needs: tuple[tuple[int, ...], ...]
    times: tuple[int, ...]

    @property
    def of_one_kit(self) -> list[int]:
        """Count each kind in a kit."""
        rows = [
            [n * t for n in need]
            for need, t in zip(self.needs, self.times, strict=True)
        ]
        return [sum(column) for column in zip(*rows, strict=True)]


@dataclass(frozen=True)
class CutWays:
    """What one piece of cloth can give: all of it, or part of it and a ceiling."""

    kinds: tuple[Kind, ...]
    stock: tuple[int, int]
    vectors: Vectors
    is_whole: bool

    def demands(self, needs: Sequence[Sequence[int]]) -> Vectors:
        """Turn counts of kinds into the most of each demand, and keep the best."""
        alone = [need.index(1) for need in needs if sum(need) == 1]
        if len(set(alone)) == len(needs):
            return self.vectors[:, alone]
        rows = {row for vector in self.vectors for row in _shared(vector, needs)}
        counts = np.array(sorted(rows), dtype=np.int64)
        return counts[unbeaten(counts)]


@dataclass(frozen=True)
class Kits:
    """So many kits are surely possible, and more than the ceiling surely are not."""

    kits: int
    ceiling: int

    @property
    def is_proven(self) -> bool:
        return self.kits == self.ceiling


def ways_of(
    kinds: Sequence[Kind],
    stock: tuple[int, int],
    *,
    seconds: float = 1.0,
    shelf: Shelf | None = None,
) -> CutWays:
    """Give what one piece can be cut into, from the shelf if it is there."""
    endless = [Kind(k.width, k.height, WITHOUT_END, k.turns) for k in kinds]
    key = (tuple((k.width, k.height, k.turns) for k in kinds), *stock)
    known = None if shelf is None else shelf.get(key)
    if known is not None:
        return CutWays(tuple(endless), stock, known, is_whole=True)
    sets = ParetoSets(endless, *stock, seconds=seconds)
    if sets.is_late:
        return CutWays(tuple(endless), stock, _some(endless, stock), is_whole=False)
    if shelf is not None:
        shelf[key] = sets.top
    return CutWays(tuple(endless), stock, sets.top, is_whole=True)


def work_on(
    kinds: Sequence[Kind],
    stock: tuple[int, int],
    *,
    kept: bytes = b"",
    seconds: float = 1.0,
) -> Kept:
    """Go on finding out what one piece can be cut into, from what was kept of it.

    ``bytes()`` of what is given may be stored and passed in again, as often as it takes
    until it ``is_whole``; ``ways_from`` says what is sure until then.
    """
    endless = [Kind(k.width, k.height, WITHOUT_END, k.turns) for k in kinds]
    known = read(kept, endless, stock)
    if known.is_whole:
        return known
    sets = ParetoSets(endless, *stock, seconds=seconds, known=known.cells)
    return Kept(endless, stock, sets.done, is_whole=not sets.is_late)


def ways_from(known: Kept) -> CutWays:
    """Give all ways of cutting one piece, or some of them while not all are known."""
    if known.is_whole:
        return CutWays(known.kinds, known.stock, known.cells[-1], is_whole=True)
    some = _some(known.kinds, known.stock)
    return CutWays(known.kinds, known.stock, some, is_whole=False)


def most_kits(ways: CutWays, demands: Demands, pieces: int) -> Kits:
    """Give how many kits so many pieces make."""
    per_piece = ways.demands(demands.needs).tolist()
    kits = most_of_each(per_piece, demands.times, pieces)
    if ways.is_whole:
        return Kits(kits, kits)
    return Kits(kits, max(kits, _ceiling(ways, demands, pieces)))


def fewest_for(ways: CutWays, demands: Demands, kits: int) -> tuple[int, int]:
    """Give how many pieces surely make so many kits, and the fewest that might.

    (0, 0) says that no number of pieces can be cut so.
    """
    per_piece = ways.demands(demands.needs)
    if not per_piece.any(axis=0).all():
        return 0, 0

    needed = [kits * time for time in demands.times]
    surely = max(1, fewest_giving(per_piece.tolist(), needed))
    if ways.is_whole:
        return surely, surely
    return surely, _first(
        1, surely, lambda pieces: most_kits(ways, demands, pieces).ceiling >= kits
    )


def _some(kinds: Sequence[Kind], stock: tuple[int, int]) -> Vectors:
    """Fill a piece under many weights, so that many sorts of ways are among them."""
    filler = PieceFiller(kinds, stock)
    area = stock[0] * stock[1]
    limits = [area // kind.area for kind in kinds]
    chance = Random(1)  # noqa: S311
    rows = [[0] * len(kinds)]
    for _time in range(SOME):
        weights = [int(k.area * chance.uniform(0.7, 1.3)) for k in kinds]
        counts = [0] * len(kinds)
        for place in filler.fill(weights, _shuffled_limits(limits, chance)):
            counts[place.kind] += 1
        rows.append(counts)
    return np.array(rows, dtype=np.int64)


def _shuffled_limits(limits: Sequence[int], chance: Random) -> list[int]:
    return [max(1, round(limit * chance.random() ** 2)) for limit in limits]


def _first(low: int, high: int, holds: Callable[[int], bool]) -> int:
    """Find the first number for which it holds; it holds for the high one."""
    while low < high:
        middle = (low + high) // 2
        if holds(middle):
            high = middle
        else:
            low = middle + 1
    return low


def _shared(vector: Vectors, needs: Sequence[Sequence[int]]) -> set[tuple[int, ...]]:
    """List how many of each demand a vector of counts can be shared out into."""
    found: set[tuple[int, ...]] = set()

    def share(place: int, left: Vectors, so_far: tuple[int, ...]) -> None:
        need = np.array(needs[place], dtype=np.int64)
        asked = need > 0
        most = int((left[asked] // need[asked]).min())
        if place == len(needs) - 1:
            found.add((*so_far, most))
            return
        for number in range(most + 1):
            share(place + 1, left - number * need, (*so_far, number))

    share(0, vector, ())
    return found


def _ceiling(ways: CutWays, demands: Demands, pieces: int) -> int:
    """Bound the kits by what all pieces together can be worth, under some weights."""
    together = demands.of_one_kit
    table = WorthTable(ways.kinds, *ways.stock)
    many = range(len(ways.kinds))
    weightings = [[int(kind == other) for other in many] for kind in many]
    ceilings = []
    for weights in [[kind.area for kind in ways.kinds], *weightings]:
        needed = sum(w * n for w, n in zip(weights, together, strict=True))
        if needed:
            worth = int(table.worth(weights)[-1, -1])
            ceilings.append(pieces * worth // needed)
    return min(ceilings)
