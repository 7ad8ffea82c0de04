"""A curve of the weekly rate over the sizes made, with its own doubt.

    ln rate = a + b ln size             from three sizes made
    ln rate = a + b ln size + c (ln size)^2       from five

fitted as the likeliest for Poisson counts over the weeks in stock (Newton). The sizes
scatter round the curve like a gamma variable of shape s, likeliest with the curve
fixed and at most 50. With d the doubt of ln rate at a size,

    a size made        Gamma(s + sold, s / rate + weeks)
    a size never made  Gamma(s', s' / rate)   with   1 / s' = 1 / s + d^2

Adding the two relative spreads is a house rule. Sums recomputed by a second program.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import exp, isfinite, lgamma, log, sqrt

from inventory.demand import Belief
from inventory.selling.family_fit import top_of
from studio.errors import StudioError

MOST_SHAPE = 50.0
LEAST_SHAPE = 0.1
LEAST_FOR_A_CURVE = 3
LEAST_FOR_A_BEND = 5
_ROUNDS = 60
_STEEPEST = 60.0

Fitted = tuple[tuple[float, ...], tuple[tuple[float, ...], ...]]


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
class SizeCurve:
    """The fitted curve: its figures, how sure they are, how sizes scatter round it."""

    figures: tuple[float, ...]
    spread: tuple[tuple[float, ...], ...]
    shape: float
    smallest_inches: Fraction
    largest_inches: Fraction

    def rate_at(self, size_inches: Fraction) -> float:
        """Return the weekly rate that the curve gives at a size."""
        terms = _terms(size_inches, len(self.figures))
        return exp(sum(f * t for f, t in zip(self.figures, terms, strict=True)))

    def doubt_at(self, size_inches: Fraction) -> float:
        """Return the standard error of the logarithm of that rate."""
        terms = _terms(size_inches, len(self.figures))
        half = [
            sum(row[k] * terms[k] for k in range(len(terms))) for row in self.spread
        ]
        return sqrt(max(0.0, sum(h * t for h, t in zip(half, terms, strict=True))))

    def reaches(self, size_inches: Fraction) -> bool:
        """Say whether a size lies between sizes made."""
        return self.smallest_inches <= size_inches <= self.largest_inches

    def belief_of_new(self, size_inches: Fraction) -> Belief:
        """Return what to believe of a size never made."""
        shape = 1 / (1 / self.shape + self.doubt_at(size_inches) ** 2)
        return Belief(shape, shape / self.rate_at(size_inches))

    def belief_of_made(self, made: MadeSize) -> Belief:
        """Return what to believe of a size made, its own record included."""
        before = Belief(self.shape, self.shape / self.rate_at(made.size_inches))
        return before.after(made.sold, made.weeks)


def fit_curve(made: Sequence[MadeSize]) -> SizeCurve | None:
    """Fit the curve; None when the sizes made are too few or too empty for one.

    Raises SizeImpossible for a size that is not above nought.
    """
    known = _known(made)
    sizes = {one.size_inches for one in known}
    if len(sizes) < LEAST_FOR_A_CURVE:
        return None
    bends = len(sizes) >= LEAST_FOR_A_BEND
    fitted = likeliest_figures(known, 3) if bends else None
    fitted = fitted or likeliest_figures(known, 2)
    if fitted is None:
        return None
    figures, spread = fitted
    return SizeCurve(figures, spread, _scatter(known, figures), min(sizes), max(sizes))


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


def likeliest_figures(made: Sequence[MadeSize], count: int) -> Fitted | None:
    """Return two or three figures of the curve and their spread, or None.

    None where no figures are likeliest: nothing sold, or one size took every sale.
    """
    sold = sum(one.sold for one in made)
    if not sold:
        return None
    rows = [_terms(one.size_inches, count) for one in made]
    figures = [log(sold / sum(one.weeks for one in made)), *[0.0] * (count - 1)]
    for _ in range(_ROUNDS):
        step = _newton_step(made, rows, figures)
        if step is None:
            return None
        figures = [f + s for f, s in zip(figures, step, strict=True)]
        if max(abs(f) for f in figures[1:]) > _STEEPEST:
            return None
        if max(abs(s) for s in step) < 1e-12:
            return tuple(figures), _inverse(_information(made, rows, figures))
    return None


def _newton_step(
    made: Sequence[MadeSize], rows: Sequence[tuple[float, ...]], figures: list[float]
) -> list[float] | None:
    means = _means(made, rows, figures)
    count = len(figures)
    slope = [
        sum(
            (one.sold - mean) * row[k]
            for one, mean, row in zip(made, means, rows, strict=True)
        )
        for k in range(count)
    ]
    spread = _inverse(_information(made, rows, figures))
    if not spread:
        return None
    step = [sum(a * b for a, b in zip(line, slope, strict=True)) for line in spread]
    largest = max(abs(one) for one in step)
    if not isfinite(largest):
        return None
    # A long step overshoots where the curve is steep; it is cut to length 2.
    return [one * min(1.0, 2 / largest) for one in step] if largest else step


def _means(
    made: Sequence[MadeSize],
    rows: Sequence[tuple[float, ...]],
    figures: Sequence[float],
) -> list[float]:
    return [
        one.weeks
        * exp(min(300.0, sum(f * t for f, t in zip(figures, row, strict=True))))
        for one, row in zip(made, rows, strict=True)
    ]


def _information(
    made: Sequence[MadeSize],
    rows: Sequence[tuple[float, ...]],
    figures: Sequence[float],
) -> list[list[float]]:
    means = _means(made, rows, figures)
    span = range(len(figures))
    return [
        [
            sum(m * row[i] * row[k] for m, row in zip(means, rows, strict=True))
            for k in span
        ]
        for i in span
    ]


def _inverse(square: Sequence[Sequence[float]]) -> tuple[tuple[float, ...], ...]:
    """Invert a small square table by elimination; nothing when it has no inverse."""
    size = len(square)
    rows = [
        [*row, *(float(i == k) for k in range(size))] for i, row in enumerate(square)
    ]
    for column in range(size):
        best = max(range(column, size), key=lambda r: abs(rows[r][column]))
        rows[column], rows[best] = rows[best], rows[column]
        pivot = rows[column][column]
        if abs(pivot) < 1e-12:
            return ()
        rows[column] = [value / pivot for value in rows[column]]
        for r in range(size):
            if r != column:
                factor = rows[r][column]
                rows[r] = [
                    value - factor * other
                    for value, other in zip(rows[r], rows[column], strict=True)
                ]
    return tuple(tuple(row[size:]) for row in rows)


def _scatter(made: Sequence[MadeSize], figures: Sequence[float]) -> float:
    rows = [_terms(one.size_inches, len(figures)) for one in made]
    means = _means(made, rows, figures)

    def likelihood(log_shape: float) -> float:
        shape = exp(log_shape)
        return sum(
            lgamma(shape + one.sold)
            - lgamma(shape)
            + shape * log(shape / (shape + mean))
            + one.sold * log(mean / (shape + mean))
            for one, mean in zip(made, means, strict=True)
        )

    low, high = log(LEAST_SHAPE), log(MOST_SHAPE)
    found = top_of(likelihood, low, high)
    at_the_end = likelihood(high) >= likelihood(found)
    return MOST_SHAPE if at_the_end else exp(found)
