"""Patches and the ways to make them: what to cut, what it gives, what to trim to.

F is the finished unit, W × h a finished goose (W = 2h), B a finished block; inches,
quarter-inch seam.

    square, bar                  each side + 1/2
    half-square triangle         F + 7/8, two at a time; 2F + 1 3/4, eight at a time
    quarter-square triangle      F + 1 1/4, two at a time
    four geese at a time         one square W + 1 1/4, four squares h + 7/8

Three ways to cut. EXACT takes the geometry of `studio.maths.shapes`, rounded outward
to 0.001 mm. TRADE takes the constants above, which are a hair large. OVERSIZE cuts
larger still and says what to trim to. Sources: common practice, and the printed
charts named beside the worked examples.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum
from fractions import Fraction

from studio.errors import StudioError
from studio.maths import shapes
from studio.maths.shapes import QUARTER_INCH, ROOT_2, Measure
from studio.maths.surds import Surd, as_surd

TWO_SEAMS = 2 * QUARTER_INCH
EIGHTH = Fraction(1, 8)
# A quilter's eye and ruler: less than this over an eighth is that eighth.
RULER_TOLERANCE = Fraction(3, 1000)

HALF_SQUARE_OVERSIZE = Fraction(1)
QUARTER_SQUARE_OVERSIZE = Fraction(3, 2)

Size = tuple[Fraction, Fraction]


class Cutting(Enum):
    """The way to round a cut size."""

    EXACT = "exact"
    TRADE = "trade"
    OVERSIZE = "oversize"


class SizeImpossible(StudioError):
    """A finished size that no patch can have."""

    def __init__(self, inches: Fraction) -> None:
        self.inches = inches
        super().__init__(inches)

    def __str__(self) -> str:
        return "A finished size is above nought. Write how large the patch ends up."


@dataclass(frozen=True)
class Piece:
    """So many pieces of one name and cut size, in inches."""

    name: str
    count: int
    width_inches: Fraction
    height_inches: Fraction


@dataclass(frozen=True)
class Recipe:
    """One way to make a unit: its pieces, how many units they give, how large raw.

    ``trim_inches`` is the size to trim each unit to, and None where nothing is over.
    """

    unit: str
    method: str
    cutting: Cutting
    pieces: tuple[Piece, ...]
    units: int
    raw_inches: Size
    trim_inches: Size | None = None


def square(finished_inches: Fraction) -> Recipe:
    """Cut one plain square."""
    return bar(finished_inches, finished_inches, unit="square")


def bar(width_inches: Fraction, height_inches: Fraction, unit: str = "bar") -> Recipe:
    """Cut one plain rectangle."""
    raw = _raw(width_inches, height_inches)
    return Recipe(unit, "one", Cutting.TRADE, (Piece(unit, 1, *raw),), 1, raw)


def half_squares_two(
    finished_inches: Fraction,
    cutting: Cutting = Cutting.TRADE,
    oversize_inches: Fraction = HALF_SQUARE_OVERSIZE,
) -> Recipe:
    """Sew one light and one dark square either side of a diagonal: two units."""
    side = _cut(finished_inches, shapes.HALF_SQUARE_LEG, cutting, oversize_inches)
    return _from_two_squares("half-square triangle", finished_inches, cutting, side, 2)


def half_squares_eight(
    finished_inches: Fraction,
    cutting: Cutting = Cutting.TRADE,
    oversize_inches: Fraction = HALF_SQUARE_OVERSIZE,
) -> Recipe:
    """Sew both diagonals of one light and one dark square: eight units."""
    growth = _growth(shapes.HALF_SQUARE_LEG, cutting, oversize_inches)
    side = shapes.rounded_outward(2 * (_checked(finished_inches) + growth))
    return _from_two_squares("half-square triangle", finished_inches, cutting, side, 8)


def quarter_squares_two(
    finished_inches: Fraction,
    cutting: Cutting = Cutting.TRADE,
    oversize_inches: Fraction = QUARTER_SQUARE_OVERSIZE,
) -> Recipe:
    """Sew two half-square units across: two hourglass units."""
    long_side = shapes.QUARTER_SQUARE_LONG_SIDE
    side = _cut(finished_inches, long_side, cutting, oversize_inches)
    unit = "quarter-square triangle"
    return _from_two_squares(unit, finished_inches, cutting, side, 2)


def geese_four(height_inches: Fraction, cutting: Cutting = Cutting.TRADE) -> Recipe:
    """Sew four sky squares to one goose square: four geese, twice as wide as high.

    Oversize makes the sky squares larger by an eighth and keeps the goose square,
    which is what the printed charts do.
    """
    width = 2 * height_inches
    plain = Cutting.TRADE if cutting is Cutting.OVERSIZE else cutting
    goose = _cut(width, shapes.QUARTER_SQUARE_LONG_SIDE, plain, Fraction(0))
    sky = _cut(height_inches, shapes.HALF_SQUARE_LEG, cutting, HALF_SQUARE_OVERSIZE)
    raw = _raw(width, height_inches)
    return Recipe(
        "flying geese",
        "four at a time",
        cutting,
        (Piece("goose square", 1, goose, goose), Piece("sky square", 4, sky, sky)),
        4,
        raw,
        None if cutting is Cutting.EXACT else raw,
    )


def goose_flipped(height_inches: Fraction) -> Recipe:
    """Flip two squares over the corners of one rectangle: one goose, no rounding."""
    raw = _raw(2 * height_inches, height_inches)
    sky = _raw(height_inches, height_inches)
    pieces = (Piece("goose rectangle", 1, *raw), Piece("sky square", 2, *sky))
    return Recipe("flying geese", "stitch and flip", Cutting.TRADE, pieces, 1, raw)


def square_in_square_flipped(block_inches: Fraction) -> Recipe:
    """Flip four corner squares over one base square."""
    raw = _raw(block_inches, block_inches)
    corner = _raw(block_inches / 2, block_inches / 2)
    pieces = (
        Piece("base square", 1, *raw),
        Piece("corner square, flipped", 4, *corner),
    )
    unit = "square in a square"
    return Recipe(unit, "stitch and flip", Cutting.TRADE, pieces, 1, raw)


def square_in_square(
    block_inches: Fraction, cutting: Cutting = Cutting.TRADE
) -> Recipe:
    """Sew four half-square triangles round one centre, which is never cut small."""
    exact_centre = _checked(block_inches) * ROOT_2 / 2 + TWO_SEAMS
    exact = cutting is Cutting.EXACT
    centre = (
        shapes.rounded_outward(exact_centre) if exact else on_the_ruler(exact_centre)
    )
    half = block_inches / 2
    corner = _cut(half, shapes.HALF_SQUARE_LEG, cutting, HALF_SQUARE_OVERSIZE)
    pieces = (
        Piece("centre square", 1, centre, centre),
        Piece("corner square, cut once", 2, corner, corner),
    )
    raw = _raw(block_inches, block_inches)
    trim = None if exact else raw
    unit = "square in a square"
    return Recipe(unit, "triangles", cutting, pieces, 1, raw, trim)


def setting_triangles(block_inches: Fraction) -> Recipe:
    """Cut the triangles that set blocks on point: four sides and two corners.

    The trade constants are added to the exact diagonal, then the eighth above taken.
    """
    diagonal = _checked(block_inches) * ROOT_2
    side = on_the_ruler(diagonal + _growth(shapes.QUARTER_SQUARE_LONG_SIDE))
    corner = on_the_ruler(diagonal / 2 + _growth(shapes.HALF_SQUARE_LEG))
    pieces = (
        Piece("side-triangle square, cut twice", 1, side, side),
        Piece("corner-triangle square, cut once", 2, corner, corner),
    )
    raw = _raw(block_inches, block_inches)
    return Recipe("setting triangles", "on point", Cutting.TRADE, pieces, 1, raw)


def sawtooth_star_flipped(block_inches: Fraction) -> Recipe:
    """Cut one sawtooth star on a grid of four, with stitch-and-flip geese."""
    grid = block_inches / 4
    goose, sky = goose_flipped(grid).pieces
    points = (
        Piece("goose rectangle", 4, goose.width_inches, goose.height_inches),
        Piece("star-point square, flipped", 8, sky.width_inches, sky.height_inches),
    )
    return _star(block_inches, "stitch-and-flip geese", Cutting.TRADE, points)


def sawtooth_star(block_inches: Fraction, cutting: Cutting = Cutting.TRADE) -> Recipe:
    """Cut one sawtooth star on a grid of four, with its geese made four at a time."""
    goose, sky = geese_four(block_inches / 4, cutting).pieces
    points = (
        goose,
        Piece("star-point square", 4, sky.width_inches, sky.height_inches),
    )
    return _star(block_inches, "four-at-a-time geese", cutting, points)


def on_the_ruler(exact_inches: Surd) -> Fraction:
    """Give the next eighth up, unless the eighth below is as good by eye."""
    return (exact_inches - RULER_TOLERANCE).rounded_up(EIGHTH)


def _star(
    block: Fraction, method: str, cutting: Cutting, points: tuple[Piece, ...]
) -> Recipe:
    centre = _raw(block / 2, block / 2)
    corner = _raw(block / 4, block / 4)
    pieces = (
        Piece("centre square", 1, *centre),
        Piece("corner square", 4, *corner),
        *points,
    )
    return Recipe("sawtooth star", method, cutting, pieces, 1, _raw(block, block))


def _from_two_squares(
    unit: str, finished: Fraction, cutting: Cutting, side: Fraction, units: int
) -> Recipe:
    pieces = (
        Piece("light square", 1, side, side),
        Piece("dark square", 1, side, side),
    )
    method = {2: "two at a time", 8: "eight at a time"}[units]
    raw = _raw(finished, finished)
    trim = None if cutting is Cutting.EXACT else raw
    return Recipe(unit, method, cutting, pieces, units, raw, trim)


def _cut(
    finished: Fraction, measure: Measure, cutting: Cutting, oversize: Fraction
) -> Fraction:
    growth = _growth(measure, cutting, oversize)
    return shapes.rounded_outward(_checked(finished) + growth)


def _growth(
    measure: Measure,
    cutting: Cutting = Cutting.TRADE,
    oversize: Fraction = HALF_SQUARE_OVERSIZE,
) -> Surd:
    if cutting is Cutting.OVERSIZE:
        return as_surd(oversize)
    if cutting is Cutting.TRADE and measure.trade_inches is not None:
        return as_surd(measure.trade_inches)
    return measure.growth()


def _raw(width: Fraction, height: Fraction) -> Size:
    return _checked(width) + TWO_SEAMS, _checked(height) + TWO_SEAMS


def _checked(finished: Fraction) -> Fraction:
    if finished <= 0:
        raise SizeImpossible(finished)
    return finished
