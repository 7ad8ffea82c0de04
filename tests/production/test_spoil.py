"""Spoil warnings against binomial chances worked by hand."""

from __future__ import annotations

import csv
from fractions import Fraction
from pathlib import Path

import pytest

from production.spoil import SpoiledMoreThanCut, chance_of_at_least, warning

USUAL = Fraction(1, 20)
WORKED = Path(__file__).parents[1] / "worked" / "spoil.csv"


def worked_rows():
    with WORKED.open(newline="", encoding="utf-8") as file:
        return list(csv.DictReader(file))


@pytest.mark.parametrize("row", worked_rows(), ids=lambda r: f"{r['k']}-of-{r['n']}")
def test_the_chance_of_so_many_is_the_binomial_tail(row):
    chance = chance_of_at_least(int(row["k"]), int(row["n"]), Fraction(row["rate"]))

    assert float(chance) == pytest.approx(float(row["chance"]), abs=0.0005)


def test_one_or_more_is_all_but_none():
    # Closed form: 1 - (1 - rate)^n, exact.
    chance = chance_of_at_least(1, 7, Fraction(3, 11))

    assert chance == 1 - Fraction(8, 11) ** 7


@pytest.mark.parametrize(
    ("piece", "spoiled", "cut"), [("A425", 4, 45), ("A388", 1, 20), ("C200", 0, 20)]
)
def test_ordinary_bad_luck_is_not_worth_a_word(piece, spoiled, cut):
    # Worked by hand: 8.9 in 100 is more than 5 in 100 and still no sign of anything.
    assert warning(piece, "LA", spoiled, cut, USUAL) is None


def test_three_squares_of_twelve_are_worth_a_look_at_the_bed():
    spoken = warning("SQ350", "LG", 3, 12, USUAL)

    assert float(spoken.chance) == pytest.approx(0.0196, abs=0.0001)
    assert spoken.sentence == (
        "3 of 12 SQ350 on LG were spoiled. At the usual rate that happens about 1 time "
        "in 51: look at the bed and the lens, with the machine off and its manual at "
        "hand."
    )


def test_any_spoil_speaks_where_none_is_usual():
    spoken = warning("SQ350", "LB", 1, 24, Fraction(0))

    assert "happens never" in spoken.sentence


def test_more_spoiled_than_cut_is_a_slip_of_the_pen():
    with pytest.raises(SpoiledMoreThanCut, match="13 SQ350 are logged as spoiled"):
        warning("SQ350", "LG", 13, 12, USUAL)
