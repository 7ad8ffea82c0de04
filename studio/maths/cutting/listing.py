"""All strips of stacks of one height, where there are few enough to list.

Stack after stack, widest first: every strip so far goes on with none of the stack, with
one, with two … as long as they fit and still give something that is wanted; of strips
that give the same only the one with most room goes on. Strips with room left for more
are dropped at the end. Pieces beyond the demand count for nothing.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from math import prod

import numpy as np
from numpy.typing import NDArray

Counts = tuple[int, ...]
Whole = NDArray[np.int64]
Filled = NDArray[np.float64]
# Beyond this, counts cannot be told apart by one whole number each.
MOST_TOLD_APART = 2**62
STEP_WORK = 300


@dataclass(frozen=True)
class Stack:
    """One full stack: the place of its width, the width itself, and its counts."""

    place: int
    width: int
    counts: Counts


@dataclass(frozen=True)
class Listed:
    """Strips that hold all there is to hold: their counts, and how to cut each.

    The counts are whole, but kept as floats, since those are multiplied fastest; sums
    stay far below where a float would round.
    """

    counts: Filled
    stacks_of: Callable[[int], tuple[Stack, ...]]


def list_strips(
    stacks: Sequence[Stack], width: int, limits: Sequence[int], work: int
) -> Listed | None:
    """List the strips that hold all they can; None if that takes too much work."""
    kept = useful(stacks)
    listing = _Listing(width, limits, work)
    for stack in kept:
        if not listing.go_on(stack, is_last=stack is kept[-1]):
            return None
    places = np.flatnonzero(listing.is_full(kept))
    return Listed(
        listing.made(places),
        lambda place: listing.traced(kept, int(places[place])),
    )


def useful(stacks: Sequence[Stack]) -> list[Stack]:
    """Drop stacks that a narrower one beats, or one as wide; widest first."""
    order = sorted(stacks, key=lambda stack: (stack.width, -sum(stack.counts)))
    counts = np.array([stack.counts for stack in order], dtype=np.int64)
    kept: list[int] = []
    among = np.empty_like(counts)
    for place, held in enumerate(counts):
        if held.any() and not (among[: len(kept)] >= held).all(axis=1).any():
            among[len(kept)] = held
            kept.append(place)
    return [order[place] for place in reversed(kept)]


def close_enough(
    patterns: Sequence[Filled],
    numbers: Sequence[int],
    wanted: Sequence[int],
    weightings: Sequence[Sequence[int]],
) -> list[Filled]:
    """Keep the patterns that may be in a plan of so many of each list.

        Σ V n − w d = what all together may stay behind under w,   worth ≥ V − that

    where V is the most that one of a list is worth: whoever stays behind by more cannot
    be made up for by the others, not even if each of them is worth the most.
    """
    limits = np.array(wanted, dtype=np.float64)
    weights = np.unique(np.array(weightings, dtype=np.float64), axis=0)
    held = [np.minimum(one, limits) for one in patterns]
    worths = [one @ weights.T for one in held]
    tops = [worth.max(axis=0) for worth in worths]
    spare = sum(top * n for top, n in zip(tops, numbers, strict=True))
    spare = spare - weights @ limits
    return [
        one[(worth >= top - spare).all(axis=1)]
        for one, worth, top in zip(held, worths, tops, strict=True)
    ]


def unbeaten(counts: Whole | Filled) -> list[int]:
    """Give the places of the rows that no other row is at least as large as."""
    order = np.argsort(-counts.sum(axis=1), kind="stable")
    among = np.empty_like(counts)
    kept: list[int] = []
    for place in order:
        if not (among[: len(kept)] >= counts[place]).all(axis=1).any():
            among[len(kept)] = counts[place]
            kept.append(int(place))
    return kept


@dataclass
class _Listing:
    """Strips so far: the room that each has left, and what is then still wanted."""

    width: int
    limits: Sequence[int]
    work: int
    room: Whole = field(init=False)
    left: Whole = field(init=False)
    # For each stack so far: which strip each came from, and with how many more.
    steps: list[tuple[Whole, Whole]] = field(default_factory=list)

    def __post_init__(self) -> None:
        self.room = np.array([self.width], dtype=np.int64)
        self.left = np.array([self.limits], dtype=np.int64)
        is_told_apart = prod(limit + 1 for limit in self.limits) < MOST_TOLD_APART
        scales = np.cumprod([1, *(limit + 1 for limit in self.limits[:-1])])
        self.scales = scales.astype(np.int64) if is_told_apart else None

    def go_on(self, stack: Stack, *, is_last: bool) -> bool:
        """Set every number of a stack beside each strip; False if work runs out."""
        held = np.array(stack.counts, dtype=np.int64)
        some = np.flatnonzero(held)
        wanted = (-(-self.left[:, some] // held[some])).max(axis=1)
        most = np.minimum(self.room // stack.width, wanted)
        before, more = (np.arange(len(most)), most) if is_last else _up_to(most)
        self.work -= len(before) + STEP_WORK
        if self.work < 0:
            return False
        self.room = self.room[before] - more * stack.width
        self.left = self.left[before]
        less = self.left[:, some] - more[:, None] * held[some]
        self.left[:, some] = np.maximum(less, 0)
        self._keep(self._roomiest(), before, more)
        return True

    def is_full(self, stacks: Sequence[Stack]) -> NDArray[np.bool_]:
        """Say which strips have no room for any stack that gives what is wanted."""
        full = np.ones(len(self.room), dtype=np.bool_)
        for stack in stacks:
            some = np.flatnonzero(stack.counts)
            wanted = (self.left[:, some] > 0).any(axis=1)
            full &= (self.room < stack.width) | ~wanted
        return full

    def made(self, places: Whole) -> Filled:
        return np.array(self.limits, dtype=np.float64) - self.left[places]

    def traced(self, stacks: Sequence[Stack], place: int) -> tuple[Stack, ...]:
        """Follow a strip back through its stacks."""
        found: list[Stack] = []
        for stack, (before, more) in zip(
            reversed(stacks), reversed(self.steps), strict=True
        ):
            found += [stack] * int(more[place])
            place = int(before[place])
        return tuple(reversed(found))

    def _roomiest(self) -> Whole | None:
        """Give the places of one strip for each count: that with most room."""
        if self.scales is None:
            return None
        keys = self.left @ self.scales
        order = np.lexsort((-self.room, keys))
        is_first = np.ones(len(order), dtype=np.bool_)
        is_first[1:] = keys[order][1:] != keys[order][:-1]
        return order[is_first]

    def _keep(self, places: Whole | None, before: Whole, more: Whole) -> None:
        if places is not None:
            self.room, self.left = self.room[places], self.left[places]
            before, more = before[places], more[places]
        self.steps.append((before, more))


def _up_to(most: Whole) -> tuple[Whole, Whole]:
    """Give every number up to each of the most, and which of them it belongs to."""
    owners = np.repeat(np.arange(len(most)), most + 1)
    starts = np.cumsum(most + 1) - (most + 1)
    return owners, np.arange(len(owners)) - starts[owners]
