"""Quarter-square triangles, and units of three triangles.

F is the finished side, A the side of the squares cut, s the seam.

    hourglass, two at a time   A = F + s(2 + 2√2); raw = A − 2√2 s
    cut triangles              the same squares, cut twice: four triangles each
    three triangles            quarter squares as above, and F + s(2 + √2), cut once
    pieced triangle            F + s(2 + √2) for the large one, F/2 + s(2 + √2) for
                               the four small ones, three of one cloth and one odd
Sources: common practice; the printed charts named beside the worked examples.
"""

from __future__ import annotations

from fractions import Fraction

from studio.maths import shapes
from studio.maths.cutting_list import CUT_ONCE, CUT_TWICE
from studio.maths.patch import faces, halves
from studio.maths.patch.recipe import (
    USUAL,
    Cut,
    Face,
    Making,
    Piece,
    Recipe,
    Size,
    Step,
)
from studio.maths.shapes import ROOT_2

HOURGLASS = "quarter-square triangle"


def hourglass(finished_inches: Fraction, making: Making = USUAL) -> Recipe:
    """Sew one light and one dark square twice over: two hourglasses."""
    side = making.quarter_side(finished_inches)
    raw = making.raw(finished_inches, finished_inches)
    half = shapes.rounded_outward(side.inches - making.ruler.seam_inches * ROOT_2)
    whole = (faces.box(0, 0, 0, side.inches, side.inches),)
    seam = making.ruler.show(making.ruler.seam_inches)
    first = (*halves.beside_diagonal(side.inches, making),)
    steps = (
        Step(
            "Lay one square on the other, right sides together. Draw a line "
            f"from corner to corner and sew {seam} either side of it.",
            whole,
            (*first, halves.diagonal(side.inches)),
        ),
        Step(
            "Cut on the line and press: two half-square triangles.",
            faces.half(half, half),
        ),
        Step(
            "Lay them together, each cloth on the other, the seams nested. Draw a line across "
            f"the seam, sew {seam} either side and cut on the line.",
            faces.half(half, half),
            (*halves.beside_other(half, making), halves.other_diagonal(half, "cut")),
        ),
        halves.finish(making, raw, 2, "quarters"),
    )
    pieces = _squares(side.inches, side.because)
    seen = faces.quarters(finished_inches, finished_inches)
    return _recipe(HOURGLASS, "two at a time", making, pieces, 2, raw, steps, seen)


def cut_quarters(finished_inches: Fraction, making: Making = USUAL) -> Recipe:
    """Cut a square of each cloth twice: triangles for two hourglasses."""
    side = making.quarter_side(finished_inches)
    raw = making.raw(finished_inches, finished_inches)
    quartered = faces.quarters(side.inches, side.inches)
    steps = (
        Step(
            "Cut each square twice from corner to corner: four triangles.",
            tuple(Face(0, one.corners) for one in quartered),
            (
                halves.diagonal(side.inches, "cut"),
                halves.other_diagonal(side.inches, "cut"),
            ),
        ),
        Step(
            "Sew the triangles in pairs along a short side, one cloth on the same side "
            "each time, then sew the pairs.",
            faces.quarters(*raw),
        ),
        halves.finish(making, raw, 2, "quarters"),
    )
    pieces = _squares(side.inches, side.because, CUT_TWICE)
    seen = faces.quarters(finished_inches, finished_inches)
    return _recipe(
        HOURGLASS, "cut triangles", making, pieces, 2, raw, steps, seen, False
    )


def three_triangles(finished_inches: Fraction, making: Making = USUAL) -> Recipe:
    """Cut triangles for units of one half and two quarters."""
    quarter = making.quarter_side(finished_inches)
    half = making.half_leg(finished_inches)
    raw = making.raw(finished_inches, finished_inches)
    steps = (
        Step(
            "Cut the quarter-triangle squares twice from corner to corner, the "
            "half-triangle squares once.",
            faces.quarters(quarter.inches, quarter.inches),
            (
                halves.diagonal(quarter.inches, "cut"),
                halves.other_diagonal(quarter.inches, "cut"),
            ),
        ),
        Step(
            "Sew the quarter triangles in pairs, the same cloth on the same side, "
            "then each pair to a half triangle.",
            faces.three_triangles(*raw),
        ),
        Step(_ending(making, raw), faces.three_triangles(*raw)),
    )
    pieces = (
        _square("quarter-triangle square", 1, quarter, 1, CUT_TWICE),
        _square("quarter-triangle square", 1, quarter, 2, CUT_TWICE),
        _square("half-triangle square", 2, half, 0, CUT_ONCE),
    )
    seen = faces.three_triangles(finished_inches, finished_inches)
    return _recipe(
        "three-triangle unit",
        "cut triangles",
        making,
        pieces,
        4,
        raw,
        steps,
        seen,
        False,
    )


def pieced_triangle(finished_inches: Fraction, making: Making = USUAL) -> Recipe:
    """Cut a large triangle and four small ones to sew to it."""
    large = making.half_leg(finished_inches)
    small = making.half_leg(finished_inches / 2)
    raw = making.raw(finished_inches, finished_inches)
    steps = (
        Step(
            "Cut every square once from corner to corner.",
            faces.half(large.inches, large.inches),
            (halves.diagonal(large.inches, "cut"),),
        ),
        Step(
            "Sew the odd small triangle to a small one, then a small one on each "
            "side of it, and the large triangle last.",
            faces.pieced_triangle(*raw),
        ),
        Step(_ending(making, raw), faces.pieced_triangle(*raw)),
    )
    pieces = (
        _square("large triangle square", 1, large, 0, CUT_ONCE),
        _square("odd triangle square", 1, small, 1, CUT_ONCE),
        _square("small triangle square", 3, small, 2, CUT_ONCE),
    )
    seen = faces.pieced_triangle(finished_inches, finished_inches)
    return _recipe(
        "pieced triangle", "cut triangles", making, pieces, 2, raw, steps, seen, False
    )


def _ending(making: Making, raw: Size) -> str:
    size = making.ruler.show_by(*raw)
    trimmed = making.trim(raw)
    return f"Press, and {'trim each to' if trimmed else 'each measures'} {size}."


def _squares(side: Fraction, because: str, then: str = "") -> tuple[Piece, Piece]:
    name = "quarter-triangle square"
    return (
        Piece(name, 1, side, side, 0, then, because),
        Piece(name, 1, side, side, 1, then, because),
    )


def _square(name: str, count: int, cut: Cut, slot: int, then: str) -> Piece:
    return Piece(name, count, cut.inches, cut.inches, slot, then, cut.because)


def _recipe(
    unit: str,
    method: str,
    making: Making,
    pieces: tuple[Piece, ...],
    units: int,
    raw: Size,
    steps: tuple[Step, ...],
    seen: tuple[Face, ...],
    sewn_first: bool = True,
) -> Recipe:
    kept = faces.kept(seen, making.ruler.seam_inches)
    trim = making.trim(raw)
    return Recipe(
        unit,
        method,
        making.cutting,
        pieces,
        units,
        raw,
        trim,
        steps,
        sewn_first,
        kept,
    )
