"""Chances of counts against printed tables and closed forms."""

from __future__ import annotations

import csv
from math import exp, inf
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from studio.maths.chances import (
    gamma_at_most,
    gamma_quantile,
    negative_binomial,
    negative_binomial_at_most,
    poisson_at_most,
)

WORKED = Path(__file__).parents[1] / "worked" / "chances.csv"
ANSWERS = {
    "garwood_low": lambda n, cover, _: gamma_quantile((1 - cover) / 2, n),
    "garwood_high": lambda n, cover, _: gamma_quantile((1 + cover) / 2, n + 1),
    "gamma_above": lambda shape, rate, x: 1 - gamma_at_most(x, shape, rate),
    "poisson_at_most": lambda count, mean, _: poisson_at_most(int(count), mean),
}


def worked_rows():
    with WORKED.open(newline="", encoding="utf-8") as file:
        return list(csv.DictReader(file))


@pytest.mark.parametrize(
    "row", worked_rows(), ids=lambda r: f"{r['what']}-{r['a']}-{r['b']}"
)
def test_printed_values_are_met(row):
    a, b, c = (float(row[name] or 0) for name in "abc")

    answer = ANSWERS[row["what"]](a, b, c)

    assert round(answer, int(row["places"])) == float(row["value"])


@given(st.floats(0.1, 80), st.floats(0.001, 0.999))
def test_a_quantile_is_the_way_back(shape, share):
    value = gamma_quantile(share, shape, 2.5)

    assert gamma_at_most(value, shape, 2.5) == pytest.approx(share, abs=1e-9)


def test_the_series_and_the_fraction_meet():
    # Either side of x = shape + 1, where the method changes.
    below, above = gamma_at_most(4.999999, 4), gamma_at_most(5.000001, 4)

    assert above - below == pytest.approx(2e-6 * 5**3 * exp(-5) / 6, rel=1e-3)


def test_the_edges_of_a_gamma_variable():
    assert gamma_at_most(-1, 3) == 0
    assert (gamma_quantile(0, 3), gamma_quantile(1, 3)) == (0, inf)
    assert poisson_at_most(-1, 3) == 0


def test_the_negative_binomial_of_size_one_is_geometric():
    # Closed form: p (1 - p)^k, and 1 - (1 - p)^(k + 1) up to k.
    assert negative_binomial(3, 1, 0.25) == pytest.approx(0.25 * 0.75**3)
    assert negative_binomial_at_most(3, 1, 0.25) == pytest.approx(1 - 0.75**4)
    assert [negative_binomial(k, 2, 1.0) for k in (0, 1)] == [1, 0]


@given(st.floats(0.1, 3000), st.floats(0.001, 0.999), st.floats(0, 3))
def test_a_sum_from_above_is_the_plain_sum(size, p, times_the_mean):
    count = min(3000, int(times_the_mean * size * (1 - p) / p))

    plain = sum(negative_binomial(k, size, p) for k in range(count + 1))

    assert negative_binomial_at_most(count, size, p) == pytest.approx(plain, abs=1e-9)


def test_no_count_is_below_nought():
    assert negative_binomial_at_most(-1, 3.0, 0.5) == 0
    assert negative_binomial_at_most(0, 3.0, 1.0) == 1
