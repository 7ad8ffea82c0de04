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
    ("strip", "whole", "straightened"),
    [
        ("2 1/2", 14, 14),
        ("2", 18, 17),
        ("3", 12, 11),
        ("6", 6, 5),
        ("3 1/2", 10, 10),
        ("5", 7, 7),
    ],
)
def test_a_yard_gives_so_many_strips(strip, whole, straightened):
    """36 ÷ strip, rounded down; two published lists keep an inch back for 2, 3 and 6
    without saying so, and print 13 for 2½, which no inch explains."""
    width = parse_length(strip)

    assert yields.strips_from(Fraction(36), width) == whole
    assert yields.strips_from(Fraction(36), width, Fraction(1)) == straightened


def test_a_piece_of_no_size_is_refused():
    with pytest.raises(SizeImpossible, match="how large the piece ends up"):
        yields.squares_from(Fraction(18), Fraction(22), Fraction(0))


def test_cloth_shorter_than_what_straightening_takes_gives_nothing():
    assert yields.strips_from(Fraction(1), Fraction(1, 2), Fraction(2)) == 0
