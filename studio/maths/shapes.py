"""The one rule behind every template: move each edge of the finished outline outward
by the seam.

    a corner of angle A lengthens both its edges by seam × cot(A / 2)
    cut edge = finished edge + seam × (cot of one half corner + cot of the other)
    cut corner = P + seam × (u|v| − v|u|) / (u × v), u the edge before P, v the one after

All terms are kept exact, roots of two, three and five included. A size that has to
become a plain number is rounded outward to 0.001 mm and never inward.
Source: plane geometry; the constants agree with the printed handbook constants.
The trade rounds the triangle constants up to eighths and sixteenths, so that units
come out a hair large and can be squared up (common practice).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import Enum
from fractions import Fraction

from studio.lengths import MM_IN_AN_INCH
from studio.maths.surds import Surd, as_surd, square_root

QUARTER_INCH = Fraction(1, 4)
FINEST_MM = Fraction(1, 1000)
FINEST_INCHES = FINEST_MM / MM_IN_AN_INCH

ROOT_2 = square_root(2)
ROOT_3 = square_root(3)
ROOT_5 = square_root(5)

Point = tuple[Fraction, Fraction]
CutPoint = tuple[Surd, Surd]


class Corner(Enum):
    """The corners of patchwork, each with cot(A / 2)."""

    EIGHTH = 1 + ROOT_2  # 45 degrees
    SIXTH = ROOT_3  # 60 degrees
    SQUARE = as_surd(1)  # 90 degrees
    THIRD = ROOT_3 / 3  # 120 degrees
    BLUNT = ROOT_2 - 1  # 135 degrees
    TWO_TO_ONE = (1 + ROOT_5) / 2  # 63.435 degrees, at the short leg
    ONE_TO_TWO = 2 + ROOT_5  # 26.565 degrees, at the long leg
    TIP = as_surd(2)  # 53.130 degrees, of a triangle as high as its base


@dataclass(frozen=True)
class Measure:
    """One size of one shape: what the cut adds to the finished, per inch of seam.

    ``trade_inches`` is what quilters add for a quarter-inch seam, where they round.
    """

    shape: str
    measure: str
    per_seam: Surd
    trade_inches: Fraction | None = None

    def growth(self, seam_inches: Fraction = QUARTER_INCH) -> Surd:
        """Give exactly what the cut size is larger by, in inches."""
        return self.per_seam * seam_inches

    def surplus(self) -> Surd:
        """Give what the trade constant leaves over, in inches; 0 where there is none."""
        if self.trade_inches is None:
            return Surd()
        return self.trade_inches - self.growth()


def edge(one: Corner, other: Corner) -> Surd:
    """Give what an edge between two corners grows by, per inch of seam."""
    return one.value + other.value


_ACROSS = as_surd(2)

SQUARE_SIDE = Measure(
    "square", "side", edge(Corner.SQUARE, Corner.SQUARE), Fraction(1, 2)
)
HALF_SQUARE_LEG = Measure(
    "half-square triangle", "leg", edge(Corner.SQUARE, Corner.EIGHTH), Fraction(7, 8)
)
QUARTER_SQUARE_LONG_SIDE = Measure(
    "quarter-square triangle",
    "long side",
    edge(Corner.EIGHTH, Corner.EIGHTH),
    Fraction(5, 4),
)

MEASURES = (
    SQUARE_SIDE,
    HALF_SQUARE_LEG,
    QUARTER_SQUARE_LONG_SIDE,
    Measure(
        "trapezoid, both ends sloped",
        "long base",
        edge(Corner.EIGHTH, Corner.EIGHTH),
        Fraction(5, 4),
    ),
    Measure(
        "trapezoid, both ends sloped",
        "short base",
        edge(Corner.BLUNT, Corner.BLUNT),
        Fraction(1, 4),
    ),
    Measure(
        "trapezoid, one end square",
        "long base",
        edge(Corner.SQUARE, Corner.EIGHTH),
        Fraction(7, 8),
    ),
    Measure(
        "trapezoid, one end square",
        "short base",
        edge(Corner.SQUARE, Corner.BLUNT),
        Fraction(3, 8),
    ),
    Measure(
        "45-degree diamond", "edge", edge(Corner.EIGHTH, Corner.BLUNT), Fraction(3, 4)
    ),
    Measure("45-degree diamond", "width across", _ACROSS, Fraction(1, 2)),
    Measure(
        "60-degree diamond", "edge", edge(Corner.SIXTH, Corner.THIRD), Fraction(5, 8)
    ),
    Measure("60-degree diamond", "width across", _ACROSS, Fraction(1, 2)),
    Measure(
        "equilateral triangle",
        "side",
        edge(Corner.SIXTH, Corner.SIXTH),
        Fraction(7, 8),
    ),
    Measure("equilateral triangle", "height", as_surd(3), Fraction(3, 4)),
    Measure("hexagon", "side", edge(Corner.THIRD, Corner.THIRD), Fraction(5, 16)),
    Measure("hexagon", "across flats", _ACROSS, Fraction(1, 2)),
    Measure("kite", "long edge", edge(Corner.SIXTH, Corner.SQUARE), Fraction(11, 16)),
    Measure("kite", "short edge", edge(Corner.SQUARE, Corner.THIRD), Fraction(7, 16)),
    Measure(
        "triangle in a square, centre",
        "base",
        edge(Corner.TWO_TO_ONE, Corner.TWO_TO_ONE),
        Fraction(7, 8),
    ),
    Measure("triangle in a square, centre", "height", 1 + ROOT_5, Fraction(7, 8)),
    Measure(
        "triangle in a square, side",
        "long leg",
        edge(Corner.SQUARE, Corner.ONE_TO_TWO),
        Fraction(11, 8),
    ),
    Measure(
        "triangle in a square, side",
        "short leg",
        edge(Corner.SQUARE, Corner.TWO_TO_ONE),
        Fraction(11, 16),
    ),
)


def rounded_outward(inches: Surd) -> Fraction:
    """Give inches as a plain fraction, up to 0.001 mm over and never under."""
    return inches.rounded_up(FINEST_INCHES)


def moved_outline(
    points: Sequence[Point], outward_inches: Fraction
) -> tuple[CutPoint, ...]:
    """Move every edge of an outline outward, or inward with a number below nought.

    Points run anticlockwise, y upward, with no three in a row on one line.
    """
    return tuple(
        _moved_corner(
            points[n - 1], point, points[(n + 1) % len(points)], outward_inches
        )
        for n, point in enumerate(points)
    )


def _moved_corner(before: Point, at: Point, after: Point, by: Fraction) -> CutPoint:
    u = (at[0] - before[0], at[1] - before[1])
    v = (after[0] - at[0], after[1] - at[1])
    turn = u[0] * v[1] - u[1] * v[0]
    long_u = square_root(u[0] ** 2 + u[1] ** 2)
    long_v = square_root(v[0] ** 2 + v[1] ** 2)
    x, y = ((u[n] * long_v - v[n] * long_u) * (by / turn) + at[n] for n in (0, 1))
    return x, y
