"""Blocks as patches on a square grid, for drawing.

Coordinates are in grid steps with y downward, so the same block serves every size.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import Literal

Tone = Literal["dark", "light", "middle"]
GridPoint = tuple[Fraction, Fraction]


@dataclass(frozen=True)
class GridPatch:
    """One patch of a block: its corners in grid steps, and its tone."""

    tone: Tone
    corners: tuple[GridPoint, ...]


@dataclass(frozen=True)
class Block:
    """A block of so many grid steps each way."""

    name: str
    steps: int
    patches: tuple[GridPatch, ...]


def _patch(tone: Tone, *halves: tuple[int, int]) -> GridPatch:
    """Take corners in half steps."""
    return GridPatch(tone, tuple((Fraction(x, 2), Fraction(y, 2)) for x, y in halves))


def _sandglass() -> Block:
    patches = (
        _patch("dark", (0, 0), (2, 0), (1, 1)),
        _patch("light", (2, 0), (2, 2), (1, 1)),
        _patch("dark", (2, 2), (0, 2), (1, 1)),
        _patch("light", (0, 2), (0, 0), (1, 1)),
    )
    return Block("Sandglass", 1, patches)


def _ringfence() -> Block:
    corners = ((0, 0, 1, 1), (6, 0, -1, 1), (6, 6, -1, -1), (0, 6, 1, -1))
    patches = [_patch("middle", (2, 2), (4, 2), (4, 4), (2, 4))]
    for x, y, across, down in corners:
        inner = (x + 2 * across, y + 2 * down)
        ends = ((x + 2 * across, y), (x, y + 2 * down))
        patches += [_patch("light", (x, y), *ends), _patch("dark", inner, *ends)]
    for outer, inner_row in ((0, 1), (5, 4)):
        patches += [*_bars(outer, "light"), *_bars(inner_row, "dark")]
    return Block("Ringfence", 3, tuple(patches))


def _bars(near: int, tone: Tone) -> tuple[GridPatch, GridPatch]:
    far = near + 1
    return (
        _patch(tone, (2, near), (4, near), (4, far), (2, far)),
        _patch(tone, (near, 2), (far, 2), (far, 4), (near, 4)),
    )


SANDGLASS = _sandglass()
RINGFENCE = _ringfence()
