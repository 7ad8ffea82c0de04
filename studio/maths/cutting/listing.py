"""All strips of stacks of one height, where there are few enough to list.

Only what no other strip beats matters: a strip that holds as much of every kind, and
more of one, makes the other needless. Pieces beyond the demand count for nothing.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Counts = tuple[int, ...]


@dataclass(frozen=True)
class Stack:
    """One full stack: the place of its width, the width itself, and its counts."""

    place: int
    width: int
    counts: Counts


@dataclass(frozen=True)
class Listed:
    """Strips that no other beats: their counts, and their stacks."""

    counts: NDArray[np.int64]
    stacks: tuple[tuple[Stack, ...], ...]


def list_strips(
    stacks: Sequence[Stack], width: int, limits: Sequence[int], steps: int
) -> Listed | None:
    """List the strips that no other beats; None if that takes too many steps."""
    lister = _Lister(useful(stacks), width, limits, steps)
    if not lister.fill(0, width, tuple(limits), ()):
        return None
    pairs = list(lister.found.items())
    counts = np.array([counts for counts, _stacks in pairs], dtype=np.int64)
    kept = unbeaten(counts)
    return Listed(counts[kept], tuple(pairs[place][1] for place in kept))


def useful(stacks: Sequence[Stack]) -> list[Stack]:
    """Drop stacks that a narrower one beats, or one as wide; widest first."""
    kept: list[Stack] = []
    for stack in sorted(stacks, key=lambda stack: (stack.width, -sum(stack.counts))):
        if any(stack.counts) and not any(
            all(a >= b for a, b in zip(other.counts, stack.counts, strict=True))
            for other in kept
        ):
            kept.append(stack)
    return sorted(kept, key=lambda stack: -stack.width)


def unbeaten(counts: NDArray[np.int64]) -> list[int]:
    """Give the places of the rows that no other row is at least as large as."""
    order = np.argsort(-counts.sum(axis=1), kind="stable")
    kept: list[int] = []
    for place in order:
        among = counts[kept]
        if not len(kept) or not (among >= counts[place]).all(axis=1).any():
            kept.append(int(place))
    return kept


class _Lister:
    """Puts one stack beside another, widest first, as long as any fits."""

    def __init__(
        self, stacks: list[Stack], width: int, limits: Sequence[int], steps: int
    ) -> None:
        self.stacks = stacks
        self.steps = steps
        self.narrowest = min((stack.width for stack in stacks), default=width + 1)
        self.found: dict[Counts, tuple[Stack, ...]] = {}
        self._limits = tuple(limits)
        # The most room in which the same was still wanted, from the same stack on.
        self._seen: dict[tuple[int, Counts], int] = {}

    def fill(
        self, first: int, room: int, left: Counts, chosen: tuple[Stack, ...]
    ) -> bool:
        """Go on from a stack of the list; False when the steps are used up."""
        if self._seen.get((first, left), -1) >= room:
            return True
        self._seen[first, left] = room
        self.steps -= 1
        if self.steps < 0:
            return False
        taken = self._next(first, room, left)
        if not taken:
            self._keep(left, chosen)
        return all(
            self.fill(place, room - stack.width, after, (*chosen, stack))
            for place, stack, after in taken
        )

    def _next(
        self, first: int, room: int, left: Counts
    ) -> list[tuple[int, Stack, Counts]]:
        """List the stacks that still give something, with what is wanted after them."""
        if room < self.narrowest or not any(left):
            return []
        found = []
        for place in range(first, len(self.stacks)):
            stack = self.stacks[place]
            if stack.width <= room:
                pairs = zip(left, stack.counts, strict=True)
                after = tuple([a - b if a > b else 0 for a, b in pairs])
                if after != left:
                    found.append((place, stack, after))
        return found

    def _keep(self, left: Counts, chosen: tuple[Stack, ...]) -> None:
        made = tuple(a - b for a, b in zip(self._limits, left, strict=True))
        self.found.setdefault(made, chosen)
