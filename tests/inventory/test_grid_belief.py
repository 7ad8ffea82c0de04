"""What days teach, sold-out ones too, against printed and recomputed figures."""

import csv
from fractions import Fraction
from math import inf, sqrt
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from inventory.demand import Belief
from inventory.grid_belief import learned, likeliest_mean
from inventory.past_days import PastDay
from tests.inventory.day_rows import days_of

WORKED = Path(__file__).parents[1] / "worked" / "days.csv"
NEVER_DIFFER = (inf,)


def worked_rows():
    with WORKED.open(newline="", encoding="utf-8") as file:
        return list(csv.DictReader(file))


def measured(row):
    days = days_of(row["days"])
    if row["measure"] == "likeliest":
        return likeliest_mean(days)
    prior = Belief(*(float(word) for word in row["prior"].split()))
    belief = learned(days, prior, NEVER_DIFFER)
    if row["measure"].startswith("at most"):
        return sum(belief.chances[: int(row["measure"].split()[2]) + 1])
    return getattr(belief, row["measure"])


@pytest.mark.parametrize(
    "row", worked_rows(), ids=lambda row: f"{row['case']}: {row['measure']}"
)
def test_the_days_teach_the_figure_of_the_table(row):
    found = measured(row)

    close = 0.6 * 10 ** -int(row["places"])
    assert found == pytest.approx(float(row["value"]), abs=close)


def test_nothing_is_likeliest_when_every_day_sold_out():
    assert likeliest_mean(days_of("2* 5*")) == inf


@given(
    st.lists(st.integers(0, 60), min_size=1, max_size=6),
    st.integers(1, 20),
    st.integers(1, 20),
)
@settings(max_examples=25, deadline=None)
def test_the_mean_lies_between_the_belief_and_the_record(sold, shape, mean):
    prior = Belief(shape, shape / mean)
    raw = sum(sold) / len(sold)

    belief = learned([PastDay(count) for count in sold], prior, NEVER_DIFFER)

    low, high = sorted((prior.mean, raw))
    assert low - 1e-6 <= belief.mean <= high + 1e-6
    # The sum of a gamma belief, Gelman et al. (from memory): (a + n) / (b + T).
    closed = (shape + sum(sold)) / (prior.exposure + len(sold))
    assert belief.mean == pytest.approx(closed, rel=1e-6)


@given(st.lists(st.integers(1, 40), min_size=2, max_size=5))
@settings(max_examples=15, deadline=None)
def test_a_day_that_sold_out_never_lowers_the_mean(sold):
    last = sold[-1]
    open_days = [PastDay(count) for count in sold[:-1]]

    with_stock_left = learned([*open_days, PastDay(last)])
    at_a_minute = learned([*open_days, PastDay(last, True, Fraction(4, 5))])
    at_no_known_minute = learned([*open_days, PastDay(last, True, None)])

    assert at_a_minute.mean > with_stock_left.mean
    assert at_no_known_minute.mean > with_stock_left.mean


def test_days_that_differ_more_make_the_coming_day_less_sure():
    alike = learned(days_of("24 25 25 26 25 25"))
    unlike = learned(days_of("10 40 18 33 12 37"))

    assert alike.mean == pytest.approx(unlike.mean, abs=3)
    assert spread(unlike) > 1.4 * spread(alike)


def spread(belief):
    squares = sum(
        chance * (count - belief.mean) ** 2
        for count, chance in enumerate(belief.chances)
    )
    return sqrt(squares)


def test_a_guess_alone_keeps_its_own_width_whatever_the_days_may_do():
    # The gamma and Poisson sum for one day, mean + mean^2 / shape, from the closed form.
    guess = Belief(15.5, 0.5)

    belief = learned([], guess)

    assert belief.mean == pytest.approx(31.0, rel=0.01)
    assert spread(belief) == pytest.approx(guess.spread, rel=0.01)


def test_a_thousand_a_day_are_counted_as_well():
    belief = learned([PastDay(1000), PastDay(1020)], None, NEVER_DIFFER)

    assert belief.mean == pytest.approx(1010.25, abs=0.1)
    assert sum(belief.chances) == pytest.approx(1, abs=1e-6)


def test_a_repeat_is_the_same_belief_drawn_smaller():
    # Closed form: (5 + 48) / (0.125 + 0.8) x 0.55 = 31.51 worked by hand.
    first = learned([PastDay(48, True, Fraction(4, 5))], Belief(5, 0.125), NEVER_DIFFER)

    repeat = first.times(0.55)

    assert repeat.mean == pytest.approx(31.51, abs=0.01)
    assert spread(repeat) == pytest.approx(7.09, abs=0.01)
