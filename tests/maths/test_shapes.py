"""The one rule behind every template, against printed constants and plain geometry."""

from __future__ import annotations

import csv
import math
from fractions import Fraction
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from studio.maths import shapes
from studio.maths.surds import Surd, square_root

WORKED = Path(__file__).parents[1] / "worked"
FOUR_PLACES = Fraction(1, 10_000)
FIVE_PLACES = Fraction(1, 100_000)
QUARTER = Fraction(1, 4)


def worked_rows(name):
    with (WORKED / name).open(newline="", encoding="utf-8") as file:
        return list(csv.DictReader(file))


def measure_of(row):
    (found,) = (
        measure
        for measure in shapes.MEASURES
        if (measure.shape, measure.measure) == (row["shape"], row["measure"])
    )
    return found


def outline_lengths(points):
    plain = [[float(end.bounds()[0]) for end in point] for point in points]
    return [
        math.dist(one, other)
        for one, other in zip(plain, plain[1:] + plain[:1], strict=True)
    ]


@pytest.mark.parametrize("row", worked_rows("corners.csv"), ids=lambda r: r["corner"])
def test_a_corner_lengthens_its_edges_by_the_cotangent_of_half_its_angle(row):
    corner = shapes.Corner[row["corner"]].value

    assert corner.nearest(FIVE_PLACES) == Fraction(row["cot_of_half"])
    assert (corner * QUARTER).nearest(FOUR_PLACES) == Fraction(row["at_a_quarter"])


@pytest.mark.parametrize(
    "row", worked_rows("shapes.csv"), ids=lambda r: f"{r['shape']}, {r['measure']}"
)
def test_each_constant_is_the_printed_one(row):
    measure = measure_of(row)

    assert measure.growth().nearest(FOUR_PLACES) == Fraction(row["constant"])
    assert measure.trade_inches == Fraction(row["trade"])
    assert measure.surplus().nearest(FOUR_PLACES) == Fraction(row["surplus"])


def test_every_measure_has_its_printed_row():
    printed = [(row["shape"], row["measure"]) for row in worked_rows("shapes.csv")]

    assert [(m.shape, m.measure) for m in shapes.MEASURES] == printed


@given(st.fractions(min_value=Fraction(1, 16), max_value=1, max_denominator=64))
def test_the_triangle_constants_hold_at_any_seam(seam):
    """s(2 + √2) and s(2 + 2√2): printed general forms."""
    root_2 = square_root(2)

    half = shapes.HALF_SQUARE_LEG.growth(seam)
    quarter = shapes.QUARTER_SQUARE_LONG_SIDE.growth(seam)

    assert half == seam * (2 + root_2)
    assert quarter == seam * (2 + 2 * root_2)


@given(st.fractions(min_value=Fraction(1, 2), max_value=12, max_denominator=16))
def test_two_sky_squares_overlap_by_two_seams_on_a_goose_square(height):
    """2q − L = 2s exactly: printed identity of four geese at a time."""
    sky = height + shapes.HALF_SQUARE_LEG.growth(QUARTER)
    goose = 2 * height + shapes.QUARTER_SQUARE_LONG_SIDE.growth(QUARTER)

    assert 2 * sky - goose == Surd(((1, Fraction(1, 2)),))


@given(st.integers(4, 200))
def test_moving_the_edges_of_a_triangle_lengthens_its_legs_by_the_constant(eighths):
    leg = Fraction(eighths, 8)
    triangle = [(Fraction(0), Fraction(0)), (leg, Fraction(0)), (Fraction(0), leg)]

    cut = shapes.moved_outline(triangle, QUARTER)

    assert cut[1][0] - cut[0][0] == leg + shapes.HALF_SQUARE_LEG.growth(QUARTER)
    assert cut[2][1] - cut[0][1] == leg + shapes.HALF_SQUARE_LEG.growth(QUARTER)


def test_moving_the_edges_of_a_square_adds_two_seams():
    square = [(Fraction(x), Fraction(y)) for x, y in ((0, 0), (3, 0), (3, 3), (0, 3))]

    cut = shapes.moved_outline(square, QUARTER)

    assert [[end.rounded_up(FOUR_PLACES) for end in point] for point in cut] == [
        [Fraction(-1, 4), Fraction(-1, 4)],
        [Fraction(13, 4), Fraction(-1, 4)],
        [Fraction(13, 4), Fraction(13, 4)],
        [Fraction(-1, 4), Fraction(13, 4)],
    ]


def test_a_moved_outline_lies_one_seam_outside_by_plain_distance():
    """Distance of a point from a line, from memory: |(q − p) × d| ÷ |d|."""
    beaker = [(Fraction(x), Fraction(y)) for x, y in ((1, 0), (4, 0), (5, 6), (0, 6))]

    cut = shapes.moved_outline(beaker, QUARTER)

    for n, corner in enumerate(cut):
        x, y = (float(end.bounds()[0]) for end in corner)
        for p, q in ((n, (n + 1) % 4), (n - 1, n)):
            px, py, qx, qy = map(float, (*beaker[p], *beaker[q]))
            across = (x - px) * (qy - py) - (y - py) * (qx - px)
            assert across / math.dist((px, py), (qx, qy)) == pytest.approx(0.25)


def test_moving_out_and_in_again_by_plain_numbers_gives_the_outline_back():
    square = [(Fraction(x), Fraction(y)) for x, y in ((0, 0), (3, 0), (3, 2), (0, 2))]

    out = shapes.moved_outline(square, QUARTER)
    plain = [tuple(end.nearest(FOUR_PLACES) for end in point) for point in out]
    back = shapes.moved_outline(plain, -QUARTER)

    assert [tuple(end.nearest(FOUR_PLACES) for end in p) for p in back] == square


def test_edges_of_the_cut_outline_are_the_finished_edges_and_two_corner_terms():
    """A right triangle of legs 4 and 2: legs grow by 1.3090 and 0.6545 (printed)."""
    triangle = [(Fraction(0), Fraction(0)), (Fraction(4), Fraction(0))]
    triangle.append((Fraction(0), Fraction(2)))

    long_leg, _, short_leg = outline_lengths(shapes.moved_outline(triangle, QUARTER))

    assert long_leg == pytest.approx(4 + 1.3090, abs=0.0001)
    assert short_leg == pytest.approx(2 + 0.6545, abs=0.0001)


def test_a_root_is_rounded_outward_to_a_thousandth_of_a_millimetre():
    """√2 in is 35.92102… mm (1.41421356 × 25.4), so 35.922; worked by hand."""
    inches = shapes.rounded_outward(square_root(2))

    assert inches * shapes.MM_IN_AN_INCH == Fraction("35.922")


def test_an_exact_size_is_not_rounded_at_all():
    assert shapes.rounded_outward(square_root(Fraction(289, 16))) == Fraction(17, 4)


@given(st.fractions(min_value=0, max_value=1000, max_denominator=64))
def test_a_root_lies_between_its_bounds(value):
    low, high = square_root(value).bounds()

    assert low**2 <= value <= high**2
    assert high - low < Fraction(1, 10**30)
