"""A curve of the weekly rate over the sizes made, with its own doubt.

    ln rate = a + b ln size                       from three sizes made
    ln rate = a + b ln size + c (ln size)^2       from five

Sizes scatter round the curve like a gamma variable of shape s, so counts are negative
binomial, Poisson where s has no end; the figures are the likeliest for each s
(scoring by Fisher). With d the doubt of ln rate at a size,

    a size made        Gamma(s + sold, s / rate + weeks)
    a size never made  Gamma(s', s' / rate)   with   1 / s' = 1 / s + d^2

Few sizes cannot say how much sizes scatter: the likeliest s alone makes a range that
should hold four times in five hold every other time. So several s stand side by side,
equally likely beforehand, each weighed by the likelihood times the volume of its
figures (Laplace), and joined by mean and spread. Adding the two relative spreads, and
which s are tried, are house rules. Sums recomputed by a second program.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import exp, inf, isfinite, isinf, lgamma, log, sqrt

from inventory.demand import Belief
from studio.errors import StudioError

SHAPES = (2.0, 4.0, 8.0, 16.0, 32.0, inf)
LEAST_FOR_A_CURVE = 3
LEAST_FOR_A_BEND = 5
_ROUNDS = 60
_SETTLED = 1e-7
_STEEPEST = 60.0
_MOST_EXPONENT = 300.0
_NO_PIVOT = 1e-12


class SizeImpossible(StudioError):
    """A finished size that is not above nought."""

    def __init__(self, size_inches: Fraction) -> None:
        self.size_inches = size_inches
        super().__init__("A finished size has to be above nought. Type it, please.")


@dataclass(frozen=True)
class MadeSize:
    """A size made, what it sold while in stock, and for how many weeks it was."""

    size_inches: Fraction
    sold: int
    weeks: float


@dataclass(frozen=True)
class CurveFit:
    """The likeliest curve for one scatter of the sizes, and how likely that scatter is.

    ``spread`` holds the variances of the figures and how they move together.
    """

    figures: tuple[float, ...]
    spread: tuple[tuple[float, ...], ...]
    shape: float
    log_weight: float

    def rate_at(self, size_inches: Fraction) -> float:
        """Return the weekly rate that this curve gives at a size."""
        terms = _terms(size_inches, len(self.figures))
        return exp(_dot(self.figures, terms))

    def doubt_at(self, size_inches: Fraction) -> float:
        """Return the standard error of the logarithm of that rate."""
        terms = _terms(size_inches, len(self.figures))
        return sqrt(max(0.0, _dot(terms, [_dot(row, terms) for row in self.spread])))

    def belief_of_new(self, size_inches: Fraction) -> Belief:
        """Return what this curve makes of a size never made."""
        shape = 1 / (1 / self.shape + self.doubt_at(size_inches) ** 2)
        return Belief(shape, shape / self.rate_at(size_inches))

    def belief_of_made(self, made: MadeSize) -> Belief:
        """Return what this curve makes of a size made, its own record included.

        Where sizes lie on the curve itself only its own doubt is left.
        """
        if isinf(self.shape):
            return self.belief_of_new(made.size_inches)
        before = Belief(self.shape, self.shape / self.rate_at(made.size_inches))
        return before.after(made.sold, made.weeks)


@dataclass(frozen=True)
class SizeCurve:
    """The curve over the sizes made, averaged over how much sizes may scatter."""

    fits: tuple[tuple[float, CurveFit], ...]
    smallest_inches: Fraction
    largest_inches: Fraction

    def rate_at(self, size_inches: Fraction) -> float:
        """Return the weekly rate that the curve gives at a size."""
        return sum(weight * fit.rate_at(size_inches) for weight, fit in self.fits)

    def reaches(self, size_inches: Fraction) -> bool:
        """Say whether a size lies between sizes made."""
        return self.smallest_inches <= size_inches <= self.largest_inches

    def belief_of_new(self, size_inches: Fraction) -> Belief:
        """Return what to believe of a size never made."""
        return _joined([(w, fit.belief_of_new(size_inches)) for w, fit in self.fits])

    def belief_of_made(self, made: MadeSize) -> Belief:
        """Return what to believe of a size made, its own record included."""
        return _joined([(w, fit.belief_of_made(made)) for w, fit in self.fits])


def fit_curve(made: Sequence[MadeSize]) -> SizeCurve | None:
    """Fit the curve; None when the sizes made are too few or too empty for one.

    Raises SizeImpossible for a size that is not above nought.
    """
    known = _known(made)
    sizes = {one.size_inches for one in known}
    if len(sizes) < LEAST_FOR_A_CURVE:
        return None
    count = 3 if len(sizes) >= LEAST_FOR_A_BEND else 2
    fits = _fits(known, count) or _fits(known, 2)
    if not fits:
        return None
    top = max(fit.log_weight for fit in fits)
    plain = [exp(fit.log_weight - top) for fit in fits]
    weights = [one / sum(plain) for one in plain]
    return SizeCurve(tuple(zip(weights, fits, strict=True)), min(sizes), max(sizes))


def fit_with(
    made: Sequence[MadeSize], count: int, shape: float, start: Sequence[float] = ()
) -> CurveFit | None:
    """Fit two or three figures, sizes scattering round them with this shape.

    None where no figures are likeliest: nothing sold, or one size took every sale.
    """
    sold = sum(one.sold for one in made)
    if not sold:
        return None
    rows = [_terms(one.size_inches, count) for one in made]
    level = log(sold / sum(one.weeks for one in made))
    figures = list(start) or [level, *[0.0] * (count - 1)]
    for _ in range(_ROUNDS):
        step = _step(made, rows, figures, shape)
        if step is None:
            return None
        figures = [f + s for f, s in zip(figures, step, strict=True)]
        if max(abs(f) for f in figures[1:]) > _STEEPEST:
            return None
        if max(abs(s) for s in step) < _SETTLED:
            return _fitted(made, rows, figures, shape)
    return None


def _fits(made: Sequence[MadeSize], count: int) -> list[CurveFit]:
    """Fit each scatter from where the one before it ended, the least scatter first."""
    fits: list[CurveFit] = []
    for shape in sorted(SHAPES, reverse=True):
        start = fits[-1].figures if fits else ()
        fit = fit_with(made, count, shape, start)
        if fit is not None:
            fits.append(fit)
    return fits


def _joined(parts: Sequence[tuple[float, Belief]]) -> Belief:
    """Return the gamma with the mean and the spread of several, weighted."""
    mean = sum(weight * one.mean for weight, one in parts)
    square = sum(weight * one.mean**2 * (1 + 1 / one.shape) for weight, one in parts)
    shape = mean**2 / (square - mean**2)
    return Belief(shape, shape / mean)


def between_neighbours(made: Sequence[MadeSize], size_inches: Fraction) -> float | None:
    """Read a rate off the straight line between the two nearest sizes, in logs.

    None outside the sizes made, or where a neighbour has sold nothing.
    """
    below, above = neighbours(made, size_inches)
    if below is None or above is None or not (below.sold and above.sold):
        return None
    if below.size_inches == above.size_inches:
        return below.sold / below.weeks
    low, high = log(below.size_inches), log(above.size_inches)
    part = (log(size_inches) - low) / (high - low)
    at_low, at_high = log(below.sold / below.weeks), log(above.sold / above.weeks)
    return exp(at_low + part * (at_high - at_low))


def neighbours(
    made: Sequence[MadeSize], size_inches: Fraction
) -> tuple[MadeSize | None, MadeSize | None]:
    """Return the nearest sizes made, at most and at least as large."""
    known = _known(made)
    below = [one for one in known if one.size_inches <= size_inches]
    above = [one for one in known if one.size_inches >= size_inches]
    return (
        max(below, key=lambda one: one.size_inches, default=None),
        min(above, key=lambda one: one.size_inches, default=None),
    )


def _known(made: Sequence[MadeSize]) -> list[MadeSize]:
    """Leave out sizes never in stock, and one that corrections brought below nought."""
    for one in made:
        if one.size_inches <= 0:
            raise SizeImpossible(one.size_inches)
    return [one for one in made if one.weeks > 0 and one.sold >= 0]


def _terms(size_inches: Fraction, count: int) -> tuple[float, ...]:
    if size_inches <= 0:
        raise SizeImpossible(size_inches)
    across = log(size_inches)
    return (1.0, across, across * across)[:count]


def _dot(left: Sequence[float], right: Sequence[float]) -> float:
    return sum(a * b for a, b in zip(left, right, strict=True))


def _step(
    made: Sequence[MadeSize],
    rows: Sequence[tuple[float, ...]],
    figures: list[float],
    shape: float,
) -> list[float] | None:
    means = _means(made, rows, figures)
    pulls = [
        (one.sold - mean) / (1 + mean / shape)
        for one, mean in zip(made, means, strict=True)
    ]
    slope = [_dot(pulls, [row[k] for row in rows]) for k in range(len(figures))]
    spread = _inverse(_information(means, rows, shape))[0]
    if not spread:
        return None
    step = [_dot(line, slope) for line in spread]
    largest = max(abs(one) for one in step)
    if not isfinite(largest):
        return None
    # A long step overshoots where the curve is steep; it is cut to length 2.
    return [one * min(1.0, 2 / largest) for one in step] if largest else step


def _fitted(
    made: Sequence[MadeSize],
    rows: Sequence[tuple[float, ...]],
    figures: Sequence[float],
    shape: float,
) -> CurveFit | None:
    means = _means(made, rows, figures)
    spread, volume = _inverse(_information(means, rows, shape))
    if not spread:
        return None
    likelihood = sum(
        _log_count(one.sold, mean, shape) for one, mean in zip(made, means, strict=True)
    )
    return CurveFit(tuple(figures), spread, shape, likelihood - log(volume) / 2)


def _means(
    made: Sequence[MadeSize],
    rows: Sequence[tuple[float, ...]],
    figures: Sequence[float],
) -> list[float]:
    return [
        one.weeks * exp(min(_MOST_EXPONENT, _dot(figures, row)))
        for one, row in zip(made, rows, strict=True)
    ]


def _information(
    means: Sequence[float], rows: Sequence[tuple[float, ...]], shape: float
) -> list[list[float]]:
    weights = [mean / (1 + mean / shape) for mean in means]
    span = range(len(rows[0]))
    return [
        [
            sum(w * row[i] * row[k] for w, row in zip(weights, rows, strict=True))
            for k in span
        ]
        for i in span
    ]


def _log_count(count: int, mean: float, shape: float) -> float:
    if isinf(shape):
        return count * log(mean) - mean - lgamma(count + 1)
    return (
        lgamma(shape + count)
        - lgamma(shape)
        - lgamma(count + 1)
        + shape * log(shape / (shape + mean))
        + count * log(mean / (shape + mean))
    )


def _inverse(
    square: Sequence[Sequence[float]],
) -> tuple[tuple[tuple[float, ...], ...], float]:
    """Invert a small square table by elimination; its determinant beside it.

    Nothing, and nought, where it has no inverse.
    """
    size, volume = len(square), 1.0
    rows = [
        [*row, *(float(i == k) for k in range(size))] for i, row in enumerate(square)
    ]
    for column in range(size):
        best = max(range(column, size), key=lambda r: abs(rows[r][column]))
        rows[column], rows[best] = rows[best], rows[column]
        pivot = rows[column][column]
        if abs(pivot) < _NO_PIVOT:
            return (), 0.0
        volume *= abs(pivot)
        rows[column] = [value / pivot for value in rows[column]]
        _clear_column(rows, column)
    return tuple(tuple(row[size:]) for row in rows), volume


def _clear_column(rows: list[list[float]], column: int) -> None:
    for r, row in enumerate(rows):
        if r != column:
            factor = row[column]
            rows[r] = [
                value - factor * other
                for value, other in zip(row, rows[column], strict=True)
            ]
