"""Outlines in rows on a sheet, each layout measured again in whole thousandths."""

import csv
from fractions import Fraction
from itertools import combinations
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from studio.maths import nesting
from studio.maths.nesting import NestUnreadable, OutlineUnfit, Turned
from studio.maths.nesting_shapes import keeps_apart
from studio.maths.sheet_layout import Sheet

WORKED = Path(__file__).parents[1] / "worked" / "sheets_nested.csv"
USUAL = Sheet()


def worked_rows():
    with WORKED.open(newline="", encoding="utf-8") as file:
        return list(csv.DictReader(file))


def corners_of(text):
    return [tuple(Fraction(part) for part in at.split()) for at in text.split("; ")]


ROWS = {row["shape"]: row for row in worked_rows()}
SQUARE = corners_of("0 0; 100 0; 100 100; 0 100")


@pytest.fixture(scope="module")
def nests():
    """Each shape nested once for all tests of this module."""
    return {
        shape: nesting.nested(corners_of(row["corners"]), USUAL)
        for shape, row in ROWS.items()
    }


@pytest.mark.parametrize("shape", ROWS)
def test_rows_hold_no_fewer_than_were_measured(nests, shape):
    found = nests[shape]

    assert int(ROWS[shape]["boxes"]) < int(ROWS[shape]["at_least"]) <= found.count
    assert found.count <= found.bound


def squared_distance(at, start, end):
    """From a corner to an edge, as a fraction; plain geometry."""
    ux, uy = end[0] - start[0], end[1] - start[1]
    px, py = at[0] - start[0], at[1] - start[1]
    share = Fraction(px * ux + py * uy) / (ux * ux + uy * uy)
    share = min(Fraction(1), max(Fraction(0), share))
    return (px - share * ux) ** 2 + (py - share * uy) ** 2


@pytest.mark.parametrize("shape", ["kite", "hexagon", "triangle", "rhomb"])
def test_every_outline_keeps_the_gap_and_the_edge(nests, shape):
    placed = list(nests[shape].outlines_mm(USUAL))

    for corners in placed:
        assert all(5 <= x <= 595 and 5 <= y <= 395 for x, y in corners)
    nearest = min(
        squared_distance(at, *edge)
        for one, other in combinations(placed, 2)
        if abs(one[0][0] - other[0][0]) < 130 and abs(one[0][1] - other[0][1]) < 130
        for a, b in ((one, other), (other, one))
        for at in a
        for edge in zip(b, (*b[1:], b[0]), strict=True)
    )
    assert 4 <= nearest < 5


@pytest.mark.reference
@pytest.mark.parametrize("shape", ROWS)
def test_another_geometry_library_finds_the_same_distances(nests, shape):
    """Distances in floating point, so a millionth of a millimetre is let pass."""
    geometry = pytest.importorskip("shapely")
    placed = [
        geometry.Polygon([(float(x), float(y)) for x, y in corners])
        for corners in nests[shape].outlines_mm(USUAL)
    ]

    nearest = min(one.distance(other) for one, other in combinations(placed, 2))

    assert all(one.is_valid for one in placed)
    assert nearest == pytest.approx(2, abs=0.05)
    assert nearest >= 2 - 1e-6


def test_a_nest_that_was_kept_is_read_back_as_it_was(nests):
    kept = nests["kite"].as_text()

    again = nesting.read_nest(kept, corners_of(ROWS["kite"]["corners"]), USUAL)

    assert again == nests["kite"]


@pytest.mark.parametrize("damaged", ["", "{}", '{"places": [[0, 0]]}', "[]"])
def test_a_damaged_nest_is_refused(damaged):
    with pytest.raises(NestUnreadable):
        nesting.read_nest(damaged, SQUARE, USUAL)


def test_a_nest_of_another_sheet_is_refused(nests):
    smaller = Sheet(Fraction(400), Fraction(300))

    with pytest.raises(NestUnreadable):
        nesting.read_nest(
            nests["kite"].as_text(), corners_of(ROWS["kite"]["corners"]), smaller
        )


def test_squares_come_out_as_in_plain_rows():
    """5 × 3 squares of 100 mm in 590 × 390 mm with 2 mm between; arithmetic."""
    found = nesting.nested(SQUARE, USUAL)

    assert found.count == 15


def test_a_shape_larger_than_the_sheet_gives_none():
    huge = corners_of("0 0; 700 0; 700 700; 0 700")

    assert nesting.nested(huge, USUAL).count == 0


@pytest.mark.parametrize(
    "corners",
    ["0 0; 10 10; 10 0; 0 10", "0 0; 10 0; 20 0", "0 0; 10 0"],
    ids=["crossed", "flat", "two corners"],
)
def test_an_outline_that_is_none_is_refused(corners):
    with pytest.raises(OutlineUnfit):
        nesting.nested(corners_of(corners), USUAL)


@given(st.integers(-30, 30), st.integers(-30, 30), st.integers(0, 8))
def test_two_squares_keep_apart_as_plain_geometry_says(x, y, gap):
    """Distance of two upright squares of side 10."""
    square = [(0, 0), (10, 0), (10, 10), (0, 10)]
    aside, below = max(0, abs(x) - 10), max(0, abs(y) - 10)
    apart = aside**2 + below**2 >= max(gap**2, 1)
    touching = not aside and not below and max(abs(x), abs(y)) == 10 and not gap

    found = keeps_apart(square, [(a + x, b + y) for a, b in square], gap)

    assert found == (apart or touching)


def test_one_shape_inside_another_is_not_apart():
    outer = [(0, 0), (100, 0), (100, 100), (0, 100)]
    inner = [(40, 40), (60, 40), (60, 60), (40, 60)]

    assert not keeps_apart(outer, inner, 5)
    assert not keeps_apart(inner, outer, 5)


def test_places_nearer_than_the_gap_do_not_hold():
    shape = nesting.shape_of(SQUARE)
    beside = [Turned(0, 0, 0), Turned(101_999, 0, 0)]

    assert nesting.holds(shape, beside, 1_999, (590_000, 390_000))
    assert not nesting.holds(shape, beside, 2_000, (590_000, 390_000))
