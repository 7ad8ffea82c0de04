"""Finished outlines of every shape of the trade, and the cut outline of each.

    cut side  = finished side + seam × (cot of one half corner + cot of the other)
    cut start = P + seam × outward normal − seam × cot(A / 2) × heading
    a curve keeps its centre, and its radius grows by the seam

Outlines run anticlockwise, y upward, all terms exact. Source: plane geometry; the
strip widths of blunted templates are printed in a quilting book's cutting chapter.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from studio.errors import StudioError
from studio.maths import svg
from studio.maths.finished_sizes import SizeImpossible, above_nought
from studio.maths.patch import faces
from studio.maths.patch.recipe import USUAL, Making
from studio.maths.shapes import (
    QUARTER_INCH,
    ROOT_2,
    ROOT_3,
    ROOT_5,
    Corner,
    CutPoint,
)
from studio.maths.surds import Surd, as_surd, square_root

SQUARE_MM_IN_SQUARE_INCH = Fraction("645.16")
# Cast acrylic, grams in a cubic millimetre (from memory; 1.19 g/cm³).
ACRYLIC_GRAMS_PER_CUBIC_MM = Fraction(119, 100_000)

_HALF = Fraction(1, 2)
_ONE, _NOUGHT = as_surd(1), Surd()
EAST, NORTH = (_ONE, _NOUGHT), (_NOUGHT, _ONE)
WEST, SOUTH = (-_ONE, _NOUGHT), (_NOUGHT, -_ONE)
_SLANT = ROOT_2 / 2
NORTH_EAST, NORTH_WEST = (_SLANT, _SLANT), (-_SLANT, _SLANT)
SOUTH_WEST = (-_SLANT, -_SLANT)
_AT_60, _AT_120 = (as_surd(_HALF), ROOT_3 / 2), (as_surd(-_HALF), ROOT_3 / 2)
_AT_240, _AT_300 = (as_surd(-_HALF), ROOT_3 / -2), (as_surd(_HALF), ROOT_3 / -2)
_AT_150 = (ROOT_3 / -2, as_surd(_HALF))
_STEEP_UP, _STEEP_DOWN = (ROOT_5 / -5, ROOT_5 * 2 / 5), (ROOT_5 / -5, ROOT_5 * -2 / 5)


class BarTooShort(StudioError):
    """A bar with sloped ends that leave nothing of its short base."""

    def __init__(self, long_inches: Fraction, least_inches: Fraction) -> None:
        self.long_inches = long_inches
        self.least_inches = least_inches
        super().__init__(long_inches, least_inches)

    def __str__(self) -> str:
        show = USUAL.ruler.show
        return (
            f"A trapezoid {show(self.long_inches)} long is all slope. Its long base has "
            f"to be longer than {show(self.least_inches)} at that height."
        )


@dataclass(frozen=True)
class Side:
    """One side: its length, the way it heads, and the corner that it starts from."""

    length_inches: Surd
    heading: CutPoint
    corner: Corner


@dataclass(frozen=True)
class Outline:
    """A shape with straight sides."""

    shape: str
    sides: tuple[Side, ...]
    start: CutPoint = (_NOUGHT, _NOUGHT)

    def corners(self) -> tuple[CutPoint, ...]:
        """Give the corners, each at the start of its side."""
        x, y = self.start
        found = []
        for side in self.sides:
            found.append((x, y))
            x += side.length_inches * side.heading[0]
            y += side.length_inches * side.heading[1]
        return tuple(found)

    def cut(self, seam_inches: Fraction = QUARTER_INCH) -> Outline:
        """Give the outline to cut: every side moved outward by the seam."""
        following = self.sides[1:] + self.sides[:1]
        sides = tuple(
            Side(
                one.length_inches
                + (one.corner.value + after.corner.value) * seam_inches,
                one.heading,
                one.corner,
            )
            for one, after in zip(self.sides, following, strict=True)
        )
        first = self.sides[0]
        (x, y), (ahead, up) = self.start, first.heading
        back = first.corner.value * seam_inches
        start = (
            x + up * seam_inches - ahead * back,
            y - ahead * seam_inches - up * back,
        )
        return Outline(self.shape, sides, start)

    def area_square_inches(self) -> Surd:
        return faces.area(self.corners())


def rectangle(width_inches: Fraction, height_inches: Fraction) -> Outline:
    """Give a square, a rectangle or a strip."""
    shape = "square" if width_inches == height_inches else "rectangle"
    return _outline(
        shape,
        (width_inches, EAST, Corner.SQUARE),
        (height_inches, NORTH, Corner.SQUARE),
        (width_inches, WEST, Corner.SQUARE),
        (height_inches, SOUTH, Corner.SQUARE),
    )


def half_square_triangle(leg_inches: Fraction) -> Outline:
    """Give half a square, its right corner at nought."""
    return _outline(
        "half-square triangle",
        (leg_inches, EAST, Corner.SQUARE),
        (leg_inches * ROOT_2, NORTH_WEST, Corner.EIGHTH),
        (leg_inches, SOUTH, Corner.EIGHTH),
    )


def quarter_square_triangle(long_inches: Fraction) -> Outline:
    """Give a quarter of a square, its long side below."""
    short = long_inches * ROOT_2 / 2
    return _outline(
        "quarter-square triangle",
        (long_inches, EAST, Corner.EIGHTH),
        (short, NORTH_WEST, Corner.EIGHTH),
        (short, SOUTH_WEST, Corner.SQUARE),
    )


def trapezoid(long_inches: Fraction, height_inches: Fraction) -> Outline:
    """Give a bar with both ends cut at 45 degrees, its long base below."""
    _refuse_short(long_inches, height_inches, 2)
    slope = height_inches * ROOT_2
    return _outline(
        "trapezoid, both ends sloped",
        (long_inches, EAST, Corner.EIGHTH),
        (slope, NORTH_WEST, Corner.EIGHTH),
        (long_inches - 2 * height_inches, WEST, Corner.BLUNT),
        (slope, SOUTH_WEST, Corner.BLUNT),
    )


def half_trapezoid(long_inches: Fraction, height_inches: Fraction) -> Outline:
    """Give a bar with one end cut at 45 degrees, its long base below."""
    _refuse_short(long_inches, height_inches, 1)
    return _outline(
        "trapezoid, one end square",
        (long_inches, EAST, Corner.SQUARE),
        (height_inches * ROOT_2, NORTH_WEST, Corner.EIGHTH),
        (long_inches - height_inches, WEST, Corner.BLUNT),
        (height_inches, SOUTH, Corner.SQUARE),
    )


def parallelogram(base_inches: Fraction, edge_inches: Fraction) -> Outline:
    """Give a 45-degree parallelogram that leans to the right."""
    shape = "parallelogram" if base_inches != edge_inches else "45-degree diamond"
    return _outline(
        shape,
        (base_inches, EAST, Corner.EIGHTH),
        (edge_inches, NORTH_EAST, Corner.BLUNT),
        (base_inches, WEST, Corner.EIGHTH),
        (edge_inches, SOUTH_WEST, Corner.BLUNT),
    )


def diamond_45(edge_inches: Fraction) -> Outline:
    """Give the diamond of the eight-point star."""
    return parallelogram(edge_inches, edge_inches)


def diamond_60(edge_inches: Fraction) -> Outline:
    """Give the diamond of six-pointed stars."""
    return _outline(
        "60-degree diamond",
        (edge_inches, EAST, Corner.SIXTH),
        (edge_inches, _AT_60, Corner.THIRD),
        (edge_inches, WEST, Corner.SIXTH),
        (edge_inches, _AT_240, Corner.THIRD),
    )


def equilateral_triangle(side_inches: Surd | Fraction) -> Outline:
    """Give a 60-degree triangle."""
    return _outline(
        "equilateral triangle",
        (side_inches, EAST, Corner.SIXTH),
        (side_inches, _AT_120, Corner.SIXTH),
        (side_inches, _AT_240, Corner.SIXTH),
    )


def triangle_in_square(square_inches: Fraction) -> Outline:
    """Give the centre triangle: base and height are the side of the square."""
    slope = square_inches * ROOT_5 / 2
    return _outline(
        "triangle in a square, centre",
        (square_inches, EAST, Corner.TWO_TO_ONE),
        (slope, _STEEP_UP, Corner.TWO_TO_ONE),
        (slope, _STEEP_DOWN, Corner.TIP),
    )


def triangle_beside_square(square_inches: Fraction) -> Outline:
    """Give the side triangle: legs of the square and of half of it."""
    return _outline(
        "triangle in a square, side",
        (square_inches / 2, EAST, Corner.SQUARE),
        (square_inches * ROOT_5 / 2, _STEEP_UP, Corner.TWO_TO_ONE),
        (square_inches, SOUTH, Corner.ONE_TO_TWO),
    )


def hexagon(side_inches: Fraction) -> Outline:
    """Give a regular hexagon on a flat side."""
    headings = (EAST, _AT_60, _AT_120, WEST, _AT_240, _AT_300)
    sides = ((side_inches, heading, Corner.THIRD) for heading in headings)
    return _outline("hexagon", *sides)


def kite(hexagon_side_inches: Fraction) -> Outline:
    """Give a sixth of a hexagon: corners of 60, 90, 120 and 90 degrees."""
    long, short = hexagon_side_inches * ROOT_3 / 2, hexagon_side_inches / 2
    return _outline(
        "kite",
        (long, EAST, Corner.SIXTH),
        (short, NORTH, Corner.SQUARE),
        (short, _AT_150, Corner.THIRD),
        (long, _AT_240, Corner.SQUARE),
    )


@dataclass(frozen=True)
class Arc:
    """A part of a circle, run anticlockwise from one point to another."""

    centre: CutPoint
    radius_inches: Fraction
    start: CutPoint
    end: CutPoint


@dataclass(frozen=True)
class HeartOutline:
    """A heart of a square and two half circles, its point at the lower left.

    ``seam_inches`` is what it was moved outward by; 0 is the finished heart.
    """

    square_inches: Fraction
    seam_inches: Fraction = Fraction(0)

    def cut(self, seam_inches: Fraction = QUARTER_INCH) -> HeartOutline:
        """Give the heart to cut: straight sides moved, arcs of a larger radius."""
        return HeartOutline(self.square_inches, self.seam_inches + seam_inches)

    @property
    def radius_inches(self) -> Fraction:
        return self.square_inches / 2 + self.seam_inches

    @property
    def cleft(self) -> Surd:
        """Give where the arcs meet; x and y are alike.

        Both centres lie a/(2√2) from the line x = y, about the point (3a/4, 3a/4).
        """
        a, radius = self.square_inches, self.radius_inches
        return square_root((radius**2 - a**2 / 8) / 2) + a * Fraction(3, 4)

    @property
    def point(self) -> CutPoint:
        return as_surd(-self.seam_inches), as_surd(-self.seam_inches)

    def arcs(self) -> tuple[Arc, Arc]:
        """Give the right lobe, then the upper one."""
        a, half = as_surd(self.square_inches), as_surd(self.square_inches / 2)
        low, radius = as_surd(-self.seam_inches), self.radius_inches
        meet = (self.cleft, self.cleft)
        return (
            Arc((a, half), radius, (a, low), meet),
            Arc((half, a), radius, meet, (low, a)),
        )

    def path(self, scale: Fraction) -> str:
        """Write the outline for a drawing, y downward, its lowest corner at nought."""
        radius = svg.plain(self.radius_inches * scale)
        right, upper = self.arcs()
        spots = [self._spot(p, scale) for p in (right.start, right.end, upper.end)]
        first = self._spot(self.point, scale)
        large = f"A{radius} {radius} 0 0 0 "
        return f"M{first}L{spots[0]}{large}{spots[1]}{large}{spots[2]}Z"

    def _spot(self, at: CutPoint, scale: Fraction) -> str:
        x, y = ((end + self.seam_inches) * scale for end in at)
        size = (self.square_inches * Fraction(3, 2) + 2 * self.seam_inches) * scale
        return f"{svg.plain(x)} {svg.plain(size - y)}"


def heart(square_inches: Fraction) -> HeartOutline:
    """Give a finished heart whose straight sides are this long."""
    return HeartOutline(above_nought("heart", square_inches))


@dataclass(frozen=True)
class BluntedTemplate:
    """A cut template whose sharp tips are trimmed, and the strip it wants."""

    shape: str
    corners: tuple[CutPoint, ...]
    strip_inches: Fraction

    def __str__(self) -> str:
        strip = USUAL.ruler.show(self.strip_inches)
        return f"{self.shape.capitalize()}, tips blunted: cut from a strip of {strip}."


def blunted_half_square(
    leg_inches: Fraction, seam_inches: Fraction = QUARTER_INCH
) -> BluntedTemplate:
    """Trim both sharp tips of a half square to the finished leg and two seams."""
    above_nought("half-square triangle", leg_inches)
    near, far = as_surd(-seam_inches), as_surd(leg_inches + seam_inches)
    slope = (ROOT_2 - 1) * seam_inches
    corners = ((near, near), (far, near), (far, slope), (slope, far), (near, far))
    strip = leg_inches + 2 * seam_inches
    return BluntedTemplate("half-square triangle", corners, strip)


def blunted_sixty(
    height_inches: Fraction, seam_inches: Fraction = QUARTER_INCH
) -> BluntedTemplate:
    """Trim the tip of a 60-degree template by a seam; its base is about nought."""
    above_nought("60-degree triangle", height_inches)
    low, top = as_surd(-seam_inches), as_surd(height_inches + seam_inches)
    half_base = (height_inches + 3 * seam_inches) * ROOT_3 / 3
    half_tip = seam_inches * ROOT_3 / 3
    corners = ((-half_base, low), (half_base, low), (half_tip, top), (-half_tip, top))
    strip = height_inches + 2 * seam_inches
    return BluntedTemplate("60-degree triangle", corners, strip)


def hexagon_strip(side_inches: Fraction, making: Making = USUAL) -> Fraction:
    """Give the strip for hexagons: across the flats, and two seams, on the ruler."""
    return making.plain_size(side_inches * ROOT_3 + making.ruler.two_seams)


def acrylic_grams(area_square_inches: Surd | Fraction, thickness_mm: Fraction) -> int:
    """Give the weight of a template, to the nearest gram."""
    square_mm = as_surd(area_square_inches) * SQUARE_MM_IN_SQUARE_INCH
    grams = square_mm * (thickness_mm * ACRYLIC_GRAMS_PER_CUBIC_MM)
    return int(grams.nearest(Fraction(1)))


def _refuse_short(long: Fraction, height: Fraction, slopes: int) -> None:
    above_nought("trapezoid", min(long, height))
    if long <= slopes * height:
        raise BarTooShort(long, slopes * height)


def _outline(shape: str, *sides: tuple[Surd | Fraction, CutPoint, Corner]) -> Outline:
    for length, _, _ in sides:
        if as_surd(length).bounds()[1] <= 0:
            raise SizeImpossible(shape, as_surd(length).bounds()[1])
    return Outline(
        shape,
        tuple(
            Side(as_surd(length), heading, corner) for length, heading, corner in sides
        ),
    )
