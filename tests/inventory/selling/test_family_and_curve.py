"""What sizes tell of each other: a family's gamma, and a curve over the sizes."""

from fractions import Fraction
from math import inf, log

import pytest
from hypothesis import given
from hypothesis import strategies as st

from inventory.demand import Belief
from inventory.selling.family_fit import (
    MOST_WEEKS,
    WORTH_WEEKS,
    family_prior,
    likeliest_family,
)
from inventory.selling.size_curve import (
    SHAPES,
    MadeSize,
    SizeImpossible,
    between_neighbours,
    fit_curve,
    fit_with,
    neighbours,
)
from tests.inventory.selling import worked


@pytest.mark.parametrize(
    "row", worked.rows("selling_families.csv"), ids=lambda row: row["case"]
)
def test_the_likeliest_family_of_printed_counts(row):
    sold = [int(n) for n in worked.words(row["sold"])]
    times = worked.numbers(row["times"])
    times = times * len(sold) if len(times) == 1 else times

    family = likeliest_family(sold, times)

    assert family.shape == pytest.approx(float(row["shape"]), abs=2e-6)
    assert family.exposure == pytest.approx(float(row["exposure"]), abs=2e-6)
    rates = worked.words(row["rates"])
    learnt = [family.after(n, t).mean for n, t in zip(sold, times, strict=True)]
    assert [round(one, 4) for one in learnt][: len(rates)] == [
        float(rate) for rate in rates
    ]


def test_few_sizes_lend_their_common_rate_and_no_more():
    # Worked by hand: 12 in 8 weeks are 1.5 a week.
    assert family_prior([4, 8], [4, 4]) == Belief(1.5 * WORTH_WEEKS, WORTH_WEEKS)


def test_a_family_that_never_sold_lends_nothing():
    assert family_prior([0, 0, 0], [3, 4, 5]) is None
    assert family_prior([], []) is None
    assert family_prior([2], [0]) is None


def test_sizes_that_show_no_difference_lend_their_common_rate():
    prior = family_prior([6, 6, 6, 6, 6], [4, 4, 4, 4, 4])

    assert prior == Belief(1.5 * WORTH_WEEKS, WORTH_WEEKS)


def made_sizes(row):
    columns = (row["sizes"].split(), row["sold"].split(), row["weeks"].split())
    return [
        MadeSize(Fraction(size), int(sold), float(weeks))
        for size, sold, weeks in zip(*columns, strict=True)
    ]


@pytest.mark.parametrize(
    "row", worked.rows("selling_curves.csv"), ids=lambda row: row["case"]
)
def test_the_figures_of_printed_curves(row):
    expected = worked.numbers(row["figures"])

    fit = fit_with(made_sizes(row), len(expected), inf)

    assert fit.figures == pytest.approx(expected, abs=1e-6)
    errors = [fit.spread[k][k] ** 0.5 for k in range(len(expected))]
    printed = worked.numbers(row["errors"])
    assert [round(error, 4) for error in errors][: len(printed)] == printed


SEVEN = worked.rows("selling_curves.csv")[1]


def test_the_curve_of_seven_sizes_at_sizes_made_and_not_made():
    fit = fit_with(made_sizes(SEVEN), 3, inf)

    for size, rate, doubt in zip(
        *(SEVEN[name].split() for name in ("at", "rates", "doubts")), strict=True
    ):
        assert fit.rate_at(Fraction(size)) == pytest.approx(float(rate), abs=5e-5)
        if doubt != ".":
            assert round(fit.doubt_at(Fraction(size)), 4) == float(doubt)


def test_a_size_beyond_those_made_is_believed_less_firmly():
    # Worked by hand: 1 / .4154 ^ 2 = 5.795 where sizes lie on the curve itself.
    curve = fit_curve(made_sizes(SEVEN))
    on_it = fit_with(made_sizes(SEVEN), 3, inf)

    inside, outside = (curve.belief_of_new(Fraction(size)) for size in (7, 14))

    assert on_it.belief_of_new(Fraction(14)).shape == pytest.approx(5.795, abs=0.002)
    assert outside.shape < inside.shape
    assert outside.mean == pytest.approx(curve.rate_at(Fraction(14)))
    assert (curve.reaches(Fraction(7)), curve.reaches(Fraction(14))) == (True, False)


def test_sizes_on_a_smooth_curve_speak_for_little_scatter_without_proving_it():
    curve = fit_curve(made_sizes(SEVEN))

    weights = [weight for weight, _ in curve.fits]

    assert {fit.shape for _, fit in curve.fits} == set(SHAPES)
    assert weights == sorted(weights, reverse=True)
    assert sum(weights) == pytest.approx(1)
    assert curve.fits[0][1].shape == inf
    assert weights[0] < 0.6


def test_sizes_all_over_the_place_speak_for_much_scatter():
    sizes = zip((3, 4, 5, 6, 8, 10, 12), (4, 60, 3, 70, 5, 66, 4), strict=True)
    curve = fit_curve([MadeSize(Fraction(size), sold, 20) for size, sold in sizes])

    weights = [weight for weight, _ in curve.fits]

    assert weights == sorted(weights)
    assert curve.fits[0][1].shape == inf
    assert weights[0] < 1e-6


