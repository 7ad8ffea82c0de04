"""Lists of all full strips of stacks, row by row, as far as that can be done in time.

Few pieces in all are listed from one table, many of few sizes stack after stack. What
was too much at first is tried again, with more work allowed, when a search asks.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence

import numpy as np
from numpy.typing import NDArray

from studio.maths.cutting.lattice import is_small, list_from_table
from studio.maths.cutting.listing import Listed, Stack, list_strips

FIRST_WORK = 60_000
WORK_A_SECOND = 3_000_000
MOST_WORK = 1_500_000
MOST_STACKS = 200
MOST_IN_TABLE = 3000
MORE_STACKS = 4

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
        self._most_stacks = MOST_STACKS
        self._known: dict[int, Listed | None] = {}

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
        self._work = min(MOST_WORK, int(seconds * WORK_A_SECOND / (len(rows) or 1)))
        self._most_stacks *= MORE_STACKS
        for row in rows:
            self._known[row] = self._list(row)
        return any(self._known[row] is not None for row in rows)

    def stacks_for(self, row: int, counts: Sequence[int]) -> tuple[Stack, ...]:
        """Give the stacks of a listed strip that holds at least so many of each."""
        listed = self.known(row)
        if listed is None:
            raise LookupError(row)
        wanted = np.array(counts, dtype=np.float64)
        place = int(np.argmax((listed.counts >= wanted).all(axis=1)))
        return listed.stacks_of(place)

    def _list(self, row: int) -> Listed | None:
        limits = self._limits_of(row)
        small = is_small(limits)
        most = MOST_IN_TABLE if small else self._most_stacks
        stacks = self._full_stacks(row, limits, most)
        if stacks is None:
            return None
        listed = list_from_table(stacks, self.width, limits) if small else None
        return listed or list_strips(stacks, self.width, limits, self._work)

    def _limits_of(self, row: int) -> list[int]:
        if self._limits is None:
            self._limits = self._find_limits()
        limits: list[int] = self._limits[row].tolist()
        return limits
