"""The patterns that a plan of so many of each height can be made of.

    Σ V n − w d = what all together may stay behind under w,   worth ≥ V − that

where V is the most that one pattern of a height is worth: whoever stays behind by more
cannot be made up for by the others, not even if each of them is worth the most. This
holds under every weighting w that is known, so that few patterns are left near a proof.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Protocol

import numpy as np

from studio.maths.cutting.listing import Filled, Floors, unbeaten
from studio.maths.cutting.programs import Filling

FEW_FLOORS = 4
# Beyond so many it takes longer to match them than to choose among them.
MOST_MATCHED = 600
MOST_LISTED = 20_000

Cut = tuple[tuple[int, ...], Sequence[int]]


class Fillings(Protocol):
    """Lists of full patterns, row by row."""

    heights: tuple[int, ...]

    def every_filling(self, row: int) -> Filled | None: ...

    def fillings_above(self, row: int, floors: Floors) -> Filled | None: ...


class Candidates:
    """Patterns of some heights, so many of each, for what is wanted."""

    def __init__(
        self,
        source: Fillings,
        strips: Sequence[int],
        wanted: Sequence[int],
        cuts: Sequence[Cut],
    ) -> None:
        self._source = source
        self.rows = [row for row, count in enumerate(strips) if count]
        self._numbers = np.array([strips[row] for row in self.rows], dtype=np.float64)
        self._wanted = np.array(wanted, dtype=np.float64)
        self._weights = np.array([weights for weights, _v in cuts], dtype=np.float64)
        values = [[known[row] for row in self.rows] for _w, known in cuts]
        self._tops = np.array(values, dtype=np.float64)
        self._held: list[Filled | None] = [self._listed(row) for row in self.rows]

    def found(self, most: int, *, lists_more: bool) -> list[Filling] | None:
        """Give what is left, of all rows; None where there are too many.

        With ``lists_more`` a row that has no list, or a long one, is listed as far as
        it matters; that is right only while all of the demand is wanted.
        """
        for place, held in enumerate(self._held):
            if held is not None:
                self._tops[:, place] = self._worth(held).max(axis=0, initial=0)
        for place, row in enumerate(self.rows):
            if self._held[place] is None and not (
                lists_more and self._list(place, row)
            ):
                return None
        known = [held for held in self._held if held is not None]
        kept = [self._close(place, held) for place, held in enumerate(known)]
        if sum(map(len, kept)) > 2 * most:
            return None
        kept = [one[unbeaten(one)] if len(one) <= MOST_MATCHED else one for one in kept]
        if sum(map(len, kept)) > most:
            return None
        return [
            (self._source.heights[row], tuple(map(int, counts)))
            for row, one in zip(self.rows, kept, strict=True)
            for counts in one.tolist()
        ]

    def _listed(self, row: int) -> Filled | None:
        every = self._source.every_filling(row)
        if every is None or len(every) > MOST_LISTED:
            return None
        return np.minimum(every, self._wanted)

    def _worth(self, held: Filled) -> Filled:
        worth: Filled = held @ self._weights.T
        return worth

    @property
    def _spare(self) -> Filled:
        spare: Filled = self._tops @ self._numbers - self._weights @ self._wanted
        return spare

    def _close(self, place: int, held: Filled) -> Filled:
        least = self._tops[:, place] - self._spare
        return held[(self._worth(held) >= least).all(axis=1)]

    def _list(self, place: int, row: int) -> bool:
        """List the patterns of a row that are close enough; False if too many are."""
        tops, spare = self._tops[:, place], self._spare
        order = np.argsort((spare + 1) / np.maximum(tops, 1), kind="stable")[
            :FEW_FLOORS
        ]
        floors = Floors(self._weights[order], (tops - spare)[order])
        held = self._source.fillings_above(row, floors)
        if held is None:
            return False
        self._held[place] = held
        self._tops[:, place] = np.minimum(
            tops, self._worth(held).max(axis=0, initial=0)
        )
        return True
