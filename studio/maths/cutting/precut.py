"""The fewest pre-cut pieces of one size that give all pieces, with a proof beside it.

Cuts go from edge to edge of what is being cut, in any number of stages. With few
sizes the Pareto set of one piece says everything that it can give; with more, the
worth of one piece without limits bounds it, and good patterns come from the same
table. The search is that of the bolt, with one height: each piece counts as one.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import prod
from time import monotonic

import numpy as np

from studio.maths.cutting.filling_pieces import PieceFiller
from studio.maths.cutting.kinds import Kind, Strip
from studio.maths.cutting.layout import Place, lay_strips
from studio.maths.cutting.listing import Filled, Floors
from studio.maths.cutting.plans import Plans
from studio.maths.cutting.rectangles import ParetoSets
from studio.maths.cutting.search import Certificate, Search
from studio.maths.cutting.two_stage import TwoStage
from studio.maths.cutting.worth import Whole, WorthTable

MOST_SHAPES = 20_000
SETS_SHARE = 0.5


@dataclass(frozen=True)
class CutUp:
    """One pre-cut piece, how many of each kind it gives, and where, if that is known."""

    made: tuple[int, ...]
    places: tuple[Place, ...] = ()
    height: int = 1

    def counts(self, kinds: int) -> tuple[int, ...]:
        return self.made[:kinds]


@dataclass(frozen=True)
class PrecutAnswer:
    """Where every piece lies, how many pre-cut pieces that takes, and the least."""

    places: tuple[Place, ...]
    pieces: int
    bound: int
    certificate: Certificate
    seconds: float

    @property
    def is_proven(self) -> bool:
        return self.pieces == self.bound


def fewest_pieces(
    kinds: Sequence[Kind], stock: tuple[int, int], *, seconds: float = 1.0
) -> PrecutAnswer:
    """Cut all pieces from the fewest pre-cut pieces that can be found in the time."""
    began = monotonic()
    pricer = _pricer(kinds, stock, seconds)
    plans = Plans(kinds, pricer, seconds - (monotonic() - began), as_wanted)
    plans.start()
    area = sum(kind.count * kind.area for kind in kinds)
    bound = -(-area // (stock[0] * stock[1]))
    search = Search(plans, taller_will_do=True, bound=bound)
    search.run()
    return PrecutAnswer(
        _laid(plans.best, pricer),
        plans.length,
        search.bound,
        search.certificate,
        monotonic() - began,
    )


def as_wanted(pieces: Sequence[CutUp], kinds: Sequence[Kind]) -> tuple[CutUp, ...]:
    """Drop what nobody asked for, and the pieces that are left empty."""
    left, kept = [kind.count for kind in kinds], []
    for piece in pieces:
        made = tuple(min(a, b) for a, b in zip(piece.made, left, strict=True))
        left = [a - b for a, b in zip(left, made, strict=True)]
        if any(made):
            kept.append(CutUp(made, piece.places))
    return tuple(kept)


class SetPricer:
    """Pieces whose Pareto set is known: everything about them is exact."""

    is_exact = True

    def __init__(self, sets: ParetoSets) -> None:
        self.heights: tuple[int, ...] = (1,)
        self.sets = sets

    def price(self, weights: Sequence[int], limits: Sequence[int]) -> SetPrices:
        return SetPrices(self.sets, weights, limits)

    def deepen(self, seconds: float, tallest: int) -> bool:
        return False

    def every_filling(self, row: int) -> Filled | None:
        return self.sets.top.astype(np.float64)

    def fillings_above(self, row: int, floors: Floors) -> Filled | None:
        return None

    def quick(self, left: Sequence[int], room: int | None = None) -> CutUp:
        return self.price([kind.area for kind in self.sets.kinds], left).strip(0)

    def strip_of(self, row: int, counts: Sequence[int]) -> CutUp:
        return CutUp(tuple(counts))

    def lay(self, piece: CutUp) -> list[Place]:
        return self.sets.places(piece.made)


class SetPrices:
    """The best vector of a Pareto set, cut down to what is still wanted."""

    def __init__(
        self, sets: ParetoSets, weights: Sequence[int], limits: Sequence[int]
    ) -> None:
        held = np.minimum(sets.top, np.array(limits, dtype=np.int64))
        worth = held @ np.array(weights, dtype=np.int64)
        best = int(np.argmax(worth))
        self._made = tuple(held[best].tolist())
        self.values = self.hopes = [int(worth[best])]

    def strip(self, row: int) -> CutUp:
        return CutUp(self._made)


class WorthPricer:
    """Pieces of many sizes: bounded by their worth without limits."""

    is_exact = True

    def __init__(self, kinds: Sequence[Kind], stock: tuple[int, int]) -> None:
        self.heights: tuple[int, ...] = (1,)
        self.stock = stock
        self.strips = TwoStage(kinds, stock[0], equal=False)
        self.table = WorthTable(kinds, *stock)
        self.filler = PieceFiller(kinds, stock)

    def price(self, weights: Sequence[int], limits: Sequence[int]) -> WorthPrices:
        return WorthPrices(self, weights, limits)

    def deepen(self, seconds: float, tallest: int) -> bool:
        return False

    def every_filling(self, row: int) -> Filled | None:
        return None

    def fillings_above(self, row: int, floors: Floors) -> Filled | None:
        return None

    def quick(self, left: Sequence[int], room: int | None = None) -> CutUp:
        """Fill a piece with strips as they come."""
        wanted, room, strips = list(left), self.stock[1], list[Strip]()
        while any(wanted) and any((strip := self.strips.quick(wanted, room)).made):
            strips.append(strip.cut())
            room -= strip.height
            wanted = [a - b for a, b in zip(wanted, strip.made, strict=True)]
        return _cut_up(lay_strips(strips), left)

    def strip_of(self, row: int, counts: Sequence[int]) -> CutUp:
        return CutUp(tuple(counts))

    def lay(self, piece: CutUp) -> list[Place]:
        return list(piece.places)


class WorthPrices:
    """What a piece may be worth, and one that is, within the limits."""

    def __init__(
        self, pricer: WorthPricer, weights: Sequence[int], limits: Sequence[int]
    ) -> None:
        self._pricer = pricer
        self._limits = limits
        # A kind that is used up is worth nothing in what comes next.
        self._weights = [w if n else 0 for w, n in zip(weights, limits, strict=True)]
        self._worth: Whole = pricer.table.worth(self._weights)
        whole = sum(w * n for w, n in zip(weights, limits, strict=True))
        self.values = self.hopes = [min(whole, int(self._worth[-1, -1]))]

    def strip(self, row: int) -> CutUp:
        within = self._pricer.filler.fill(self._weights, self._limits)
        table = self._pricer.table
        pieces = [
            _cut_up(places, self._limits)
            for places in (table.places(self._weights, self._worth), within)
        ]
        return max(pieces, key=self._worth_of)

    def _worth_of(self, piece: CutUp) -> int:
        return sum(w * n for w, n in zip(self._weights, piece.made, strict=True))


def _cut_up(places: Sequence[Place], limits: Sequence[int]) -> CutUp:
    made = [0] * len(limits)
    for place in places:
        made[place.kind] += 1
    within = tuple(min(a, b) for a, b in zip(made, limits, strict=True))
    return CutUp(within, tuple(places))


def _pricer(
    kinds: Sequence[Kind], stock: tuple[int, int], seconds: float
) -> SetPricer | WorthPricer:
    most = [min(k.count, stock[0] * stock[1] // k.area) + 1 for k in kinds]
    if prod(sorted(most)[:-1]) <= MOST_SHAPES:
        share = 1.0 if len(kinds) <= 3 else SETS_SHARE
        sets = ParetoSets(kinds, *stock, seconds=share * seconds)
        if not sets.is_late:
            return SetPricer(sets)
    return WorthPricer(kinds, stock)


def _laid(
    pieces: Sequence[CutUp], pricer: SetPricer | WorthPricer
) -> tuple[Place, ...]:
    found = []
    for stock, piece in enumerate(pieces):
        left = list(piece.made)
        for p in pricer.lay(piece):
            if left[p.kind]:
                left[p.kind] -= 1
                found.append(
                    Place(p.kind, stock, p.x, p.y, p.width, p.height, p.turned)
                )
    return tuple(found)
