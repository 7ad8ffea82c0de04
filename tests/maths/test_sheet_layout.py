"""Pieces on a sheet against counts worked by hand, and against plain geometry."""

from __future__ import annotations

import csv
from collections import Counter
from fractions import Fraction
from itertools import combinations
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from studio.lengths import parse_length, to_mm
from studio.maths import sheet_layout
from studio.maths.sheet_layout import Sheet, Wanted

WORKED = Path(__file__).parents[1] / "worked"
INCH = Fraction(1)


def worked_rows(name):
    with (WORKED / name).open(newline="", encoding="utf-8") as file:
        return list(csv.DictReader(file))


def wanted_of(row):
    for part in row["pieces"].split("; "):
        piece, _, count = part.partition(": ")
        code, _, size = piece.partition(" ")
        width, height = (parse_length(side) for side in size.split(" × "))
        yield sheet_layout.wanted(code, width, height, int(count))


def faults(placements, sheet):
    """Pieces over the edge, and pairs nearer than the gap both ways."""
    for one in placements:
        if min(one.x_mm, one.y_mm) < sheet.edge_mm:
            yield one
        if one.x_mm + one.width_mm > sheet.width_mm - sheet.edge_mm:
            yield one
        if one.y_mm + one.height_mm > sheet.height_mm - sheet.edge_mm:
            yield one
    for one, other in combinations(placements, 2):
        beside = max(
            other.x_mm - one.x_mm - one.width_mm, one.x_mm - other.x_mm - other.width_mm
        )
        below = max(
            other.y_mm - one.y_mm - one.height_mm,
            one.y_mm - other.y_mm - other.height_mm,
        )
        if max(beside, below) < sheet.gap_mm:
            yield one, other


@pytest.mark.parametrize("row", worked_rows("per_sheet.csv"), ids=lambda r: r["piece"])
def test_so_many_of_one_piece_fit_on_a_sheet(row):
    sheet = Sheet(gap_mm=Fraction(int(row["gap_tenths_mm"]), 10))
    size = parse_length(row["width"]), parse_length(row["height"])

    fits = sheet_layout.per_sheet(*size, sheet)

    assert (fits.upright, fits.turned) == (int(row["upright"]), int(row["turned"]))
    assert fits.best == len(sheet_layout.in_rows("X", *size, sheet))


def test_the_new_bar_is_turned_because_three_more_fit():
    """30 turned against 27 upright; a new size worked by hand."""
    fits = sheet_layout.per_sheet(parse_length("2 3/8"), parse_length("4 1/4"))

    assert fits.is_turned
    assert fits.best - fits.upright == 3


@pytest.mark.parametrize(
    ("top", "base", "height", "count"),
    [("3 1/2", "2 1/2", "3 1/2", 28), ("5", "3 1/2", "5", 15)],
)
def test_beakers_lie_head_to_tail(top, base, height, count):
    """28 K300 and 15 K450 a sheet; cutting layouts worked by hand."""
    sizes = (parse_length(size) for size in (top, base, height))

    assert sheet_layout.tapered_per_sheet(*sizes) == count


def test_a_taper_of_nothing_counts_as_a_rectangle():
    straight = sheet_layout.tapered_per_sheet(4 * INCH, 4 * INCH, 3 * INCH)

    assert straight == sheet_layout.per_sheet(4 * INCH, 3 * INCH).upright


@pytest.mark.parametrize(
    "row", worked_rows("sheet_layouts.csv"), ids=lambda row: row["layout"]
)
def test_each_saved_layout_can_be_laid_with_every_piece_in_its_place(row):
    pieces = list(wanted_of(row))

    placements = sheet_layout.lay_out(pieces)

    assert Counter(one.code for one in placements) == {
        kind.code: kind.count for kind in pieces
    }
    assert list(faults(placements, sheet_layout.USUAL_SHEET)) == []


def test_placed_pieces_keep_the_size_they_were_asked_for():
    (row,) = (r for r in worked_rows("sheet_layouts.csv") if r["layout"] == "LG")
    sizes = {p.code: sorted((p.width_mm, p.height_mm)) for p in wanted_of(row)}

    placements = sheet_layout.lay_out(list(wanted_of(row)))

    for one in placements:
        assert sorted((one.width_mm, one.height_mm)) == sizes[one.code]


def test_a_seventh_square_beside_the_nine_inch_pair_is_refused_not_lost():
    """Six fit in the gap: 7 × 88.9 + 6 × 2 = 634.3 mm in 590; worked by hand."""
    (row,) = (r for r in worked_rows("sheet_layouts.csv") if r["layout"] == "LE")
    *pair, squares = wanted_of(row)
    seven = Wanted(squares.code, squares.width_mm, squares.height_mm, 7)

    assert sheet_layout.lay_out([*pair, seven]) is None


def test_a_piece_larger_than_the_sheet_is_refused():
    assert sheet_layout.lay_out([sheet_layout.wanted("X", 24 * INCH, INCH, 1)]) is None
    assert sheet_layout.tapered_per_sheet(24 * INCH, INCH, INCH) == 0


def test_a_long_piece_is_turned_to_fit():
    """20 in is 508 mm: too high for 390 mm, not too wide for 590 mm."""
    (placed,) = sheet_layout.lay_out([sheet_layout.wanted("X", INCH, 20 * INCH, 1)])

    assert placed.width_mm == to_mm(20 * INCH)


@given(
    st.lists(
        st.tuples(st.integers(4, 60), st.integers(4, 60), st.integers(1, 6)),
        min_size=1,
        max_size=4,
    )
)
def test_no_layout_ever_overlaps_or_drops_a_piece(kinds):
    pieces = [
        sheet_layout.wanted(str(n), Fraction(width, 8), Fraction(height, 8), count)
        for n, (width, height, count) in enumerate(kinds)
    ]

    placements = sheet_layout.lay_out(pieces)

    if placements is not None:
        assert len(placements) == sum(piece.count for piece in pieces)
        assert list(faults(placements, sheet_layout.USUAL_SHEET)) == []
