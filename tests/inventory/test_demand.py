"""Rates and beliefs against printed values and sums worked by hand."""

from __future__ import annotations

import csv
from fractions import Fraction
from math import comb
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from inventory.demand import (
    Belief,
    NoLimitToServe,
    NothingKnown,
    enough_for,
    family_belief,
    proved_different,
    rate_while_in_stock,
    share,
)
from studio.maths.chances import negative_binomial

WORKED = Path(__file__).parents[1] / "worked" / "demand.csv"


def worked_rows():
    with WORKED.open(newline="", encoding="utf-8") as file:
        return list(csv.DictReader(file))


def learnt(row):
    first = Belief(float(row["shape"]), float(row["exposure"]))
    return first.after(int(row["sold"]), float(row["seen"])).times(float(row["factor"]))


@pytest.mark.parametrize("row", worked_rows(), ids=lambda row: row["case"])
def test_a_belief_learns_from_what_was_sold(row):
    belief = learnt(row)

    assert belief.mean == pytest.approx(float(row["mean"]), abs=0.005)
    assert belief.spread == pytest.approx(float(row["spread"]), abs=0.005)


@pytest.mark.parametrize(
    "row", [r for r in worked_rows() if r["enough"]], ids=lambda row: row["case"]
)
def test_the_number_that_is_enough_allows_for_an_unsure_rate(row):
    assert learnt(row).smallest_with(float(row["service"])) == int(row["enough"])


def test_a_first_hour_sold_out_early_asks_for_more_than_was_sold():
    # Worked by hand: 53 / 0.925 = 57.3; 43 wanted, and 0.07 that 42 are too few.
    first = Belief(5, 0.125).after(48, 0.80)

    repeat = first.times(0.55)

    assert first.mean == pytest.approx(57.3, abs=0.1)
    assert repeat.chance_of_more(42) == pytest.approx(0.07, abs=0.01)
    assert repeat.smallest_when_rounded() == 43
    assert repeat.expected_sold(42) == pytest.approx(31.2, abs=0.1)
    assert repeat.expected_sold(26) == pytest.approx(25.2, abs=0.1)


def test_a_slow_first_hour_still_wants_nine_more():
    # Worked by hand: 17 left; more than 17 with 0.48, more than 26 with 0.0506.
    repeat = Belief(5, 0.125).after(31, 1.0).times(0.55)

    assert repeat.chance_of_more(17) == pytest.approx(0.48, abs=0.01)
    assert repeat.chance_of_more(26) == pytest.approx(0.0506, abs=0.0005)
    assert repeat.smallest_when_rounded() - 17 == 9


def test_a_rate_counts_only_days_in_stock():
    # Garwood's exact 95 in 100 limits for 10: 4.795 and 18.390 (from memory).
    rate = rate_while_in_stock(10, 70)

    assert (rate.per_week, rate.known) == (1.0, True)
    assert rate.low_95 == pytest.approx(0.4795, abs=0.0001)
    assert rate.high_95 == pytest.approx(1.8390, abs=0.0001)
    assert rate.low_95 < rate.low_80 < 1 < rate.high_80 < rate.high_95


def test_nothing_sold_is_not_nothing_wanted():
    # Garwood's exact upper 90 in 100 one-sided limit for 0 is ln 10 = 2.3026.
    rate = rate_while_in_stock(0, 70)

    assert (rate.per_week, rate.low_95) == (0, 0)
    assert rate.high_80 == pytest.approx(0.23026, abs=0.00001)
    assert rate.sentence == (
        "None sold in 70 days in stock: likely no more than 0.23 a week."
    )


def test_one_sale_says_little():
    rate = rate_while_in_stock(1, 84)

    assert rate.sentence == (
        "1 sold in 84 days in stock: 0.08 a week, likely 0.01 to 0.32."
    )


def test_an_item_never_in_stock_is_not_a_slow_seller():
    rate = rate_while_in_stock(0, 0)

    assert not rate.known
    assert rate.sentence == "It was never in stock, so nothing is known of its demand."
    with pytest.raises(NothingKnown, match="Type your own guess"):
        enough_for(rate, 28, 0.9)


def test_a_belief_beforehand_speaks_where_the_record_is_silent():
    # Own instance: Gamma(2, 1 week), nothing sold yet, three weeks: mean 6, 8 enough.
    rate = rate_while_in_stock(0, 0, prior=Belief(2, 1))

    enough = enough_for(rate, 21, 0.75)

    assert (rate.per_week, enough.count) == (2, 8)
    assert enough.sentence == (
        "8 are enough for 21 days 76 times in 100; about 6.0 are expected to be wanted."
    )


def test_no_days_need_nothing():
    assert enough_for(rate_while_in_stock(4, 28), 0, 0.9).count == 0


