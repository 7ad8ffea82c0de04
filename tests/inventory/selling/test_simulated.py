"""Made-up studios whose true rates are known: ranges hold as often as they claim.

Every seed is fixed. A range that claims four times in five may hold as often as luck
gives, 999 times in 1,000, by the binomial distribution; ranges of whole counts, which
can only be wider, may hold more often but not less.
"""

import random
from fractions import Fraction
from math import exp, inf, log

import pytest
from hypothesis import given
from hypothesis import strategies as st

from inventory.demand import Belief, rate_while_in_stock
from inventory.selling.missed import missed_while_out
from inventory.selling.new_size import judge_new_size
from inventory.selling.occasions import Window, steady_apart
from inventory.selling.rates import SizeSales, honest_sizes
from inventory.selling.size_curve import MadeSize
from studio.maths.binomials import likely_hits

STUDIOS = 1000
FAMILIES = 300
SCATTERS = (2, 4, 8, 16, 32, inf)
CLAIM = 0.8
LOW, HIGH = likely_hits(STUDIOS, CLAIM, 0.999)


def poisson(rng, mean):
    gone, count = rng.expovariate(1), 0
    while gone < mean:
        gone, count = gone + rng.expovariate(1), count + 1
    return count


def drawn(rng, belief):
    return rng.gammavariate(belief.shape, 1 / belief.exposure)


@pytest.mark.parametrize("true_rate", [0.02, 0.2, 1.0, 4.0])
def test_a_rate_is_inside_its_range_at_least_as_often_as_claimed(true_rate):
    rng = random.Random(7)

    held = 0
    for _ in range(STUDIOS):
        weeks = rng.choice([4, 13, 30])
        rate = rate_while_in_stock(poisson(rng, true_rate * weeks), 7 * weeks)
        held += rate.low_80 <= true_rate <= rate.high_80

    assert held >= LOW


def test_with_a_true_belief_the_range_holds_just_as_often_as_claimed():
    rng = random.Random(8)
    belief = Belief(1.5, 2.0)

    held = 0
    for _ in range(STUDIOS):
        true_rate, weeks = drawn(rng, belief), rng.choice([4, 13, 30])
        sold = poisson(rng, true_rate * weeks)
        rate = rate_while_in_stock(sold, 7 * weeks, belief)
        held += rate.low_80 <= true_rate <= rate.high_80

    assert LOW <= held <= HIGH


def test_what_was_missed_is_inside_its_range_at_least_as_often_as_claimed():
    rng = random.Random(9)
    belief = Belief(1.5, 2.0)

    held = 0
    for _ in range(STUDIOS):
        true_rate, weeks_out = drawn(rng, belief), rng.choice([2, 8, 20])
        rate = rate_while_in_stock(poisson(rng, true_rate * 20), 140, belief)
        missed = missed_while_out(rate, 7 * weeks_out)
        held += missed.low <= poisson(rng, true_rate * weeks_out) <= missed.high

    assert held >= LOW


FOUR = (3, Fraction(9, 2), 9, Fraction(27, 2))
SEVEN = (3, 4, 5, 6, 8, 10, 12)


@pytest.mark.parametrize(
    ("sizes", "new"),
    [(FOUR, 6), (SEVEN, 7), (SEVEN, 14)],
    ids=["four sizes", "seven sizes", "beyond seven sizes"],
)
def test_a_size_never_made_is_inside_its_range_as_often_as_claimed(sizes, new):
    """Sizes scatter round a true curve by half the rate, not at all, or in between."""
    rng = random.Random(10)

    held = 0
    for _ in range(FAMILIES):
        true_rate = a_family(rng, bends=len(sizes) > 4)
        made = [
            MadeSize(Fraction(size), poisson(rng, true_rate(size) * weeks), weeks)
            for size in sizes
            for weeks in [rng.choice([10, 26, 52])]
        ]
        judged = judge_new_size(Fraction(new), made)
        held += judged.low_80 <= true_rate(new) <= judged.high_80

    low, high = likely_hits(FAMILIES, CLAIM, 0.999)
    assert low <= held <= high


def a_family(rng, bends):
    shape, middle = rng.choice(SCATTERS), log(rng.uniform(0.3, 2))
    slope, bend = rng.uniform(-1, 1), rng.uniform(-0.5, 0) if bends else 0.0

    def true_rate(size):
        across = log(size / 6)
        off = 1.0 if shape == inf else rng.gammavariate(shape, 1 / shape)
        return exp(middle + slope * across + bend * across**2) * off

    return true_rate


def test_a_steady_rate_is_not_carried_away_by_an_hour_on_television():
    """300 studios at 0.3 a day, a slot of 40: the mean is within 4 standard errors."""
    rng = random.Random(12)
    found = []
    for _ in range(300):
        windows = [
            Window(poisson(rng, 0.3 * 60), 60),
            Window(poisson(rng, 40), 1, {"slot": 1}),
            Window(poisson(rng, 0.3 * 6 + 8), 6, {"after-glow": 1}),
            Window(poisson(rng, 0.3 * 50), 50),
        ]
        found.append(steady_apart(windows).steady_per_day)

    # Closed form: a count over 110 days has the variance of its rate over 110.
    assert sum(found) / 300 == pytest.approx(0.3, abs=4 * (0.3 / 110 / 300) ** 0.5)


@given(st.integers(0, 40), st.integers(28, 300), st.integers(1, 14))
def test_a_day_found_to_have_been_out_never_lowers_an_estimate(sold, days, out):
    """The same sales, with some days now known as out of stock."""
    as_it_read = SizeSales("6 in", sold, 0, days)
    as_it_was = SizeSales("6 in", sold, 0, days - out, days_out=out)

    before, after = (
        honest_sizes([one]).lines[0].rate for one in (as_it_read, as_it_was)
    )

    assert after.per_week >= before.per_week
    assert (after.low_80, after.high_80) >= (before.low_80, before.high_80)
    assert after.sold == before.sold
