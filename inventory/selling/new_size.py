"""What to believe of a size never made: the curve, what was asked for, neighbours.

From three sizes made on, the belief comes from the curve with its own doubt. Two
sizes give the straight line between them in logarithms with shape 1 / (1/2 + d^2),
d^2 the relative variances of the two counts, weighted; outside them, and with one
size, it is the family's mean with shape 1 (house rules: so little proves no curve).

Askings tell a second, rougher story that is never added to the first:

    weekly = asked a week x missed / asked, over sizes made and asked for while out
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import log

from inventory.demand import Belief
from inventory.selling.rates import shown
from inventory.selling.size_curve import (
    MadeSize,
    SizeCurve,
    between_neighbours,
    fit_curve,
    neighbours,
)
from studio.lengths import show_inches
from studio.maths.chances import gamma_quantile

FEW_SHAPE = 2.0
LEAST_ASKED = 5


@dataclass(frozen=True)
class Asked:
    """How often this size was asked for, in how many weeks of noting it.

    ``made_asked`` and ``made_missed`` tell of sizes made while they were out: how
    many askings were noted, and how many sales were probably missed.
    """

    times: int
    weeks: float
    made_asked: int = 0
    made_missed: float = 0.0


@dataclass(frozen=True)
class NewSize:
    """What is held of a size never made; None in ``belief``: cannot say."""

    size_inches: Fraction
    belief: Belief | None
    low_80: float
    likely: float
    high_80: float
    by_asking_per_week: float | None
    may_try: bool
    sentences: tuple[str, ...]


def judge_new_size(
    size_inches: Fraction,
    made: Sequence[MadeSize],
    asked: Asked | None = None,
    test_passed: bool | None = None,
) -> NewSize:
    """Gather what speaks for and against a size that was never made.

    Raises SizeImpossible for a size that is not above nought.
    """
    curve = fit_curve(made)
    belief, source = _belief(size_inches, made, curve)
    low, likely, high = _range(belief)
    by_asking = asked_per_week(asked)
    return NewSize(
        size_inches=size_inches,
        belief=belief,
        low_80=low,
        likely=likely,
        high_80=high,
        by_asking_per_week=by_asking,
        may_try=bool(test_passed) and belief is not None,
        sentences=(
            _rate_sentence(belief, low, high, source),
            *_neighbour_sentence(size_inches, made),
            *_asked_sentence(asked, by_asking),
            _test_sentence(test_passed),
        ),
    )


def asked_per_week(asked: Asked | None) -> float | None:
    """Turn askings into a weekly rate; None where too few were noted to turn any."""
    if asked is None or asked.weeks <= 0 or asked.made_asked < LEAST_ASKED:
        return None
    return asked.times / asked.weeks * asked.made_missed / asked.made_asked


def _belief(
    size_inches: Fraction, made: Sequence[MadeSize], curve: SizeCurve | None
) -> tuple[Belief | None, str]:
    if curve is not None:
        inside = curve.reaches(size_inches)
        return curve.belief_of_new(size_inches), (
            "by the curve over the sizes made"
            if inside
            else "by the curve, beyond the sizes made, where it is least sure"
        )
    rate = between_neighbours(made, size_inches)
    if rate is not None:
        return _between(rate, size_inches, made), "between the two sizes beside it"
    return _family(made), "by the mean of the sizes made, for want of anything better"


def _between(rate: float, size_inches: Fraction, made: Sequence[MadeSize]) -> Belief:
    below, above = neighbours(made, size_inches)
    if below is None or above is None:
        raise LookupError(size_inches)
    span = log(above.size_inches / below.size_inches)
    part = log(size_inches / below.size_inches) / span if span else 0.0
    doubt = (1 - part) ** 2 / below.sold + part**2 / above.sold
    shape = 1 / (1 / FEW_SHAPE + doubt)
    return Belief(shape, shape / rate)


def _family(made: Sequence[MadeSize]) -> Belief | None:
    known = [one for one in made if one.weeks > 0 and one.sold >= 0]
    sold, weeks = sum(one.sold for one in known), sum(one.weeks for one in known)
    return Belief(1.0, weeks / sold) if sold else None


def _range(belief: Belief | None) -> tuple[float, float, float]:
    if belief is None:
        return 0.0, 0.0, 0.0
    low = gamma_quantile(0.1, belief.shape, belief.exposure)
    high = gamma_quantile(0.9, belief.shape, belief.exposure)
    return low, belief.mean, high


def _rate_sentence(belief: Belief | None, low: float, high: float, source: str) -> str:
    if belief is None:
        return "Cannot say: no size of this design has sold while it was in stock."
    return (
        f"About {shown(belief.mean)} a week, {shown(low)} to {shown(high)} four times in "
        f"five, {source}."
    )


def _neighbour_sentence(
    size_inches: Fraction, made: Sequence[MadeSize]
) -> tuple[str, ...]:
    known = [one for one in neighbours(made, size_inches) if one is not None]
    if not known:
        return ()
    told = [
        f"{show_inches(one.size_inches)} in at {shown(one.sold / one.weeks)} a week"
        for one in dict.fromkeys(known)
    ]
    return (
        f"Beside it: {' and '.join(told)}. Part of its buyers would have bought those.",
    )


def _asked_sentence(asked: Asked | None, by_asking: float | None) -> tuple[str, ...]:
    if asked is None:
        return ()
    times = f"Asked for {asked.times} {'time' if asked.times == 1 else 'times'}"
    if by_asking is None:
        return (f"{times}; too few askings are noted to turn that into sales.",)
    return (
        f"{times}: going by sizes asked for while they were out, that is about "
        f"{shown(by_asking)} a week. It is a second opinion and is not added.",
    )


def _test_sentence(passed: bool | None) -> str:
    if passed is None:
        return "No test block is sewn yet: sew one before a trial."
    if passed:
        return "The test block passed."
    return "The test block did not pass: put that right before a trial."
