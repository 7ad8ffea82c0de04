"""The shapes a piece may have, by their names in the trade, as corners in millimetres.

    cut       the outline of the measures as they are typed
    finished  the same, every side then moved outward by the seam (the one rule)
    a curve   short straight sides outside it, nowhere more than 0.02 mm from it

Corners are given to the nearest 0.001 mm, y downward, the near corner of the box at
nought. Source: plane geometry, by way of the outlines of every shape of the trade.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import acos, atan2, ceil, cos, isqrt, pi, sin

from studio.errors import StudioError
from studio.lengths import MM_IN_AN_INCH
from studio.maths import outlines
from studio.maths.nesting_shapes import MICRONS, is_simple, shape_of
from studio.maths.outlines import Arc, BluntedTemplate, HeartOutline
from studio.maths.shapes import ROOT_3, CutPoint
from studio.maths.sheets import offsetting
from studio.maths.sheets.problem import Outline
from studio.maths.surds import as_surd

RECTANGLE = "rectangle"
TAPERED = "tapered"
SEAM_MM = Fraction(127, 20)

_OFF_THE_CURVE_MM = 0.02
_FINE = 10**6

Made = outlines.Outline | HeartOutline | BluntedTemplate
Sides = tuple[Fraction, Fraction]
Inches = tuple[Fraction, Fraction]


class ShapeUnknown(StudioError):
    """A shape that goes by no name known here."""

    def __init__(self, typed: str) -> None:
        self.typed = typed
        super().__init__(typed)

    def __str__(self) -> str:
        return (
            f"“{self.typed}” is no shape known here; write one of "
            f"{', '.join(KNOWN)}, or its corners, such as 0x0; 3x0; 1 1/2x3."
        )


class ShapeImpossible(StudioError):
    """Measures that enclose nothing, or an outline that crosses itself."""

    def __str__(self) -> str:
        return (
            "its measures do not close to an outline; check which side is the long one."
        )


class MeasureMissing(StudioError):
    """A shape that needs one measure more than was typed."""

    def __init__(self, shape: str, measure: str) -> None:
        self.shape = shape
        self.measure = measure
        super().__init__(shape, measure)

    def __str__(self) -> str:
        return f"a {self.shape} needs {self.measure}, too; write it, please."


class OnlyFinished(StudioError):
    """A blunted shape by its cut size, which does not say how far it is blunted."""

    def __str__(self) -> str:
        return "a blunted shape goes by its finished size; write that, and the word finished."


@dataclass(frozen=True)
class ShapeKind:
    """A shape by its name, what its measures are, and how it is made of them."""

    measures: tuple[str, ...]
    made: Callable[[Fraction, Fraction], Made]


def _of_one(made: Callable[[Fraction], Made]) -> Callable[[Fraction, Fraction], Made]:
    return lambda measure, _: made(measure)


def _sixty_high(height_inches: Fraction) -> outlines.Outline:
    """Give a 60-degree triangle by its height."""
    return outlines.equilateral_triangle(height_inches * ROOT_3 * 2 / 3)


_KINDS: dict[str, ShapeKind] = {
    "half-square triangle": ShapeKind(
        ("its leg",), _of_one(outlines.half_square_triangle)
    ),
    "quarter-square triangle": ShapeKind(
        ("its long side",), _of_one(outlines.quarter_square_triangle)
    ),
    "triangle": ShapeKind(("its side",), _of_one(outlines.equilateral_triangle)),
    "triangle in a square": ShapeKind(
        ("the side of the square",), _of_one(outlines.triangle_in_square)
    ),
    "side triangle": ShapeKind(
        ("the side of the square",), _of_one(outlines.triangle_beside_square)
    ),
    "45-degree diamond": ShapeKind(("its edge",), _of_one(outlines.diamond_45)),
    "60-degree diamond": ShapeKind(("its edge",), _of_one(outlines.diamond_60)),
    "hexagon": ShapeKind(("its side",), _of_one(outlines.hexagon)),
    "kite": ShapeKind(("the side of its hexagon",), _of_one(outlines.kite)),
    "heart": ShapeKind(("its straight side",), _of_one(outlines.heart)),
    "60-degree triangle": ShapeKind(("its height",), _of_one(_sixty_high)),
    "blunted half-square triangle": ShapeKind(
        ("its leg",), _of_one(outlines.blunted_half_square)
    ),
    "blunted 60-degree triangle": ShapeKind(
        ("its height",), _of_one(outlines.blunted_sixty)
    ),
    "trapezoid": ShapeKind(("its long side", "its height"), outlines.trapezoid),
    "half trapezoid": ShapeKind(
        ("its long side", "its height"), outlines.half_trapezoid
    ),
    "parallelogram": ShapeKind(("its base", "its edge"), outlines.parallelogram),
}
KNOWN = (RECTANGLE, *_KINDS, TAPERED)
_ALSO = {
    **dict.fromkeys(("", "square", "bar", "strip"), RECTANGLE),
    "equilateral triangle": "triangle",
    "trapezoid both ends sloped": "trapezoid",
    "trapezoid one end square": "half trapezoid",
    "triangle in a square centre": "triangle in a square",
    "triangle in a square side": "side triangle",
    "half square triangle tips blunted": "blunted half-square triangle",
    "60 degree triangle tip blunted": "blunted 60-degree triangle",
}


def measures_of(shape: str) -> tuple[str, ...]:
    """Name the measures a shape is made of. Raises ShapeUnknown."""
    if shape in (RECTANGLE, TAPERED):
        return ("its width", "its height")
    return _kind(shape).measures


def plain_name(typed: str) -> str:
    """Take a name as typed, hyphens and commas or none, or as it is known elsewhere."""
    name = " ".join(typed.lower().replace("-", " ").replace(",", " ").split())
    if name in _ALSO:
        return _ALSO[name]
    return next((one for one in KNOWN if one.replace("-", " ") == name), name)


def outline_mm(
    shape: str, sides: Sides, *, narrow: Fraction | None = None, finished: bool = False
) -> Outline:
    """Give the corners of a shape of these sides in inches; none for a rectangle.

    Raises ShapeUnknown, MeasureMissing and ShapeImpossible.
    """
    if shape == TAPERED:
        if narrow is None:
            raise MeasureMissing(shape, "its narrow side")
        return corners_mm(_tapered(sides, narrow), finished=finished)
    if shape == RECTANGLE:
        return ()
    made = _kind(shape).made(*sides)
    if isinstance(made, BluntedTemplate):
        return _laid_down(_plain(_of_blunted(made, finished=finished)))
    made = made.cut() if finished else made
    points = _heart(made) if isinstance(made, HeartOutline) else _plain(made.corners())
    return _laid_down(points)


def corners_mm(corners: Sequence[Inches], *, finished: bool = False) -> Outline:
    """Give an outline from its corners in inches, y downward.

    Raises ShapeImpossible.
    """
    plain = _laid_down([(x, -y) for x, y in corners])
    if not finished:
        return plain
    grown = offsetting.moved(offsetting.one_way_round(plain), SEAM_MM)
    return _laid_down([(x / MM_IN_AN_INCH, -y / MM_IN_AN_INCH) for x, y in grown])


def _of_blunted(made: BluntedTemplate, *, finished: bool) -> Sequence[CutPoint]:
    """Take the corners of a blunted template: its tips lie where the seam ends."""
    if not finished:
        raise OnlyFinished
    return made.corners


def box_mm(outline: Outline) -> Sides:
    return max(x for x, _ in outline), max(y for _, y in outline)


def _kind(shape: str) -> ShapeKind:
    if shape not in _KINDS:
        raise ShapeUnknown(shape)
    return _KINDS[shape]


def _tapered(sides: Sides, narrow: Fraction) -> tuple[Inches, ...]:
    width, height = sides
    left = (width - narrow) / 2
    nought = Fraction(0)
    return ((left, nought), (left + narrow, nought), (width, height), (nought, height))


def _plain(corners: Sequence[CutPoint]) -> list[Inches]:
    finest = Fraction(1, MICRONS) / MM_IN_AN_INCH
    points = (
        (as_surd(x).nearest(finest), as_surd(y).nearest(finest)) for x, y in corners
    )
    return list(points)


def _heart(made: HeartOutline) -> list[Inches]:
    """Draw the heart with its point below, an eighth of a turn from where it is made."""
    right, upper = made.arcs()
    tip = _plain([made.point])[0]
    round_part = [*_beside_arc(right), *_beside_arc(upper)]
    slant = Fraction(isqrt(_FINE**4 // 2), _FINE**2)
    return [((x - y) * slant, (x + y) * slant) for x, y in (tip, *round_part)]


def _beside_arc(arc: Arc) -> list[Inches]:
    """Go round an arc by points just outside it, its own ends first and last."""
    start, end = _plain([arc.start, arc.end])
    centre = _plain([arc.centre])[0]
    radius = float(arc.radius_inches)
    first = _angle(start, centre)
    turn = (_angle(end, centre) - first) % (2 * pi)
    finest = 2 * acos(radius / (radius + _OFF_THE_CURVE_MM / float(MM_IN_AN_INCH)))
    parts = ceil(turn / finest)
    reach = radius / cos(turn / parts / 2)
    angles = (first + turn * (n + 0.5) / parts for n in range(parts))
    beside = [
        (centre[0] + _fine(reach * cos(angle)), centre[1] + _fine(reach * sin(angle)))
        for angle in angles
    ]
    return [start, *beside, end]


def _angle(at: Inches, centre: Inches) -> float:
    return atan2(float(at[1] - centre[1]), float(at[0] - centre[0]))


def _fine(number: float) -> Fraction:
    return Fraction(round(number * _FINE), _FINE)


def _laid_down(points: Sequence[Inches]) -> Outline:
    """Turn y downward and put the near corner of the box at nought, in whole microns."""
    shape = shape_of([(x * MM_IN_AN_INCH, -y * MM_IN_AN_INCH) for x, y in points])
    corners = tuple(
        at for n, at in enumerate(shape.corners) if at != shape.corners[n - 1]
    )
    if not is_simple(corners):
        raise ShapeImpossible
    return tuple((Fraction(x, MICRONS), Fraction(y, MICRONS)) for x, y in corners)
