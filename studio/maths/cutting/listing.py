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
    stacks: Sequence[Stack],
    width: int,
    limits: Sequence[int],
    work: int,
    floors: Floors | None = None,
) -> Listed | None:
    """List the strips of useful stacks that hold all they can, widest stack first.

    With floors only those are listed that are worth as much. None stands for too much
    work.
    """
    kept = list(stacks) if floors is None else floors.above(stacks, width)
    listing = _Listing(width, limits, work)
    rests = [] if floors is None else floors.rests(kept, width)
    for place, stack in enumerate(kept):
        if not listing.go_on(stack, is_last=place == len(kept) - 1):
            return None
        if floors is not None:
            listing.drop_below(floors, rests[place])
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


@dataclass(frozen=True)
class Floors:
    """What a strip must be worth at least, under each of some weightings."""

    weights: Filled
    least: Filled

    def above(self, stacks: Sequence[Stack], width: int) -> list[Stack]:
        """Keep the stacks that some strip worth enough may have."""
        if not stacks:
            return []
        worths = self._worths(stacks)
        widths = np.array([stack.width for stack in stacks])
        reached = worths + self._best_of(worths, widths, width)[:, width - widths]
        enough = np.flatnonzero((reached >= self.least[:, None]).all(axis=0))
        return [stacks[place] for place in enough.tolist()]

    def _best_of(self, worths: Filled, widths: Whole, room: int) -> Filled:
        """Give the most that any number of stacks are worth in each room."""
        best = np.zeros((len(self.least), room + 1))
        for width in sorted(set(widths.tolist())):
            add_copies(best, width, worths[:, widths == width].max(axis=1))
        return best

    def rests(self, stacks: Sequence[Stack], width: int) -> list[Filled]:
        """Give the most that what comes after each stack is worth in each room."""
        best = np.zeros((len(self.least), width + 1))
        found: list[Filled] = []
        for stack in reversed(stacks):
            found.append(best.copy())
            add_copies(best, stack.width, self._worths([stack])[:, 0])
        return found[::-1]

    def _worths(self, stacks: Sequence[Stack]) -> Filled:
        counts = np.array([s.counts for s in stacks], dtype=np.float64)
        worths: Filled = self.weights @ counts.T
        return worths


def add_copies(best: Filled, width: int, worth: Filled) -> None:
    """Let each room have any number of one stack more."""
    step, worth = width, worth[:, None]
    while step < best.shape[1]:
        np.maximum(best[:, step:], best[:, :-step] + worth, out=best[:, step:])
        step, worth = 2 * step, 2 * worth


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

    def drop_below(self, floors: Floors, best: Filled) -> None:
        """Drop the strips that cannot come to be worth enough with what may follow."""
        held = np.array(self.limits, dtype=np.float64) - self.left
        reached = floors.weights @ held.T + best[:, self.room]
        kept = np.flatnonzero((reached >= floors.least[:, None]).all(axis=0))
        self.room, self.left = self.room[kept], self.left[kept]
        before, more = self.steps[-1]
        self.steps[-1] = before[kept], more[kept]

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
