"""Cutting lists: adding up, parting by cloth, and lines to read; worked by hand."""

from __future__ import annotations

from fractions import Fraction

from studio.lengths import parse_length
from studio.maths import block_stars, blocks, cutting_list
from studio.maths.cutting_list import CUT_TWICE, CutPiece


def piece(name, role, count, size, then=""):
    side = parse_length(size)
    return CutPiece(name, role, count, side, side, then)


def test_pieces_alike_are_added_up_and_others_kept_apart():
    square = piece("square", "ground", 4, "2 1/2")
    cut = piece("square", "ground", 4, "2 1/2", CUT_TWICE)

    listed = cutting_list.gathered([square, cut, piece("square", "ground", 3, "2 1/2")])

    assert listed == (piece("square", "ground", 7, "2 1/2"), cut)


def test_a_list_is_parted_by_cloth_with_the_largest_first():
    """Two 8 in stars: 5¼ before 2½ of the ground."""
    star = blocks.cut_list(block_stars.sawtooth_star(), Fraction(8))

    roles = cutting_list.by_role(cutting_list.times(star, 2))

    assert list(roles) == ["centre", "ground", "point"]
    assert [(p.count, p.width_inches) for p in roles["ground"]] == [
        (2, Fraction(21, 4)),
        (8, Fraction(5, 2)),
    ]


def test_the_cloth_of_a_list_is_added_up():
    """4 × 2½² + 2 × 3² = 25 + 18."""
    listed = [piece("square", "a", 4, "2 1/2"), piece("square", "b", 2, "3")]

    assert cutting_list.cloth_square_inches(listed) == 43


def test_a_line_of_the_list_can_be_read():
    twice = piece("goose square", "ground", 1, "5 1/4", CUT_TWICE)
    bar = CutPiece("bar", "dash", 4, parse_length("4 1/4"), parse_length("2 3/8"))

    assert str(twice) == "1 × goose square (ground), 5¼ in, cut twice corner to corner"
    assert str(bar) == "4 × bar (dash), 4¼ × 2⅜ in"
