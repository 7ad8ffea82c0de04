"""Lists of all full strips of stacks, row by row, as far as that can be done in time.

Few pieces in all are listed from one table, many of few sizes stack after stack. What
was too much at first is tried again, with more work allowed, when a search asks.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from time import monotonic

import numpy as np
from numpy.typing import NDArray

from studio.maths.cutting.lattice import is_small, list_from_table
from studio.maths.cutting.listing import (
    Filled,
    Floors,
    Listed,
    Stack,
    list_strips,
    useful,
)

FIRST_WORK = 60_000
WORK_A_SECOND = 4_000_000
MOST_WORK = 1_500_000
WORK_ABOVE = 300_000
MOST_STACKS = 40
FEW_FULL = 400
MOST_FULL = 3000

Whole = NDArray[np.int64]
FullStacks = Callable[[int, Sequence[int], int], list[Stack] | None]


class StripLists:
    """The list of each row; ``limits`` say how many of each kind a strip may hold."""

    def __init__(
        self,
        heights: Sequence[int],
        width: int,
        full_stacks: FullStacks,
        limits: Callable[[], Whole],
    ) -> None:
        self.heights = heights
        self.width = width
        self._full_stacks = full_stacks
        self._find_limits = limits
        self._limits: Whole | None = None
        self._work = FIRST_WORK
        self._stacks: dict[int, list[Stack] | None] = {}
        self._kept: dict[int, list[Stack]] = {}
        self._known: dict[int, Listed | None] = {}
        self._above: dict[int, list[Listed]] = {}

    def known(self, row: int) -> Listed | None:
        """Give the list of a row; None if it is too long."""
        if row not in self._known:
            self._known[row] = self._list(row)
        return self._known[row]

    def deepen(self, seconds: float, tallest: int) -> bool:
        """List what was too much at first; say whether there is anything new."""
        rows = [
            row
            for row, listed in self._known.items()
            if listed is None and self.heights[row] <= tallest
        ]
        ends = monotonic() + seconds
        for row in rows:
            left = ends - monotonic()
            self._work = min(MOST_WORK, int(left * WORK_A_SECOND))
            if self._work > FIRST_WORK:
                self._known[row] = self._list(row)
        return any(self._known[row] is not None for row in rows)

    def above(self, row: int, floors: Floors) -> Filled | None:
        """List only what is worth enough, and remember how it is cut."""
        stacks = self._useful(row)
        if stacks is None:
            return None
        limits = self._limits_of(row)
        listed = list_strips(stacks, self.width, limits, WORK_ABOVE, floors)
        if listed is None:
            return None
        self._above.setdefault(row, []).append(listed)
        return listed.counts

    def stacks_for(self, row: int, counts: Sequence[int]) -> tuple[Stack, ...]:
        """Give the stacks of a listed strip that holds at least so many of each."""
        wanted = np.array(counts, dtype=np.float64)
        listed = self.known(row)
        for one in self._above.get(row, []) if listed is None else [listed]:
            places = np.flatnonzero((one.counts >= wanted).all(axis=1))
            if len(places):
                return one.stacks_of(int(places[0]))
        raise LookupError(row)

    def _list(self, row: int) -> Listed | None:
        limits = self._limits_of(row)
        most = MOST_FULL if is_small(limits) else FEW_FULL
        stacks = self._useful(row) if len(self._full(row) or ()) <= most else None
        if stacks is None:
            return None
        if is_small(limits):
            return list_from_table(stacks, self.width, limits)
        if len(stacks) > MOST_STACKS:
            return None
        return list_strips(stacks, self.width, limits, self._work)

    def _full(self, row: int) -> list[Stack] | None:
        """Give the full stacks of a row; None if one width has too many."""
        if row not in self._stacks:
            limits = self._limits_of(row)
            self._stacks[row] = self._full_stacks(row, limits, MOST_FULL)
        return self._stacks[row]

    def _useful(self, row: int) -> list[Stack] | None:
        """Give the full stacks of a row that no other beats."""
        found = self._full(row)
        if found is None:
            return None
        if row not in self._kept:
            self._kept[row] = useful(found)
        return self._kept[row]

    def _limits_of(self, row: int) -> list[int]:
        if self._limits is None:
            self._limits = self._find_limits()
        limits: list[int] = self._limits[row].tolist()
        return limits
