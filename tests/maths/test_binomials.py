"""Hits in tries against printed tables, closed forms and exact fractions."""

import csv
from math import comb
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from studio.maths.binomials import (
    hits,
    hits_at_least,
    hits_at_most,
    likely_hits,
    share_range,
)

WORKED = Path(__file__).parents[1] / "worked" / "binomials.csv"
ANSWERS = {
    "hits": hits,
    "hits_at_most": hits_at_most,
    "hits_at_least": hits_at_least,
    "share_low": lambda count, tries, cover: share_range(count, tries, cover)[0],
    "share_high": lambda count, tries, cover: share_range(count, tries, cover)[1],
}


def worked_rows():
    with WORKED.open(newline="", encoding="utf-8") as file:
        return list(csv.DictReader(file))


@pytest.mark.parametrize(
    "row", worked_rows(), ids=lambda r: f"{r['what']}-{r['a']}-{r['b']}"
)
def test_printed_values_are_met(row):
    answer = ANSWERS[row["what"]](int(row["a"]), int(row["b"]), float(row["c"]))

    assert round(answer, int(row["places"])) == float(row["value"])


@given(st.integers(0, 40), st.integers(0, 40), st.fractions(0, 1, max_denominator=50))
def test_chances_are_those_of_exact_fractions(count, tries, chance):
    exact = sum(
        comb(tries, k) * chance**k * (1 - chance) ** (tries - k)
        for k in range(count + 1)
        if k <= tries
    )

    assert hits_at_most(count, tries, float(chance)) == pytest.approx(float(exact))
    above = 1 - exact
    assert hits_at_least(count + 1, tries, float(chance)) == pytest.approx(
        float(above), abs=1e-9
    )


def test_luck_alone_stays_between_two_numbers():
    # Binomial tables for 10 and .8: P(X <= 5) = .0328, P(X <= 4) = .0064 and
    # P(X >= 10) = .1074 (widely printed, from memory).
    assert likely_hits(10, 0.8, 0.95) == (5, 10)
    assert likely_hits(0, 0.8, 0.95) == (0, 0)


@given(st.integers(1, 60), st.floats(0.02, 0.98))
def test_luck_stays_there_as_often_as_it_says(tries, chance):
    low, high = likely_hits(tries, chance, 0.9)

    inside = hits_at_most(high, tries, chance) - (
        hits_at_most(low - 1, tries, chance) if low else 0
    )
    assert inside >= 0.9 - 1e-9


def test_the_share_of_no_tries_is_anything():
    assert share_range(0, 0, 0.95) == (0.0, 1.0)
