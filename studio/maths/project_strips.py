"""The plain strips of a project: sashing between blocks, and borders around them.

    sashing     c − 1 in each row, and long strips between rows; with cornerstones every
                sash is one block long, and a square lies where they cross
    borders     butted, sides first: 2 of the length, then 2 of the width and twice the
                border, all + two seams; with cornerstones 2 and 2 and four squares
Source: common practice.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction

from studio.maths.cutting_list import CutPiece
from studio.maths.patch.recipe import Making, Size
from studio.maths.surds import as_surd

NOUGHT = Fraction(0)


@dataclass(frozen=True)
class Sashing:
    """Strips between blocks, and squares where they cross if they have a role."""

    width_inches: Fraction
    role: str = "sashing"
    cornerstone_role: str = ""


@dataclass(frozen=True)
class Border:
    """One border, and squares at its corners if they have a role."""

    width_inches: Fraction
    role: str = "border"
    cornerstone_role: str = ""


@dataclass(frozen=True)
class Strip:
    """One plain piece of a project as it is seen, in inches: sash or border."""

    name: str
    role: str
    x: Fraction
    y: Fraction
    width_inches: Fraction
    height_inches: Fraction


def sashes(
    sashing: Sashing, block: Size, counts: tuple[int, int], edge: Fraction
) -> Iterator[Strip]:
    """Give the sashes between so many blocks across and down, ``edge`` from the top."""
    wide = sashing.width_inches
    step_x, step_y = block[0] + wide, block[1] + wide
    for down in range(counts[1]):
        for across in range(1, counts[0]):
            x, y = edge + across * step_x - wide, edge + down * step_y
            yield Strip("sash", sashing.role, x, y, wide, block[1])
    for down in range(1, counts[1]):
        y = edge + down * step_y - wide
        yield from _cross_sash(sashing, block[0], counts[0], edge, y)


def border_strips(borders: Sequence[Border], inner: Size) -> Iterator[Strip]:
    """Give the strips of borders from the inside out, about a panel of this size."""
    edge = sum((border.width_inches for border in borders), NOUGHT)
    width, height = inner
    for n, border in enumerate(borders, 1):
        edge -= border.width_inches
        yield from _round(f"border {n}", border, edge, width, height)
        width += 2 * border.width_inches
        height += 2 * border.width_inches


def cut_strip(strip: Strip, making: Making) -> CutPiece:
    """Cut a strip with its seams; a length with a root in it goes up to a mark."""
    sides = sorted((strip.width_inches, strip.height_inches), reverse=True)
    width, height = (
        making.plain.plain_size(as_surd(side)) for side in making.raw(*sides)
    )
    return CutPiece(strip.name, strip.role, 1, width, height)


def _cross_sash(
    sashing: Sashing, block: Fraction, across: int, edge: Fraction, y: Fraction
) -> Iterator[Strip]:
    wide = sashing.width_inches
    if not sashing.cornerstone_role:
        full = across * block + (across - 1) * wide
        yield Strip("long sash", sashing.role, edge, y, full, wide)
        return
    for n in range(across):
        x = edge + n * (block + wide)
        yield Strip("sash", sashing.role, x, y, block, wide)
        if n:
            role = sashing.cornerstone_role
            yield Strip("cornerstone", role, x - wide, y, wide, wide)


def _round(
    name: str, border: Border, edge: Fraction, width: Fraction, height: Fraction
) -> Iterator[Strip]:
    wide, role = border.width_inches, border.role
    far_x, far_y = edge + wide + width, edge + wide + height
    for x in (edge, far_x):
        yield Strip(f"{name}, side", role, x, edge + wide, wide, height)
    if not border.cornerstone_role:
        for y in (edge, far_y):
            yield Strip(f"{name}, end", role, edge, y, width + 2 * wide, wide)
        return
    for y in (edge, far_y):
        yield Strip(f"{name}, end", role, edge + wide, y, width, wide)
        for x in (edge, far_x):
            yield Strip("cornerstone", border.cornerstone_role, x, y, wide, wide)
