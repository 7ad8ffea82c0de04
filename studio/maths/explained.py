"""Three kinds of size that are never mixed, and numbers that say where they are from.

    exact    a sum of roots, as geometry gives it: 3½ + ¼√2 in
    trade    what a quilter reads off a ruler and cuts: 3⅞ in
    cutter   millimetres for a machine, outward to 0.001 mm: 97.881 mm

No kind can be added to another by accident: each is a type of its own.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from fractions import Fraction

from studio.lengths import MM_IN_AN_INCH, show_inches, show_millimetres, to_mm
from studio.maths import shapes
from studio.maths.metric import INCH, METRIC, Ruler
from studio.maths.patch.recipe import Making
from studio.maths.shapes import Measure
from studio.maths.surds import Surd, as_surd

INCH_IN_CM = MM_IN_AN_INCH / 10


@dataclass(frozen=True)
class ExactSize:
    """A size of geometry."""

    inches: Surd
    ruler: Ruler = INCH

    @property
    def shown(self) -> str:
        """Write the size as it stands, in the unit of the ruler: ``3½ + ¼√2 in``."""
        if self.ruler.is_metric:
            return f"{_shown(self.inches * INCH_IN_CM, _centimetres)} cm"
        return f"{show_surd(self.inches)} in"

    def __str__(self) -> str:
        if self.ruler.is_metric:
            return f"{self.shown} exactly"
        places = self.inches.nearest(Fraction(1, 10_000))
        about = f", about {places.numerator / places.denominator:.4f} in"
        plain = all(root == 1 for root, _ in self.inches.terms)
        return f"{self.shown} exactly{'' if plain else about}"


@dataclass(frozen=True)
class TradeSize:
    """A size that a quilter cuts by eye and ruler."""

    inches: Fraction
    ruler: Ruler = INCH

    def __str__(self) -> str:
        return f"{self.ruler.show(self.inches)} by the trade's constants"


@dataclass(frozen=True)
class CutterSize:
    """A size for a machine, in thousandths of a millimetre rounded outward."""

    millimetres: Fraction

    def __str__(self) -> str:
        return f"{show_millimetres(self.millimetres)} for the cutter"


@dataclass(frozen=True)
class TemplateSize:
    """One measure of one template in all three forms, and how it came about."""

    finished: ExactSize
    measure: Measure
    exact: ExactSize
    trade: TradeSize
    cutter: CutterSize

    def __str__(self) -> str:
        return (
            f"{self.measure.shape.capitalize()}, {self.measure.measure}: "
            f"{self.finished.shown} finished gives {self.exact}; "
            f"{self.trade}; {self.cutter}."
        )


def template_size(
    finished_inches: Surd | Fraction, measure: Measure, ruler: Ruler = INCH
) -> TemplateSize:
    """Give the cut size of one measure, in its three forms."""
    finished = as_surd(finished_inches)
    exact = finished + measure.growth(ruler.seam_inches)
    return TemplateSize(
        ExactSize(finished, ruler),
        measure,
        ExactSize(exact, ruler),
        TradeSize(_traded(finished, ruler.constant(measure), ruler), ruler),
        CutterSize(to_mm(shapes.rounded_outward(exact))),
    )


def _traded(finished: Surd, constant: Fraction, ruler: Ruler) -> Fraction:
    """Add the constant; what is on no mark of the ruler goes up to its next step."""
    low, high = (finished + constant).bounds()
    if low == high and (high / ruler.finest_inches).denominator == 1:
        return high
    return Making(ruler=ruler).on_the_ruler(finished + constant)


def show_surd(value: Surd) -> str:
    """Write a sum of roots as it stands: ``3½ + ¼√2``."""
    return _shown(value, _fraction)


def _shown(value: Surd, write: Callable[[Fraction], str]) -> str:
    if not value.terms:
        return "0"
    written = [
        _term(root, count, write)
        if n == 0
        else f"{_sign(count)} {_term(root, abs(count), write)}"
        for n, (root, count) in enumerate(_what_is_added_first(value))
    ]
    return " ".join(written)


def _what_is_added_first(value: Surd) -> list[tuple[int, Fraction]]:
    return sorted(value.terms, key=lambda term: term[1] < 0)


def _sign(count: Fraction) -> str:
    return "−" if count < 0 else "+"


def _term(root: int, count: Fraction, write: Callable[[Fraction], str]) -> str:
    if root == 1:
        return write(count)
    return f"{'' if count == 1 else write(count)}√{root}"


def _fraction(count: Fraction) -> str:
    shown = show_inches(count)
    return f"({count})" if "." in shown or "/" in shown else shown


def _centimetres(count: Fraction) -> str:
    shown = METRIC.show(count / INCH_IN_CM).removesuffix(" cm")
    return f"({count})" if shown.startswith("about") else shown