def test_serving_everybody_for_certain_is_refused():
    with pytest.raises(NoLimitToServe):
        enough_for(rate_while_in_stock(4, 28), 7, 1.0)


def test_demand_is_shared_by_rate_and_not_by_sales():
    # Worked by hand: 4 in 4 weeks and 4 in 12 weeks are 1 and 1/3 a week.
    rates = [rate_while_in_stock(4, 28), rate_while_in_stock(4, 84)]

    assert share(rates) == pytest.approx((0.75, 0.25))
    assert share([rate_while_in_stock(0, 9)] * 2) == (0.5, 0.5)


def test_a_gap_that_luck_explains_is_not_proved():
    # Worked by hand: 12 of 16 by a fair coin, both tails: 2 x 2517 / 65536 = 0.0768.
    gap = proved_different(rate_while_in_stock(12, 84), rate_while_in_stock(4, 84))

    assert not gap.proved
    assert gap.luck == float(Fraction(2 * 2517, 65536))
    assert gap.sentence == (
        "1.0 a week against 0.33: a gap that luck alone makes about 1 time in 13, "
        "so it is not proved."
    )


def test_a_gap_beyond_luck_is_proved():
    # Worked by hand: 10 of 10 by a fair coin, both tails: 2 / 1024.
    gap = proved_different(rate_while_in_stock(10, 50), rate_while_in_stock(0, 50))

    assert gap.proved
    assert gap.luck == 2 / 1024


def test_a_gap_over_years_of_sales_is_judged_like_a_short_one():
    """Either side of the number from which sums are no longer exact."""
    exact = proved_different(
        rate_while_in_stock(112, 700), rate_while_in_stock(88, 700)
    )
    rounded = proved_different(
        rate_while_in_stock(112, 700), rate_while_in_stock(89, 700)
    )
    years = proved_different(
        rate_while_in_stock(5000, 3000), rate_while_in_stock(4750, 3000)
    )

    # Closed form: twice the upper tail of a fair coin, in whole numbers.
    assert exact.luck == float(Fraction(2 * heads(112, 200), 2**200))
    assert rounded.luck == pytest.approx(2 * heads(112, 201) / 2**201, rel=1e-9)
    assert years.luck == pytest.approx(2 * heads(5000, 9750) / 2**9750, rel=1e-9)


def heads(at_least, tosses):
    return sum(comb(tosses, k) for k in range(at_least, tosses + 1))


def test_too_little_to_compare_is_said():
    gap = proved_different(rate_while_in_stock(3, 20), rate_while_in_stock(0, 0))

    assert (gap.proved, gap.sentence) == (
        False,
        "There is too little to compare yet.",
    )


def test_a_family_lends_its_sizes_a_belief():
    # Gaver and O'Muircheartaigh 1987, ten pumps, as in the BUGS manual; estimates by
    # moments recomputed by a second program.
    failures = [5, 1, 5, 14, 3, 19, 1, 1, 4, 22]
    times = [94.3, 15.7, 62.9, 126, 5.24, 31.4, 1.05, 1.05, 2.1, 10.5]

    belief = family_belief(failures, times)

    assert belief.shape == pytest.approx(0.303522, abs=1e-6)
    assert belief.exposure == pytest.approx(1.417409, abs=1e-6)
    rates = [belief.after(n, t).mean for n, t in zip(failures, times, strict=True)]
    assert [round(rate, 4) for rate in rates] == [
        *(0.0554, 0.0762, 0.0825, 0.1123, 0.4962),
        *(0.5882, 0.5283, 0.5283, 1.2235, 1.8715),
    ]


def test_a_family_without_differences_lends_nothing():
    assert family_belief([5, 5, 5], [4, 4, 4]) is None
    assert family_belief([0, 0], [4, 4]) is None


@given(st.floats(0.1, 900), st.floats(0.05, 20), st.floats(0.05, 0.99))
def test_no_smaller_number_is_enough(shape, mean, service):
    belief = Belief(shape, shape / mean)

    count = belief.smallest_with(service)

    chances = [
        negative_binomial(k, shape, belief.exposure / (belief.exposure + 1))
        for k in range(count + 1)
    ]
    assert sum(chances) >= service - 1e-9
    assert sum(chances[:-1]) < service + 1e-9


@given(st.floats(0.2, 20), st.floats(0.2, 20), st.integers(0, 60), st.floats(0.2, 60))
def test_what_is_learnt_lies_between_belief_and_record(shape, exposure, sold, seen):
    first = Belief(shape, exposure)

    mean = first.after(sold, seen).mean

    low, high = sorted((first.mean, sold / seen))
    assert low - 1e-9 <= mean <= high + 1e-9
