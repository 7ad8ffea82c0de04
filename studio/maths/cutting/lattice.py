"""All strips of stacks of one height, where there are few pieces in all.

    width(c) = least of width(c − s) + w over the stacks s of width w

for every vector of counts c up to the demand: the least width of cloth that a strip
needs to hold them, in one table. Where the table is small this is quicker than going
through stack after stack, however many stacks there are.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import prod

import numpy as np
from numpy.typing import NDArray

from studio.maths.cutting.listing import Listed, Stack

Table = NDArray[np.int64]
MOST_CELLS = 30_000
MOST_KINDS = 32
MOST_WORK = 40_000_000
FAR = 2**40


def is_small(limits: Sequence[int]) -> bool:
    """Say whether the table of all counts up to the limits is small."""
    is_flat = len(limits) <= MOST_KINDS
    return is_flat and prod(limit + 1 for limit in limits) <= MOST_CELLS


def list_from_table(
    stacks: Sequence[Stack], width: int, limits: Sequence[int]
) -> Listed | None:
    """List the strips of useful stacks that no other beats, or None if too many."""
    times = sum(width // stack.width for stack in stacks)
    if times * prod(limit + 1 for limit in limits) > MOST_WORK:
        return None
    widths = np.full([limit + 1 for limit in limits], FAR, dtype=np.int64)
    widths[(0,) * len(limits)] = 0
    for stack in stacks:
        widths = _with_stack(widths, stack, width)
    counts = _largest(widths <= width)
    return Listed(
        counts.astype(np.float64),
        lambda place: _traced(widths, stacks, counts[place].tolist()),
    )


def _with_stack(widths: Table, stack: Stack, width: int) -> Table:
    """Let a strip have one more of a stack, as often as the width takes it."""
    source = _source(widths.shape, stack)
    for _time in range(width // stack.width):
        better = np.minimum(widths, widths[source] + stack.width)
        if (better == widths).all():
            break
        widths = better
    return widths


def _source(shape: tuple[int, ...], stack: Stack) -> tuple[Table, ...]:
    """Give, for every cell, the cell it is reached from; none is below nought."""
    axes = [
        np.maximum(np.arange(size) - count, 0)
        for size, count in zip(shape, stack.counts, strict=True)
    ]
    return np.ix_(*axes)


def _largest(fits: NDArray[np.bool_]) -> Table:
    """Give the cells that fit and from which no step up fits."""
    kept = fits.copy()
    for axis in range(fits.ndim):
        up = np.zeros_like(fits)
        here, ahead = [slice(None)] * fits.ndim, [slice(None)] * fits.ndim
        here[axis], ahead[axis] = slice(None, -1), slice(1, None)
        up[tuple(here)] = fits[tuple(ahead)]
        kept &= ~up
    return np.argwhere(kept)


def _traced(
    widths: Table, stacks: Sequence[Stack], counts: Sequence[int]
) -> tuple[Stack, ...]:
    """Follow a cell back to the stacks it is made of."""
    found, cell = list[Stack](), tuple(counts)
    while any(cell):
        for stack in stacks:
            before = tuple(
                max(0, a - b) for a, b in zip(cell, stack.counts, strict=True)
            )
            if before != cell and widths[before] + stack.width == widths[cell]:
                found.append(stack)
                cell = before
                break
    return tuple(found)
