"""Half-square triangles and the ways to make them.

F is the finished side, A the side of the squares cut, s the seam.

    two at a time     A = F + s(2 + √2); one light and one dark square; raw = A − s√2
    eight at a time   A = 2(F + s(2 + √2)); raw = A/2 − s√2
    four at a time    A = √2(F + 2s) + 2s, sewn all round, every outer edge on the bias
    cut triangles     A = F + s(2 + √2), cut once, two triangles of one cloth
Sources: common practice; plane geometry, agreeing with the printed charts named beside
the worked examples.
"""

from __future__ import annotations

from fractions import Fraction

from studio.maths import shapes
from studio.maths.cutting_list import CUT_ONCE
from studio.maths.patch import faces
from studio.maths.patch.recipe import (
    USUAL,
    Line,
    LineKind,
    Making,
    Piece,
    Recipe,
    Size,
    Step,
)
from studio.maths.shapes import ROOT_2
from studio.maths.surds import Surd

UNIT = "half-square triangle"


def two_at_a_time(finished_inches: Fraction, making: Making = USUAL) -> Recipe:
    """Sew one light and one dark square either side of a diagonal."""
    side = making.half_leg(finished_inches)
    raw = making.raw(finished_inches, finished_inches)
    steps = (
        Step(
            "Lay one square on the other, right sides together. Draw a line "
            "from corner to corner.",
            (faces.box(0, 0, 0, side.inches, side.inches),),
            (diagonal(side.inches, "draw"),),
        ),
        Step(
            f"Sew {making.ruler.show(making.ruler.seam_inches)} either side of the "
            "line, then cut on the line.",
            (faces.box(0, 0, 0, side.inches, side.inches),),
            (*beside_diagonal(side.inches, making), diagonal(side.inches, "cut")),
        ),
        finish(making, raw, 2),
    )
    pieces = _squares(side.inches, side.because)
    return _recipe("two at a time", making, pieces, 2, raw, steps)


def eight_at_a_time(finished_inches: Fraction, making: Making = USUAL) -> Recipe:
    """Sew both diagonals of one light and one dark square."""
    growth = making.growth(shapes.HALF_SQUARE_LEG, making.ruler.half_oversize_inches)
    raw = making.raw(finished_inches, finished_inches)
    side = shapes.rounded_outward(2 * (finished_inches + growth))
    middle = side / 2
    seen = (faces.box(0, 0, 0, side, side),)
    across = Line("cut", (Fraction(0), middle), (side, middle))
    down = Line("cut", (middle, Fraction(0)), (middle, side))
    steps = (
        Step(
            "Lay one square on the other, right sides together. Draw both "
            "lines from corner to corner.",
            seen,
            (diagonal(side, "draw"), other_diagonal(side, "draw")),
        ),
        Step(
            f"Sew {making.ruler.show(making.ruler.seam_inches)} either side of both "
            "lines.",
            seen,
            (*beside_diagonal(side, making), *beside_other(side, making)),
        ),
        Step(
            "Cut in half both ways, then on both drawn lines, without moving anything.",
            seen,
            (across, down, diagonal(side, "cut"), other_diagonal(side, "cut")),
        ),
        finish(making, raw, 8),
    )
    pieces = _squares(side, "Twice the square for two at a time.")
    return _recipe("eight at a time", making, pieces, 8, raw, steps)


def four_at_a_time(finished_inches: Fraction, making: Making = USUAL) -> Recipe:
    """Sew one light and one dark square all round, and cut both diagonals."""
    raw = making.raw(finished_inches, finished_inches)
    side = making.plain_size(raw[0] * ROOT_2 + making.ruler.two_seams)
    seam = making.ruler.seam_inches
    seen = (faces.box(0, 0, 0, side, side),)
    inner = side - seam
    corners = ((seam, seam), (inner, seam), (inner, inner), (seam, inner))
    steps = (
        Step(
            "Lay one square on the other, right sides together. Sew all "
            f"round, {making.ruler.show(seam)} from the edge.",
            seen,
            tuple(Line("sew", corners[n - 1], corners[n]) for n in range(4)),
        ),
        Step(
            "Cut on both diagonals. Every outer edge is now on the bias, so press "
            "and do not pull.",
            seen,
            (diagonal(side, "cut"), other_diagonal(side, "cut")),
        ),
        finish(making, raw, 4),
    )
    pieces = _squares(side, "The raw unit's diagonal and two seams.")
    return _recipe("four at a time", making, pieces, 4, raw, steps)