def test_a_made_size_is_drawn_towards_the_curve():
    curve = fit_curve(made_sizes(SEVEN))
    own = MadeSize(Fraction(6), 60, 14)

    belief = curve.belief_of_made(own)

    assert curve.rate_at(own.size_inches) < belief.mean < 60 / 14


def test_a_family_is_never_worth_more_than_half_a_year():
    # Nearly alike over long records: the likeliest gamma is worth 168 weeks.
    sold, weeks = [50, 62, 41, 55, 60], [50.0] * 5

    prior = family_prior(sold, weeks)

    assert prior.exposure == MOST_WEEKS
    assert prior.mean == pytest.approx(268 / 250, rel=0.02)


def test_two_neighbours_are_joined_by_a_line_in_logarithms():
    # Own instance recomputed by a second program: 30 and 24 in 14 weeks, size 7.
    made = [MadeSize(Fraction(6), 30, 14), MadeSize(Fraction(8), 24, 14)]

    assert between_neighbours(made, Fraction(7)) == pytest.approx(1.901364, abs=1e-6)
    assert between_neighbours(made, Fraction(9)) is None
    assert between_neighbours(made, Fraction(6)) == pytest.approx(30 / 14)


def test_a_neighbour_that_sold_nothing_is_no_end_of_a_line():
    made = [MadeSize(Fraction(6), 0, 14), MadeSize(Fraction(8), 24, 14)]

    assert between_neighbours(made, Fraction(7)) is None
    assert neighbours(made, Fraction(7)) == tuple(made)


@pytest.mark.parametrize(
    "sold",
    [(0, 0, 0), (9, 0, 0), (0, 0, 9), (-3, 4, 5)],
    ids=["none", "only the first", "only the last", "below nought"],
)
def test_records_without_a_likeliest_curve_give_none(sold):
    made = [
        MadeSize(Fraction(size), n, 10) for size, n in zip((4, 6, 9), sold, strict=True)
    ]

    assert fit_curve(made) is None


def test_a_size_never_in_stock_is_no_point_of_the_curve():
    made = [
        MadeSize(Fraction(s), n, w) for s, n, w in [(3, 4, 9), (6, 9, 9), (9, 0, 0)]
    ]

    assert fit_curve(made) is None


@pytest.mark.parametrize("size", [Fraction(0), Fraction(-3)])
def test_a_size_of_nought_is_refused(size):
    with pytest.raises(SizeImpossible, match="above nought"):
        fit_curve([MadeSize(size, 3, 4)])
    curve = fit_curve(made_sizes(SEVEN))
    with pytest.raises(SizeImpossible):
        curve.rate_at(size)


@given(
    st.lists(st.tuples(st.integers(0, 40), st.floats(1, 60)), min_size=3, max_size=8),
    st.floats(0.25, 4),
)
def test_a_curve_stretches_with_time(records, factor):
    """The same sales in so many times the weeks sell that many times slower."""
    sizes = range(3, 3 + len(records))
    made = [
        MadeSize(Fraction(s), n, w) for s, (n, w) in zip(sizes, records, strict=True)
    ]
    longer = [MadeSize(m.size_inches, m.sold, m.weeks * factor) for m in made]

    curve, slower = fit_curve(made), fit_curve(longer)

    assert (curve is None) == (slower is None)
    if curve and slower:
        ratio = log(curve.rate_at(Fraction(5)) / slower.rate_at(Fraction(5)))
        assert ratio == pytest.approx(log(factor), abs=1e-6)


@given(
    st.lists(st.tuples(st.integers(0, 40), st.floats(1, 60)), min_size=3, max_size=8),
    st.sampled_from([2, 3]),
)
def test_a_curve_without_scatter_sells_as_many_as_were_sold(records, count):
    """The first equation of a likeliest Poisson curve with a constant."""
    made = [
        MadeSize(Fraction(s), n, w)
        for s, (n, w) in zip(range(3, 3 + len(records)), records, strict=True)
    ]

    fit = fit_with(made, count, inf)

    if fit:
        expected = sum(fit.rate_at(m.size_inches) * m.weeks for m in made)
        assert expected == pytest.approx(sum(m.sold for m in made), rel=1e-6)


@given(
    st.lists(st.tuples(st.integers(0, 60), st.floats(0.1, 60)), min_size=3, max_size=7)
)
def test_every_curve_gives_a_belief_that_can_be_used(records):
    made = [
        MadeSize(Fraction(s), n, w)
        for s, (n, w) in zip(range(3, 3 + len(records)), records, strict=True)
    ]

    curve = fit_curve(made)

    for size in (Fraction(1), Fraction(9, 2), Fraction(40)) if curve else ():
        belief = curve.belief_of_new(size)
        assert 0 < belief.mean < inf
        assert 0 < belief.shape < inf
