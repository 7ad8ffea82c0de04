"""Two systems of the trade, inch and metric, each with its own constants.

    inch, seam 1/4 in:      squares + 1/2, half squares + 7/8, quarter squares + 1 1/4
    metric, seam 0.75 cm:   squares + 1.5, half squares + 2.5, quarter squares + 3.5 cm
    any other seam:         the exact constant, rounded up to the step of the ruler
    a redrafted block:      2.5 cm for every inch, so that 12 in becomes 30 cm

The two are never mixed in one pattern, and a block is redrafted, not multiplied by
2.54. The inch constants are rounded up. The metric two are rounded down, by 0.6 and
1.2 mm, so those units come out small unless the seam sewn is about 7.3 mm.
Sources: common practice; readers' thread of a UK quilting magazine, 2008; a metric
geese page, quilting blog, Jan 2012.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from fractions import Fraction
from math import ceil

from studio.lengths import MM_IN_AN_INCH, show_inches, to_mm
from studio.maths import shapes
from studio.maths.shapes import QUARTER_INCH, Measure

MM = 1 / MM_IN_AN_INCH
REDRAFTED_MM_PER_INCH = 25
USUAL_METRIC_SEAM_MM = Fraction(15, 2)
SMALL_METRIC_UNITS = (
    "The metric constants are rounded down, so units come out about a millimetre "
    "small. Sew a seam of 7.3 mm, or choose exact sizes."
)


@dataclass(frozen=True)
class Ruler:
    """A system of cutting, all in inches: seam, steps of the ruler and constants.

    ``step_inches`` is what the trade rounds up to, ``finest_inches`` the finest mark
    that a finished size may fall on. An oversize is added in place of a constant.
    """

    name: str
    seam_inches: Fraction
    step_inches: Fraction
    finest_inches: Fraction
    half_square_inches: Fraction
    quarter_square_inches: Fraction
    half_oversize_inches: Fraction
    quarter_oversize_inches: Fraction

    @property
    def two_seams(self) -> Fraction:
        return 2 * self.seam_inches

    @property
    def square_inches(self) -> Fraction:
        """Give what the trade adds to a plain piece: two seams, up to the next step."""
        return ceil(self.two_seams / self.step_inches) * self.step_inches

    @property
    def rounded_up(self) -> Ruler:
        """Give the same ruler with no constant that is rounded down."""
        half, quarter = (
            measure.growth(self.seam_inches).rounded_up(self.step_inches)
            for measure in (shapes.HALF_SQUARE_LEG, shapes.QUARTER_SQUARE_LONG_SIDE)
        )
        return replace(self, half_square_inches=half, quarter_square_inches=quarter)

    @property
    def is_metric(self) -> bool:
        return self.name == "metric"

    def is_kind(self, inches: Fraction) -> bool:
        """Tell whether a cut falls on a mark: whole steps, or quarters of a cm."""
        steps = (
            (self.step_inches, 5 * MM / 2) if self.is_metric else (self.step_inches,)
        )
        return any((inches / step).denominator == 1 for step in steps)

    def constant(self, measure: Measure) -> Fraction:
        """Give what the trade adds to a finished size of this measure."""
        if measure == shapes.HALF_SQUARE_LEG:
            return self.half_square_inches
        if measure == shapes.QUARTER_SQUARE_LONG_SIDE:
            return self.quarter_square_inches
        if self == INCH and measure.trade_inches is not None:
            return measure.trade_inches
        return measure.growth(self.seam_inches).rounded_up(self.step_inches)

    def show(self, inches: Fraction) -> str:
        """Write a length as this ruler does: ``2⅞ in`` or ``7.5 cm``."""
        if not self.is_metric:
            return f"{show_inches(inches)} in"
        return f"{_decimal(to_mm(inches) / 10)} cm"

    def show_by(self, width_inches: Fraction, height_inches: Fraction) -> str:
        """Write two lengths: ``4½ × 2½ in``, or one and "square" if they are alike."""
        if width_inches == height_inches:
            return f"{self.show(width_inches)} square"
        unit = " cm" if self.is_metric else " in"
        width = self.show(width_inches).removesuffix(unit)
        return f"{width} × {self.show(height_inches)}"


def _decimal(number: Fraction) -> str:
    about = "" if (number * 1000).denominator == 1 else "about "
    whole, after = divmod(round(number * 1000), 1000)
    return f"{about}{whole}.{after:03}".rstrip("0").rstrip(".")


def inch_ruler(seam_inches: Fraction = QUARTER_INCH) -> Ruler:
    """Give the inch system, for any seam; constants go up to the next eighth."""
    return Ruler(
        "inch",
        seam_inches,
        Fraction(1, 8),
        Fraction(1, 16),
        shapes.HALF_SQUARE_LEG.growth(seam_inches).rounded_up(Fraction(1, 8)),
        shapes.QUARTER_SQUARE_LONG_SIDE.growth(seam_inches).rounded_up(Fraction(1, 8)),
        4 * seam_inches,
        6 * seam_inches,
    )


def metric_ruler(seam_mm: Fraction = USUAL_METRIC_SEAM_MM) -> Ruler:
    """Give the metric system, for any seam; only the usual one has own constants."""
    seam = seam_mm * MM
    half = shapes.HALF_SQUARE_LEG.growth(seam).rounded_up(MM)
    quarter = shapes.QUARTER_SQUARE_LONG_SIDE.growth(seam).rounded_up(MM)
    if seam_mm == USUAL_METRIC_SEAM_MM:
        half, quarter = 25 * MM, 35 * MM
    return Ruler("metric", seam, MM, MM / 2, half, quarter, 4 * seam, 6 * seam)


INCH = inch_ruler()
METRIC = metric_ruler()


def redrafted(block_inches: Fraction) -> Fraction:
    """Give the metric size of an inch block, in inches, on round centimetres."""
    return block_inches * REDRAFTED_MM_PER_INCH * MM


def millimetres(number: Fraction | int) -> Fraction:
    """Give millimetres as inches, the unit of every size in this studio."""
    return number * MM
