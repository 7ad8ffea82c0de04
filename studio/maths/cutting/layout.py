"""Where each piece of a plan lies, in whole units from the lower left corner.

x runs across the cloth and y along it; strips lie one behind the other, columns side
by side, and the cuts of a column one above the other.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from studio.maths.cutting.kinds import Column, Strip


@dataclass(frozen=True)
class Place:
    """One piece: its kind, which piece of stock it comes from, and where it lies."""

    kind: int
    stock: int
    x: int
    y: int
    width: int
    height: int
    turned: bool


def lay_strips(strips: Sequence[Strip], *, stock: int = 0) -> tuple[Place, ...]:
    """Lay strips along the cloth in the order given."""
    places: list[Place] = []
    y = 0
    for strip in strips:
        x = 0
        for column in strip.columns:
            places += _column(column, stock, x, y)
            x += column.width
        y += strip.height
    return tuple(places)


def _column(column: Column, stock: int, x: int, y: int) -> Iterator[Place]:
    for cut in column.cuts:
        yield Place(cut.kind, stock, x, y, cut.width, cut.height, cut.turned)
        y += cut.height
