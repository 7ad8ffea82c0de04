"""Ways of filling a length with pieces: part counts, and list what is full.

A filling is full when no piece that is still to be had fits in its rest. Only full
fillings matter, since a piece too many can always be left out.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence


def binary_parts(count: int) -> Iterator[int]:
    """Part a count so that every number up to it is a sum of some parts."""
    size = 1
    while count > 0:
        yield min(size, count)
        count -= size
        size *= 2


def full_counts(
    sizes: Sequence[int], limits: Sequence[int], room: int, most: int
) -> list[tuple[int, ...]] | None:
    """List the full fillings of a room; None if there are more than ``most``."""
    order = sorted(range(len(sizes)), key=lambda place: -sizes[place])
    lister = _Lister([sizes[p] for p in order], [limits[p] for p in order], most)
    if not lister.fill(0, room, room + 1):
        return None
    back = sorted(range(len(order)), key=order.__getitem__)
    return [tuple(counts[place] for place in back) for counts in lister.found]


class _Lister:
    """Goes through the counts, widest first, and gives up when it takes too long."""

    def __init__(self, sizes: list[int], limits: list[int], most: int) -> None:
        self.sizes = sizes
        self.limits = limits
        self.most = most
        self.steps = 20 * most
        self.found: list[tuple[int, ...]] = []
        self._counts = [0] * len(sizes)
        # The most that all pieces from a place on can fill.
        self._fill = [0] * (len(sizes) + 1)
        for place in range(len(sizes) - 1, -1, -1):
            self._fill[place] = self._fill[place + 1] + sizes[place] * limits[place]

    def fill(self, place: int, room: int, spare: int) -> bool:
        """Fill the room from a place on, leaving less than ``spare`` at the end."""
        self.steps -= 1
        if self.steps < 0:
            return False
        if room - self._fill[place] >= spare:
            return True
        if place == len(self.sizes):
            self.found.append(tuple(self._counts))
            return len(self.found) <= self.most
        size, limit = self.sizes[place], self.limits[place]
        for count in range(min(limit, room // size), -1, -1):
            self._counts[place] = count
            left_out = min(spare, size) if count < limit else spare
            if not self.fill(place + 1, room - count * size, left_out):
                return False
        return True
