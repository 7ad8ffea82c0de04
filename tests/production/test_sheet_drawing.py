"""A drawn sheet holds every piece its layout gives, apart and inside the edge."""

from fractions import Fraction
from itertools import combinations

import pytest

from production.sheet_drawing import DrawnPiece, draw_layout, placed

EDGE, WIDTH, HEIGHT, GAP = 5, 600, 400, 2
# Layouts and piece sizes of the made-up studio, in inches; sheet and gap in millimetres.
LAYOUTS = {
    "LA": [("A425", 15, "17/4")],
    "LB": [("SQ350", 24, "7/2")],
    "LC": [("A575", 6, "23/4")],
    "LE": [("A1025", 1, "41/4"), ("SQ950", 1, "19/2"), ("SQ350", 6, "7/2")],
    "LG": [("A388", 10, "31/8"), ("C200", 10, "2"), ("SQ350", 6, "7/2")],
}


def squares(code):
    return tuple(
        DrawnPiece(piece, count, Fraction(side), Fraction(side))
        for piece, count, side in LAYOUTS[code]
    )


def are_apart(one, other):
    across = max(one.x_mm, other.x_mm) - min(
        one.x_mm + one.width_mm, other.x_mm + other.width_mm
    )
    down = max(one.y_mm, other.y_mm) - min(
        one.y_mm + one.height_mm, other.y_mm + other.height_mm
    )
    return max(across, down) >= GAP


@pytest.mark.parametrize("code", LAYOUTS)
def test_every_piece_lies_apart_from_the_others_and_inside_the_edge(code):
    pieces = placed(squares(code))

    counts = {name: count for name, count, _ in LAYOUTS[code]}
    found = {name: sum(p.code == name for p in pieces) for name in counts}
    assert found == counts
    assert all(are_apart(one, other) for one, other in combinations(pieces, 2))
    assert min(min(p.x_mm, p.y_mm) for p in pieces) >= EDGE
    assert max(p.x_mm + p.width_mm for p in pieces) <= WIDTH - EDGE
    assert max(p.y_mm + p.height_mm for p in pieces) <= HEIGHT - EDGE


def test_tapered_pieces_head_to_tail_take_the_mean_of_their_sides():
    beaker = DrawnPiece("K300", 28, Fraction(7, 2), Fraction(7, 2), Fraction(5, 2))

    pieces = placed([beaker])

    # (3½ + 2½) / 2 = 3 in = 76.2 mm along the row, worked by hand.
    assert len(pieces) == 28
    assert {piece.width_mm for piece in pieces} == {Fraction(762, 10)}


def test_pieces_without_sizes_are_listed_in_place_of_a_drawing():
    svg = draw_layout("LX", (DrawnPiece("A425", 15), DrawnPiece("SQ350", 2)))

    assert "15 × A425" in svg
    assert "2 × SQ350" in svg
    assert "Not drawn" in svg


def test_more_than_a_sheet_holds_is_listed_too():
    svg = draw_layout("LX", (DrawnPiece("A425", 16, Fraction(17, 4), Fraction(17, 4)),))

    # 15 of 107.95 mm fit on the sheet: five across, three down, worked by hand.
    assert "16 × A425" in svg
