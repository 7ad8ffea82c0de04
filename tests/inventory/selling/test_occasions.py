"""The steady trade apart from an hour on television, a fair and the days after."""

from datetime import date, timedelta
from math import log

import pytest
from hypothesis import given
from hypothesis import strategies as st

from inventory.selling.occasions import (
    Window,
    chance_of_so_many,
    likeliest_rates,
    steady_apart,
    unlisted_spikes,
)
from tests.inventory.selling import worked

FIRST = date(2027, 1, 1)


def window(word):
    sold, days, *kinds = word.split("/")
    return Window(int(sold), float(days), dict.fromkeys(kinds, 1.0))


@pytest.mark.parametrize(
    "row", worked.rows("selling_occasions.csv"), ids=lambda row: row["case"]
)
def test_occasions_are_told_apart_from_plain_days(row):
    apart = steady_apart([window(word) for word in row["windows"].split()])

    assert apart.steady_per_day == pytest.approx(float(row["steady"]), abs=5e-7)
    cells = row["adds"].split()
    printed = dict(zip(cells[::2], map(float, cells[1::2]), strict=True))
    assert apart.adds == pytest.approx(printed, abs=5e-7)


def test_the_words_say_a_week_and_what_an_occasion_adds():
    # Worked by hand: 18 / 92 a day are 1.4 a week.
    apart = steady_apart([Window(10, 40), Window(8, 50), Window(0, 2, {"fair": 2})])

    assert apart.sentences == (
        "Without occasions 1.4 a week are sold.",
        "One fair adds nothing that can be seen.",
    )


def test_printed_counts_with_a_straight_mean():
    # Dobson and Barnett, An Introduction to Generalized Linear Models, table 4.3:
    # the mean is 7.451633 + 4.935300 x, written with two ends that are never below 0.
    across = [-1, -1, 0, 0, 0, 0, 1, 1, 1]
    counts = [2, 3, 6, 7, 8, 9, 10, 12, 15]

    low, high = likeliest_rates(counts, [((1 - x) / 2, (1 + x) / 2) for x in across])

    assert (low + high) / 2 == pytest.approx(7.451633, abs=1e-6)
    assert (high - low) / 2 == pytest.approx(4.935300, abs=1e-6)


def test_no_day_in_stock_means_nothing_can_be_said():
    assert steady_apart([]) is None
    assert steady_apart([Window(5, 0, {"slot": 1})]) is None


def test_only_days_with_an_occasion_still_give_a_figure():
    apart = steady_apart([Window(24, 1, {"slot": 1})])

    assert apart.steady_per_day + apart.adds["slot"] == pytest.approx(24)


def test_a_correction_below_nought_counts_as_none():
    assert steady_apart(
        [Window(-4, 10), Window(6, 20)]
    ).steady_per_day == pytest.approx(6 / 30)


# Poisson tails recomputed by a second program.
@pytest.mark.parametrize(
    ("sold", "steady", "chance"),
    [(5, 0.2, 2.2582e-6), (3, 0.2, 1.1485e-3), (4, 0.5, 1.7516e-3), (0, 0.2, 1.0)],
)
def test_how_likely_so_many_are_on_a_plain_day(sold, steady, chance):
    assert chance_of_so_many(sold, steady) == pytest.approx(chance, rel=5e-5)


def test_a_day_beyond_luck_is_asked_about_and_not_dropped():
    days = [(FIRST + timedelta(n), 1 if n % 5 == 0 else 0) for n in range(100)]
    days[40] = (days[40][0], 6)
    # Closed form: 1 - 1.25 exp(-0.25) = .0265 for two; among 100 days two are luck.
    days[60] = (days[60][0], 2)

    [spike] = unlisted_spikes(days, 0.25)

    assert (spike.day, spike.sold) == (FIRST + timedelta(40), 6)
    assert spike.sentence.startswith("6 sold on Wed 10 February, far more")


def test_a_single_sale_where_none_was_ever_seen_is_asked_about():
    assert len(unlisted_spikes([(FIRST, 1)], 0.0)) == 1


def likelihood(counts, uses, rates):
    means = [sum(r * u for r, u in zip(rates, row, strict=True)) for row in uses]
    return sum(
        n * log(m) - m if m > 0 else (0 if n == 0 else -1e9)
        for n, m in zip(counts, means, strict=True)
    )


@given(
    st.lists(
        st.tuples(st.integers(0, 30), st.floats(1, 40), st.integers(0, 1)),
        min_size=2,
        max_size=8,
    ),
    st.floats(0.5, 2),
    st.floats(0.5, 2),
)
def test_no_other_figures_are_likelier(records, more_steady, more_on_top):
    counts = [sold for sold, _, _ in records]
    uses = [(days, float(slot)) for _, days, slot in records]

    steady, on_top = likeliest_rates(counts, uses)

    other = (steady * more_steady, on_top * more_on_top)
    best = likelihood(counts, uses, (steady, on_top))
    assert best >= likelihood(counts, uses, other) - 1e-6
