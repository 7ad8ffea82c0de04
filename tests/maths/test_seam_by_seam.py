"""Which seam of a test block is out: worked by hand from the sewn sizes."""

from fractions import Fraction

import pytest

from studio.lengths import parse_length
from studio.maths import block_grids, seam_by_seam
from studio.maths.finished_sizes import SizeImpossible
from studio.maths.seam_by_seam import UnitsMiscounted

UNIT = Fraction(15, 4)


def found(*typed, units=3):
    return seam_by_seam.find_seams([UNIT] * units, list(map(parse_length, typed)))


def test_the_units_of_a_frame_block_at_eleven_and_a_quarter():
    """Three units of 3¾: 4 in at both ends with their seam, 3¾ between; worked by hand."""
    units = seam_by_seam.units_along_the_edge(block_grids.churn_dash(), 3 * UNIT)

    assert units == [UNIT] * 3
    assert seam_by_seam.shown_sizes(units, Fraction(1, 4)) == [4, UNIT, 4]


def test_both_seams_a_thirty_second_too_wide():
    """Block ⅛ short: ends 3 31/32, middle 3 11/16; each join takes 1/16; worked by hand."""
    edge = found("3 31/32", "3 11/16", "3 31/32")

    assert [join.seam_inches for join in edge.joins] == [Fraction(1, 32)] * 2
    assert str(edge) == (
        "Join 1 takes 1/16 in too much: each of its allowances is 1/32 in too wide. "
        "Join 2 takes 1/16 in too much: each of its allowances is 1/32 in too wide."
    )


def test_one_seam_alone_is_out():
    """First unit 3 15/16, the second 3 11/16, the third 4: all at join 1; worked by hand."""
    edge = found("3 15/16", "3 11/16", "4")

    assert str(edge) == (
        "Join 1 takes ⅛ in too much: each of its allowances is 1/16 in too wide. "
        "Join 2 is sewn as meant."
    )


def test_a_seam_too_narrow():
    edge = found("4 1/32", "3 25/32", "4")

    assert str(edge.joins[0]) == (
        "Join 1 takes 1/16 in too little: each of its allowances is 1/32 in too narrow."
    )
    assert edge.left_over_inches == 0


def test_a_unit_cut_too_small_is_no_fault_of_a_seam():
    """Only the last unit is short, by 1/16: no two seams give that; worked by hand."""
    edge = found("4", "3 3/4", "3 15/16")

    assert [join.seam_inches for join in edge.joins] == [0, 0]
    assert "That leaves 1/16 in that no seam accounts for" in str(edge)
    assert "trimmed too small" in str(edge)


def test_what_the_seams_take_adds_up_to_what_the_block_is_short():
    """Raw 11¾ less the sum of the units, with nothing left over: arithmetic."""
    edge = found("3 63/64", "3 45/64", "3 31/32")

    short = (
        3 * UNIT
        + Fraction(1, 2)
        - sum(map(parse_length, ("3 63/64", "3 45/64", "3 31/32")))
    )
    assert sum(join.join_inches for join in edge.joins) + edge.left_over_inches == short


@pytest.mark.parametrize(
    ("typed", "error", "words"),
    [
        (
            ["4", "4"],
            UnitsMiscounted,
            "3 units lie along the edge of this block, and 2",
        ),
        (["4", "0", "4"], SizeImpossible, "how large the unit 2 ends up"),
    ],
)
def test_units_that_say_nothing_are_refused(typed, error, words):
    with pytest.raises(error, match=words):
        found(*typed)
