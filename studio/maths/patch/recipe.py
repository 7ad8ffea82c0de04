"""The recipe of a unit: what to cut, what it gives, how to sew it, what to trim to.

    pieces for n units = ⌈n / units made at once⌉ × pieces, where sewn before cutting
                         ⌈n × pieces / units⌉, where each piece is cut on its own
    waste = cloth cut − cloth that stays in the units, seams and all

Three ways to cut. EXACT takes the geometry of `studio.maths.shapes`, rounded outward
to 0.001 mm. TRADE takes the constants of the ruler. OVERSIZE cuts larger still and
says what to trim to.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import Enum
from fractions import Fraction
from math import ceil
from typing import Literal

from studio.maths import shapes
from studio.maths.cutting_list import CutPiece
from studio.maths.finished_sizes import above_nought
from studio.maths.metric import INCH, METRIC, SMALL_METRIC_UNITS, Ruler
from studio.maths.shapes import Measure, Point
from studio.maths.surds import Surd, as_surd

# A quilter's eye and ruler: less than this over a mark is that mark.
RULER_TOLERANCE = Fraction(3, 1000)
EXACT_NOTE = "Sizes with a root in them are rounded outward to 0.001 mm."
SEAM_NOTE = "the finished size and a seam on every side"
CAUTION = (
    "Cut away from yourself, shut the blade after every cut, and mind the iron. "
    "Go by the maker's manual for both."
)

Size = tuple[Fraction, Fraction]
LineKind = Literal["draw", "sew", "cut"]


class Cutting(Enum):
    """The way to round a cut size."""

    EXACT = "exact"
    TRADE = "trade"
    OVERSIZE = "oversize"


@dataclass(frozen=True)
class Face:
    """One patch as it is seen: which role of the unit it has, and its corners.

    Corners go round, y downward.
    """

    slot: int
    corners: tuple[Point, ...]


@dataclass(frozen=True)
class Line:
    """A line to draw, to sew or to cut along."""

    kind: LineKind
    start: Point
    end: Point


@dataclass(frozen=True)
class Step:
    """One step at the bench: a sentence, and what lies on the table, in inches."""

    words: str
    faces: tuple[Face, ...]
    lines: tuple[Line, ...] = ()


@dataclass(frozen=True)
class Cut:
    """A cut size in inches and why it is that size."""

    inches: Fraction
    because: str


@dataclass(frozen=True)
class Piece:
    """So many pieces of one name and cut size, in inches, of one role of the unit."""

    name: str
    count: int
    width_inches: Fraction
    height_inches: Fraction
    slot: int = 0
    then: str = ""
    because: str = ""


@dataclass(frozen=True)
class Recipe:
    """One way to make a unit: its pieces, how many units they give, how large raw.

    ``trim_inches`` is the size to trim each unit to, and None where nothing is over.
    ``sewn_first`` tells methods that sew before they cut: those give whole batches.
    """

    unit: str
    method: str
    cutting: Cutting
    pieces: tuple[Piece, ...]
    units: int
    raw_inches: Size
    trim_inches: Size | None = None
    steps: tuple[Step, ...] = ()
    sewn_first: bool = False
    kept_square_inches: Surd | None = None

    def pieces_for(self, units: int, roles: Sequence[str]) -> tuple[CutPiece, ...]:
        """Give the cutting list for so many units, with a role of cloth per slot."""
        return tuple(
            CutPiece(
                piece.name,
                roles[piece.slot],
                self._count(piece, units),
                piece.width_inches,
                piece.height_inches,
                piece.then,
            )
            for piece in self.pieces
        )

    def cloth_square_inches(self, units: int) -> Fraction:
        """Give the cloth that so many units take, cut with nothing between."""
        return sum(
            (
                self._count(piece, units) * piece.width_inches * piece.height_inches
                for piece in self.pieces
            ),
            Fraction(0),
        )

    def waste_square_inches(self, units: int) -> Surd | None:
        """Give the cloth that does not stay in the units, or None if none is known."""
        if self.kept_square_inches is None:
            return None
        return self.cloth_square_inches(units) - self.kept_square_inches * units

    def _count(self, piece: Piece, units: int) -> int:
        if self.sewn_first:
            return ceil(Fraction(units, self.units)) * piece.count
        return ceil(Fraction(units * piece.count, self.units))


@dataclass(frozen=True)
class Making:
    """How a maker cuts: the mode, the ruler with its seam, and her own oversize."""

    cutting: Cutting = Cutting.TRADE
    ruler: Ruler = INCH
    oversize_inches: Fraction | None = None

    @property
    def plain(self) -> Making:
        """Give the same without an oversize, for pieces that are never oversized.

        What is trimmed afterwards must not start small, so constants are rounded up.
        """
        if self.cutting is not Cutting.OVERSIZE:
            return self
        return Making(Cutting.TRADE, self.ruler.rounded_up)

    @property
    def note(self) -> str:
        """Say what a maker should know of the constants, or nothing."""
        if self.cutting is Cutting.EXACT:
            return EXACT_NOTE
        small = self.cutting is Cutting.TRADE and self.ruler == METRIC
        return SMALL_METRIC_UNITS if small else ""

    def raw(self, width_inches: Fraction, height_inches: Fraction) -> Size:
        """Give a finished size with its two seams each way."""
        two = self.ruler.two_seams
        return (
            above_nought("patch", width_inches) + two,
            above_nought("patch", height_inches) + two,
        )

    def plain_cut(self, width_inches: Fraction, height_inches: Fraction) -> Size:
        """Cut a plain piece: two seams each way, up to a mark of the ruler if not exact."""
        exact = self.cutting is Cutting.EXACT
        added = self.ruler.two_seams if exact else self.ruler.square_inches
        return (
            above_nought("patch", width_inches) + added,
            above_nought("patch", height_inches) + added,
        )

    def trim(self, raw: Size) -> Size | None:
        """Give what to trim to: nothing where sizes are exact."""
        return None if self.cutting is Cutting.EXACT else raw

    def half_leg(self, finished_inches: Fraction) -> Cut:
        """Cut a square for half-square triangles."""
        return self._cut(
            finished_inches,
            shapes.HALF_SQUARE_LEG,
            self.ruler.half_oversize_inches,
        )

    def quarter_side(self, finished_inches: Fraction) -> Cut:
        """Cut a square for quarter-square triangles."""
        return self._cut(
            finished_inches,
            shapes.QUARTER_SQUARE_LONG_SIDE,
            self.ruler.quarter_oversize_inches,
        )

    def growth(self, measure: Measure, oversize_inches: Fraction) -> Surd:
        """Give what is added to the finished size in this mode."""
        if self.cutting is Cutting.OVERSIZE:
            own = self.oversize_inches
            return as_surd(oversize_inches if own is None else own)
        if self.cutting is Cutting.TRADE:
            return as_surd(self.ruler.constant(measure))
        return measure.growth(self.ruler.seam_inches)

    def plain_size(self, exact_inches: Surd) -> Fraction:
        """Round a size with a root in it: outward if exact, else up to the ruler."""
        if self.cutting is Cutting.EXACT:
            return shapes.rounded_outward(exact_inches)
        return self.on_the_ruler(exact_inches)

    def centre_size(self, exact_inches: Surd) -> Fraction:
        """Round the same for a centre, which is never cut small: no mark below will do."""
        if self.cutting is Cutting.EXACT:
            return shapes.rounded_outward(exact_inches)
        return exact_inches.rounded_up(self.ruler.step_inches)

    def on_the_ruler(self, exact_inches: Surd) -> Fraction:
        """Give the next mark up, unless the mark below is as good by eye."""
        return (exact_inches - RULER_TOLERANCE).rounded_up(self.ruler.step_inches)

    def _cut(self, finished: Fraction, measure: Measure, oversize: Fraction) -> Cut:
        growth = self.growth(measure, oversize)
        size = shapes.rounded_outward(above_nought("patch", finished) + growth)
        added = self.ruler.show(shapes.rounded_outward(growth))
        return Cut(size, f"{self.ruler.show(finished)} finished and {added}.")


USUAL = Making()
