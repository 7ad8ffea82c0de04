"""Cutting lists: adding up, parting by cloth, and lines to read; worked by hand."""

from __future__ import annotations

from fractions import Fraction

import pytest

from studio.lengths import parse_length
from studio.maths import block_stars, block_tables, blocks, cutting_list, patches
from studio.maths.cutting_list import CUT_TWICE, CutPiece
from studio.maths.metric import INCH, METRIC, millimetres
from studio.maths.patch import framed
from studio.maths.patch.recipe import Making


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


@pytest.mark.parametrize(
    ("patch", "units", "ruler", "said"),
    [
        ("square", 3, INCH, "Nothing is trimmed away or left over."),
        (
            "half-square triangle",
            2,
            INCH,
            "Trimmed away or left over: 0.2 of 16.5 sq in.",
        ),
        (
            "half-square triangle",
            3,
            INCH,
            "Trimmed away or left over: 8.6 of 33.1 sq in.",
        ),
        (
            "half-square triangle",
            2,
            METRIC,
            "Nothing is trimmed away or left over.",
        ),
    ],
)
def test_what_is_wasted_is_told_with_the_cloth_it_is_part_of(patch, units, ruler, said):
    """Two squares of 2⅞ are 16.53, four triangles of legs 2.8536 keep 16.28, and six of
    four squares 24.43 of 33.06; metric squares are cut 0.6 mm small. Worked by hand."""
    side = Fraction(2) if ruler is INCH else millimetres(50)
    recipe = patches.recipe(patch, side, side, Making(ruler=ruler))

    assert block_tables.show_waste(recipe, units, ruler) == said


def test_waste_that_is_not_known_is_not_told():
    setting = framed.setting_triangles(Fraction(6))

    assert block_tables.show_waste(setting, 1, INCH) == ""