def cut_triangles(finished_inches: Fraction, making: Making = USUAL) -> Recipe:
    """Cut a square of each cloth once, and sew the triangles in pairs."""
    side = making.half_leg(finished_inches)
    raw = making.raw(finished_inches, finished_inches)
    steps = (
        Step(
            "Cut each square once from corner to corner.",
            faces.half(side.inches, side.inches),
            (diagonal(side.inches, "cut"),),
        ),
        Step(
            "Sew a triangle of each cloth along the long side. It is on the "
            "bias, so do not pull it.",
            faces.half(*raw),
            (diagonal(raw[0], "sew"),),
        ),
        finish(making, raw, 2),
    )
    pieces = _squares(side.inches, side.because, CUT_ONCE)
    return _recipe("cut triangles", making, pieces, 2, raw, steps, sewn_first=False)


def diagonal(side: Fraction, kind: LineKind = "draw") -> Line:
    """Give the line from bottom left to top right."""
    return Line(kind, (Fraction(0), side), (side, Fraction(0)))


def other_diagonal(side: Fraction, kind: LineKind = "draw") -> Line:
    """Give the line from top left to bottom right."""
    return Line(kind, (Fraction(0), Fraction(0)), (side, side))


def beside_diagonal(side: Fraction, making: Making) -> tuple[Line, Line]:
    """Give the two seams either side of the diagonal, ending at the edges."""
    off = _sideways(making)
    nought = Fraction(0)
    return (
        Line("sew", (nought, side - off), (side - off, nought)),
        Line("sew", (off, side), (side, off)),
    )


def beside_other(side: Fraction, making: Making) -> tuple[Line, Line]:
    """Give the two seams either side of the other diagonal."""
    off = _sideways(making)
    nought = Fraction(0)
    return (
        Line("sew", (off, nought), (side, side - off)),
        Line("sew", (nought, off), (side - off, side)),
    )


def finish(making: Making, raw: Size, units: int, seen: str = "half") -> Step:
    """Press, trim if anything is over, and say how many units there are."""
    layouts = {"half": faces.half, "quarters": faces.quarters, "geese": faces.geese}
    trim = making.trim(raw)
    size = making.ruler.show_by(*raw)
    words = f"trim each to {size}" if trim else f"each measures {size}"
    return Step(f"Press, and {words}. That makes {units}.", layouts[seen](*raw))


def _sideways(making: Making) -> Fraction:
    return shapes.rounded_outward(making.ruler.seam_inches * ROOT_2)


def _squares(side: Fraction, because: str, then: str = "") -> tuple[Piece, Piece]:
    return (
        Piece("triangle square", 1, side, side, 0, then, because),
        Piece("triangle square", 1, side, side, 1, then, because),
    )


def _recipe(
    method: str,
    making: Making,
    pieces: tuple[Piece, ...],
    units: int,
    raw: Size,
    steps: tuple[Step, ...],
    *,
    sewn_first: bool = True,
) -> Recipe:
    return Recipe(
        UNIT,
        method,
        making.cutting,
        pieces,
        units,
        raw,
        making.trim(raw),
        steps,
        sewn_first,
        _kept(raw, making),
    )


def _kept(raw: Size, making: Making) -> Surd:
    finished = raw[0] - making.ruler.two_seams
    return faces.kept(faces.half(finished, finished), making.ruler.seam_inches)
