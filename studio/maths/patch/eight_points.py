"""The star of eight 45-degree diamonds, in a block of side B, with seam s.

    e = B / (2 + √2)           edge of a diamond and side of a corner square
    side triangle              long side B(√2 − 1), square cut twice
    width across a diamond     B(√2 − 1) / 2, strip + 2s
    step along the strip       (width + 2s)√2 for each diamond

Source: eight-pointed-star chapter of a block-drafting book; plane geometry.
"""

from __future__ import annotations

from fractions import Fraction

from studio.maths import shapes
from studio.maths.cutting_list import CUT_TWICE
from studio.maths.patch import faces
from studio.maths.patch.recipe import USUAL, Face, Making, Piece, Recipe, Size, Step
from studio.maths.shapes import ROOT_2, CutPoint
from studio.maths.surds import Surd, as_surd

DIAMONDS_A_CLOTH = 4


def edge(block_inches: Fraction) -> Surd:
    """Give the finished edge of a diamond, which is a corner square's side too."""
    return (2 - ROOT_2) * block_inches / 2


def eight_point_star(block_inches: Fraction, making: Making = USUAL) -> Recipe:
    """Cut eight diamonds of two cloths, four corner squares and four side triangles."""
    raw = making.raw(block_inches, block_inches)
    two = making.ruler.two_seams
    width = making.centre_size((ROOT_2 - 1) * block_inches / 2 + two)
    pieces = (
        *_strips(width, block_inches, making),
        *_ground_pieces(block_inches, making),
    )
    return Recipe(
        "eight-point star",
        "diamonds",
        making.cutting,
        pieces,
        1,
        raw,
        making.trim(raw),
        _steps(making.ruler.show(width), raw, making),
        kept_square_inches=_kept(block_inches, making.ruler.seam_inches),
    )


def _strips(width: Fraction, block: Fraction, making: Making) -> tuple[Piece, ...]:
    length = making.plain_size(width * (DIAMONDS_A_CLOTH * ROOT_2 + 1))
    then = "cut across at 45 degrees into four diamonds"
    why = f"{making.ruler.show(block)} finished × (√2 − 1) ÷ 2, and two seams"
    return tuple(
        Piece(
            "diamond strip", 1, length, width, slot, then, f"{why}; four diamonds long"
        )
        for slot in (0, 1)
    )


def _ground_pieces(block: Fraction, making: Making) -> tuple[Piece, ...]:
    corner = making.centre_size(edge(block) + making.ruler.two_seams)
    growth = making.growth(
        shapes.QUARTER_SQUARE_LONG_SIDE, making.ruler.quarter_oversize_inches
    )
    side = making.plain_size((ROOT_2 - 1) * block + growth)
    show = making.ruler.show(block)
    added = making.ruler.show(shapes.rounded_outward(growth))
    return (
        Piece(
            "corner square",
            4,
            corner,
            corner,
            2,
            because=f"{show} finished ÷ (2 + √2), and two seams",
        ),
        Piece(
            "side-triangle square",
            1,
            side,
            side,
            2,
            CUT_TWICE,
            f"{show} finished × (√2 − 1), and {added}",
        ),
    )


def _kept(block: Fraction, seam: Fraction) -> Surd:
    """Give the cloth that stays: 8 diamonds w²√2, 4 corners e², 4 triangles l²/4."""
    width = (ROOT_2 - 1) * block / 2 + 2 * seam
    corner = edge(block) + 2 * seam
    long = (ROOT_2 - 1) * block + shapes.QUARTER_SQUARE_LONG_SIDE.growth(seam)
    return width * width * ROOT_2 * 8 + corner * corner * 4 + long * long


def corners(block_inches: Fraction) -> tuple[tuple[int, tuple[CutPoint, ...]], ...]:
    """Give every patch of the block, exactly: its slot and its corners."""
    long = as_surd(block_inches / 2)
    reach = edge(block_inches)
    slope = reach * ROOT_2 / 2
    arms = _around(reach, slope)
    middle = (long, long)
    diamonds = tuple(
        (
            n % 2,
            (middle, _plus(middle, a), _plus(_plus(middle, a), b), _plus(middle, b)),
        )
        for n, (a, b) in enumerate(zip(arms, arms[1:] + arms[:1], strict=True))
    )
    return diamonds + _ground(as_surd(block_inches), reach)


def layout(width: Fraction, height: Fraction) -> tuple[Face, ...]:
    """Give the faces for drawing, rounded to 0.001 mm; the block is square."""
    return tuple(
        Face(slot, tuple((_plain(x), _plain(y)) for x, y in points))
        for slot, points in corners(min(width, height))
    )


def _steps(width: str, raw: Size, making: Making) -> tuple[Step, ...]:
    size = making.ruler.show_by(*raw)
    ends = f"trim it to {size}" if making.trim(raw) else f"it measures {size}"
    return (
        Step(
            f"Cut strips {width} wide and cut each across at 45 degrees, {width} "
            "apart measured square to the cut edge.",
            (faces.face(0, (1, 0), (3, 0), (2, 1), (0, 1)),),
        ),
        Step(
            "Sew the diamonds in pairs, the pairs in halves, and stop a seam short of "
            "the outer corners.",
            tuple(one for one in layout(*raw) if one.slot < 2),
        ),
        Step(
            f"Set in the side triangles, then the corner squares. Press, and {ends}.",
            layout(*raw),
        ),
    )


def _around(reach: Surd, slope: Surd) -> list[CutPoint]:
    nought = Surd()
    return [
        (reach, nought),
        (slope, slope),
        (nought, reach),
        (-slope, slope),
        (-reach, nought),
        (-slope, -slope),
        (nought, -reach),
        (slope, -slope),
    ]


def _ground(block: Surd, reach: Surd) -> tuple[tuple[int, tuple[CutPoint, ...]], ...]:
    nought, far, depth = Surd(), block - reach, block / 2 - reach
    half = block / 2
    squares = tuple(
        (2, ((x, y), (x + reach, y), (x + reach, y + reach), (x, y + reach)))
        for x in (nought, far)
        for y in (nought, far)
    )
    triangles = (
        (2, ((reach, nought), (far, nought), (half, depth))),
        (2, ((block, reach), (block, far), (block - depth, half))),
        (2, ((far, block), (reach, block), (half, block - depth))),
        (2, ((nought, far), (nought, reach), (depth, half))),
    )
    return squares + triangles


def _plus(one: CutPoint, other: CutPoint) -> CutPoint:
    return one[0] + other[0], one[1] + other[1]


def _plain(value: Surd) -> Fraction:
    return value.nearest(shapes.FINEST_INCHES)
