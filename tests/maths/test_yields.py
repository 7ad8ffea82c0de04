"""Squares and strips from cloth, against published lists."""

from __future__ import annotations

from fractions import Fraction

import pytest

from studio.lengths import parse_length
from studio.maths import yields
from studio.maths.finished_sizes import SizeImpossible
from tests.maths import worked


@pytest.mark.parametrize(
    "row",
    worked.rows("trade_yields.csv"),
    ids=lambda r: f"{r['side']} from {r['width']} by {r['length']}",
)
def test_cloth_gives_the_published_squares(row):
    sides = [parse_length(row[side]) for side in ("width", "length", "side")]

    assert yields.squares_from(*sides) == int(row["squares"])


@pytest.mark.parametrize(
    "row", worked.rows("trade_strips.csv"), ids=lambda r: r["strip"]
)
def test_a_yard_gives_so_many_strips(row):
    """36 ÷ strip, rounded down; the lists keep an inch back without saying so."""
    width = parse_length(row["strip"])

    whole = yields.strips_from(Fraction(36), width)
    straightened = yields.strips_from(Fraction(36), width, Fraction(1))

    assert (whole, straightened) == (int(row["whole"]), int(row["straightened"]))
    assert (int(row["printed"]) == straightened) == (row["strip"] != "2 1/2")


def test_a_piece_of_no_size_is_refused():
    with pytest.raises(SizeImpossible, match="how large the piece ends up"):
        yields.squares_from(Fraction(18), Fraction(22), Fraction(0))


def test_cloth_shorter_than_what_straightening_takes_gives_nothing():
    assert yields.strips_from(Fraction(1), Fraction(1, 2), Fraction(2)) == 0
