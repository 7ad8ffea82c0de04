"""Cut sizes against published charts, and areas against the finished unit."""

from __future__ import annotations

import csv
from fractions import Fraction
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from studio.lengths import parse_length, show_inches
from studio.maths import patches
from studio.maths.patches import Cutting

WORKED = Path(__file__).parents[1] / "worked" / "patches.csv"
SIZES = st.integers(2, 96).map(lambda eighths: Fraction(eighths, 8))
CAN_BE_EXACT = (
    patches.half_squares_two,
    patches.half_squares_eight,
    patches.quarter_squares_two,
    patches.geese_four,
    patches.square_in_square,
    patches.sawtooth_star,
)
HAIR = Fraction(1, 25_400)  # 0.001 mm in inches


def worked_rows():
    with WORKED.open(newline="", encoding="utf-8") as file:
        return list(csv.DictReader(file))


def pieces_of(row):
    for piece in row["pieces"].split("; "):
        count, width, height = piece.split(" × ")
        yield int(count), parse_length(width), parse_length(height)


def recipe_of(row):
    extra = {}
    if row["cutting"] != "trade":
        extra["cutting"] = Cutting(row["cutting"])
    if row["oversize"]:
        extra["oversize_inches"] = parse_length(row["oversize"])
    return getattr(patches, row["recipe"])(parse_length(row["finished"]), **extra)


@pytest.mark.parametrize(
    "row",
    worked_rows(),
    ids=lambda row: f"{row['recipe']} {row['finished']} {row['cutting']}",
)
def test_a_cutting_list_is_the_published_one(row):
    recipe = recipe_of(row)

    cut = [(p.count, p.width_inches, p.height_inches) for p in recipe.pieces]

    assert cut == list(pieces_of(row))
    assert recipe.units == int(row["units"])


@pytest.mark.parametrize("make", CAN_BE_EXACT, ids=lambda make: make.__name__)
@given(finished=SIZES)
def test_exact_is_never_above_trade_and_trade_never_above_oversize(make, finished):
    exact, trade, oversize = (make(finished, cutting) for cutting in Cutting)

    for small, middle, large in zip(
        exact.pieces, trade.pieces, oversize.pieces, strict=True
    ):
        assert small.width_inches <= middle.width_inches + patches.RULER_TOLERANCE
        assert middle.width_inches <= large.width_inches


@given(SIZES)
def test_trade_geese_overlap_by_exactly_two_seams(height):
    goose, sky = patches.geese_four(height).pieces

    assert 2 * sky.width_inches - goose.width_inches == Fraction(1, 2)


@given(SIZES)
def test_exact_geese_overlap_by_two_seams_within_the_rounding(height):
    goose, sky = patches.geese_four(height, Cutting.EXACT).pieces

    overlap = 2 * sky.width_inches - goose.width_inches

    assert abs(overlap - Fraction(1, 2)) < 2 * HAIR


@given(SIZES)
def test_exact_half_squares_sew_up_to_the_raw_size(finished):
    """Unfinished side = A − s√2: printed formula, checked by squaring."""
    recipe = patches.half_squares_two(finished, Cutting.EXACT)

    lost = recipe.pieces[0].width_inches - recipe.raw_inches[0]

    assert 0 <= lost**2 * 16 - 2 < Fraction(1, 1000)


@given(SIZES)
def test_a_star_covers_its_block_by_area(quarter):
    """Finished areas of centre, corners and four geese add up to B × B."""
    block = 4 * quarter

    centre, corner, goose, _ = patches.sawtooth_star_flipped(block).pieces
    covered = sum(
        piece.count
        * (piece.width_inches - Fraction(1, 2))
        * (piece.height_inches - Fraction(1, 2))
        for piece in (centre, corner, goose)
    )

    assert covered == block**2


@pytest.mark.parametrize("make", CAN_BE_EXACT[:4], ids=lambda make: make.__name__)
def test_what_is_cut_large_says_what_to_trim_to(make):
    exact, trade, oversize = (make(Fraction(2), cutting) for cutting in Cutting)

    assert exact.trim_inches is None
    assert trade.trim_inches == trade.raw_inches
    assert oversize.trim_inches == oversize.raw_inches


def test_the_two_by_four_goose_is_trimmed_to_two_and_a_half_by_four_and_a_half():
    """Block 3 tips (no-waste geese), quilting magazine web page."""
    recipe = patches.geese_four(Fraction(2), Cutting.OVERSIZE)

    shown = [show_inches(side) for side in recipe.trim_inches]

    assert shown == ["4½", "2½"]


def test_the_exact_two_inch_half_square_is_cut_at_two_and_a_hair_over_seven_eighths():
    """2 + 0.853553 in = 72.480 25… mm, outward to 72.481 mm; worked by hand."""
    recipe = patches.half_squares_two(Fraction(2), Cutting.EXACT)

    assert recipe.pieces[0].width_inches * Fraction(127, 5) == Fraction("72.481")


@pytest.mark.parametrize(
    ("finished", "piece_a", "trim"),
    [("3", "4¼", "3½"), ("4 1/2", "5¾", "5"), ("9", "10¼", "9½")],
)
def test_sandglass_pieces_follow_from_the_finished_block(finished, piece_a, trim):
    """A = F + 1¼, trim = F + ½; piece table worked by hand."""
    recipe = patches.quarter_squares_two(parse_length(finished))

    assert show_inches(recipe.pieces[0].width_inches) == piece_a
    assert show_inches(recipe.trim_inches[0]) == trim


@pytest.mark.parametrize(
    ("block", "piece_a", "centre", "rail"),
    [
        ("4 1/2", "2⅜", "2", ("1¼", "2")),
        ("9", "3⅞", "3½", ("2", "3½")),
        ("13 1/2", "5⅜", "5", ("2¾", "5")),
        ("11 1/4", "4⅝", "4¼", ("2⅜", "4¼")),
    ],
)
def test_ringfence_pieces_follow_from_the_finished_block(block, piece_a, centre, rail):
    """u = F ÷ 3: A = u + ⅞, centre u + ½, bar u/2 + ½; worked by hand."""
    grid = parse_length(block) / 3

    corner = patches.half_squares_two(grid).pieces[0]
    middle = patches.square(grid).pieces[0]
    side = patches.bar(grid / 2, grid).pieces[0]

    assert show_inches(corner.width_inches) == piece_a
    assert show_inches(middle.width_inches) == centre
    assert (show_inches(side.width_inches), show_inches(side.height_inches)) == rail


@pytest.mark.parametrize("finished", [Fraction(0), Fraction(-1)])
def test_a_patch_of_no_size_is_refused(finished):
    with pytest.raises(patches.SizeImpossible, match="above nought"):
        patches.half_squares_two(finished)
