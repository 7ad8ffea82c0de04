"""Cut sizes of units against published charts, and areas against the finished unit."""

from __future__ import annotations

import re
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from studio.lengths import MM_IN_AN_INCH, parse_length, show_inches
from studio.maths import patches
from studio.maths.metric import inch_ruler
from studio.maths.patch import faces, framed, halves, plain
from studio.maths.patch.recipe import CAUTION, RULER_TOLERANCE, Cutting, Making
from studio.maths.shapes import FINEST_INCHES
from tests.maths import worked

SIZES = st.integers(4, 96).map(lambda eighths: Fraction(eighths, 8))
SEAMS = st.sampled_from([Fraction(1, 4), Fraction(3, 8), Fraction(1, 2)])
EVERY_WAY = [
    (patch, way) for patch in patches.PATCHES.values() for way in patch.way_names
]
WAYS = pytest.mark.parametrize(
    ("patch", "way"), EVERY_WAY, ids=[f"{p.name}, {w}" for p, w in EVERY_WAY]
)
EXACT = Making(Cutting.EXACT)


def recipe_at(patch, way, height, making):
    width = 2 * height if patch.box == "two by one" else height
    return patch.recipe(width, height, making, way)


@pytest.mark.parametrize(
    "row",
    worked.rows("trade_units.csv"),
    ids=lambda r: f"{r['patch']}, {r['way']}, {r['finished']}, {r['cutting']}",
)
def test_a_cutting_list_is_the_published_one(row):
    recipe = worked.recipe_of(row)

    listed = recipe.pieces_for(int(row["number"]), ["a", "b", "c"])

    assert worked.cut(listed) == worked.pieces(row["pieces"])


@pytest.mark.parametrize(
    "row",
    worked.rows("trade_misprints.csv"),
    ids=lambda r: f"{r['patch']} {r['finished']}, not {r['printed']}",
)
def test_a_misprinted_size_is_not_cut(row):
    recipe = worked.recipe_of(row)

    sides = {side for p in recipe.pieces for side in (p.width_inches, p.height_inches)}

    assert parse_length(row["printed"]) not in sides
    assert parse_length(row["right"]) in sides


@pytest.mark.parametrize(
    "row", worked.rows("trade_setting.csv"), ids=lambda r: r["block"]
)
def test_setting_triangles_are_those_of_the_chart(row):
    recipe = framed.setting_triangles(parse_length(row["block"]))

    assert worked.cut(recipe.pieces_for(1, ["ground"])) == worked.pieces(row["pieces"])


@pytest.mark.parametrize(
    "row",
    worked.rows("trade_setting_charts.csv"),
    ids=lambda r: f"{r['block']}: {r['side']}, {r['corner']}",
)
def test_other_charts_of_setting_triangles_are_judged_by_the_exact_need(row):
    """From the need up to a quarter over is the trade's; above that it is trimmed."""
    exact = framed.setting_triangles(parse_length(row["block"]), EXACT)

    judged = {
        name: judge(parse_length(row[name]) - piece.width_inches)
        for name, piece in zip(("side", "corner"), exact.pieces, strict=True)
        if row[name]
    }

    assert judged == {name: row[f"{name}_over"] for name in judged}


def judge(over):
    if over < Fraction(-1, 64):
        return "short"
    if over < 0:
        return "short by a hair"
    return "up to a quarter" if over <= Fraction(1, 4) else "trimmed"


@pytest.mark.parametrize(
    "row", worked.rows("trade_setting_exact.csv"), ids=lambda r: r["block"]
)
def test_the_exact_need_of_a_setting_triangle_is_the_printed_one(row):
    pieces = framed.setting_triangles(parse_length(row["block"]), EXACT).pieces

    assert [f"{float(piece.width_inches):.4f}" for piece in pieces] == [
        row["side"],
        row["corner"],
    ]


@pytest.mark.parametrize(
    ("finished", "wrong"), [("5 1/2", "5 3/4"), ("3 1/2", "3 1/2")]
)
def test_corner_squares_round_a_square_on_point_are_not_a_quarter_inch_more(
    finished, wrong
):
    """Two how-to pages are wrong: F ÷ √2 + ⅞ is 4.764 and 3.350, so 4⅞ and 3⅜."""
    corner = framed.setting_triangles(parse_length(finished)).pieces[1]

    assert corner.width_inches != parse_length(wrong)
    assert show_inches(corner.width_inches) == {"5 1/2": "4⅞", "3 1/2": "3⅜"}[finished]


def test_two_squares_cut_once_make_four_triangles_and_not_eight():
    """A block page of 2003 doubles both counts; four and four, worked by hand."""
    once = halves.cut_triangles(Fraction(2)).pieces_for(4, ["a", "b"])
    twice = patches.HOURGLASS.recipe(
        Fraction(2), Fraction(2), way="cut triangles"
    ).pieces_for(2, ["a", "b"])

    assert [piece.count for piece in once] == [2, 2]
    assert [piece.count for piece in twice] == [1, 1]


@WAYS
@settings(max_examples=10)
@given(height=SIZES, seam=SEAMS)
def test_exact_is_never_above_trade_and_trade_never_above_oversize(
    patch, way, height, seam
):
    ruler = inch_ruler(seam)

    exact, trade, oversize = (
        recipe_at(patch, way, height, Making(cutting, ruler)) for cutting in Cutting
    )

    for small, middle, large in zip(
        exact.pieces, trade.pieces, oversize.pieces, strict=True
    ):
        assert small.width_inches <= middle.width_inches + 5 * RULER_TOLERANCE
        assert middle.width_inches <= large.width_inches


@pytest.mark.parametrize("patch", patches.PATCHES.values(), ids=patches.PATCHES)
@settings(max_examples=10)
@given(height=SIZES)
def test_what_is_seen_of_a_unit_covers_it(patch, height):
    width = 2 * height if patch.box == "two by one" else height

    seen = sum(
        (faces.area(f.corners) for f in patch.layout(width, height)), faces.area(())
    )

    tolerance = FINEST_INCHES * 100 if patch is patches.EIGHT_POINTS else 0
    assert abs(seen.bounds()[0] - width * height) <= tolerance


@pytest.mark.parametrize("patch", patches.PATCHES.values(), ids=patches.PATCHES)
def test_every_spot_of_a_unit_lies_in_one_patch_and_no_more(patch):
    """A spot is inside where a line from it crosses the outline an odd number of times;
    from memory."""
    width, height = (Fraction(6), Fraction(3)) if patch.box == "two by one" else (6, 6)
    layout = patch.layout(Fraction(width), Fraction(height))

    spots = [
        (float(width) * (x + 0.3) / 17, float(height) * (y + 0.45) / 17)
        for x in range(17)
        for y in range(17)
    ]

    assert {sum(holds(one.corners, *spot) for one in layout) for spot in spots} == {1}


def holds(corners, x, y):
    inside = False
    for (ax, ay), (bx, by) in zip(corners, corners[1:] + corners[:1], strict=True):
        if (ay > y) != (by > y):
            inside ^= x < float(ax) + float(bx - ax) * (y - float(ay)) / float(by - ay)
    return inside


@WAYS
@settings(max_examples=10)
@given(height=SIZES, seam=SEAMS)
def test_the_raw_unit_is_the_finished_one_with_a_seam_on_every_side(
    patch, way, height, seam
):
    recipe = recipe_at(patch, way, height, Making(ruler=inch_ruler(seam)))

    width = 2 * height if patch.box == "two by one" else height
    assert recipe.raw_inches == (width + 2 * seam, height + 2 * seam)
    assert recipe.trim_inches in {None, recipe.raw_inches}


# What each way loses of the square it starts from: printed formulas of the trade.
SEWN_UP = {
    ("half-square triangle", "two at a time"): lambda a, s: a - s * 2**0.5,
    ("half-square triangle", "eight at a time"): lambda a, s: a / 2 - s * 2**0.5,
    ("half-square triangle", "four at a time"): lambda a, s: (a - 2 * s) / 2**0.5,
    ("hourglass", "two at a time"): lambda a, s: a - 2 * s * 2**0.5,
}


@pytest.mark.parametrize(("name", "way"), SEWN_UP)
@given(height=SIZES, seam=SEAMS)
def test_squares_cut_exactly_sew_up_to_the_raw_size(name, way, height, seam):
    """Unfinished side = A − s√2 and its kin: printed formulas."""
    making = Making(Cutting.EXACT, inch_ruler(seam))
    recipe = patches.PATCHES[name].recipe(height, height, making, way)

    sewn = SEWN_UP[name, way](float(recipe.pieces[0].width_inches), float(seam))

    assert sewn == pytest.approx(float(recipe.raw_inches[0]), abs=0.0001)


@WAYS
def test_every_way_says_what_to_do_at_the_bench(patch, way):
    recipe = recipe_at(patch, way, Fraction(3), Making())

    assert recipe.steps
    assert all(step.words.endswith(".") for step in recipe.steps)
    assert all(not step.lines or step.faces for step in recipe.steps)


@WAYS
def test_every_piece_says_why_it_is_that_size_and_every_way_what_it_wastes(patch, way):
    recipe = recipe_at(patch, way, Fraction(3), Making())

    assert all(piece.because for piece in recipe.pieces)
    assert recipe.waste_square_inches(recipe.units) is not None


@WAYS
def test_exact_pieces_are_never_less_than_the_cloth_that_stays(patch, way):
    recipe = recipe_at(patch, way, Fraction(3), EXACT)

    assert recipe.waste_square_inches(recipe.units).bounds()[1] >= 0


@WAYS
@pytest.mark.parametrize("cutting", Cutting)
def test_what_is_to_be_trimmed_says_to_what_in_its_steps(patch, way, cutting):
    """Exact, trade, and oversize with what to trim to: handbook."""
    recipe = recipe_at(patch, way, Fraction(3), Making(cutting))
    if recipe.trim_inches is None:
        return

    words = " ".join(step.words for step in recipe.steps)

    size = re.escape(Making().ruler.show_by(*recipe.trim_inches))
    assert re.search(f"[Tt]rim (it |each |each of the four )?to {size}", words)


def test_the_bench_is_told_to_shut_the_blade():
    assert "shut the blade after every cut" in CAUTION


def test_the_exact_two_inch_half_square_is_cut_at_two_and_a_hair_over_seven_eighths():
    """2 + 0.853553 in = 72.480 25… mm, outward to 72.481 mm; worked by hand."""
    recipe = halves.two_at_a_time(Fraction(2), EXACT)

    assert recipe.pieces[0].width_inches * MM_IN_AN_INCH == Fraction("72.481")


@pytest.mark.parametrize(
    ("finished", "piece_a", "trim"),
    [("3", "4¼", "3½"), ("4 1/2", "5¾", "5"), ("9", "10¼", "9½")],
)
def test_sandglass_pieces_follow_from_the_finished_block(finished, piece_a, trim):
    """A = F + 1¼, trim = F + ½; piece table worked by hand."""
    side = parse_length(finished)
    recipe = patches.HOURGLASS.recipe(side, side)

    assert show_inches(recipe.pieces[0].width_inches) == piece_a
    assert show_inches(recipe.trim_inches[0]) == trim


def test_three_strips_of_an_inch_and_a_half_measure_three_and_a_half():
    """Testing your scant quarter-inch seam, quilting page, Sep 2012."""
    (row,) = worked.rows("trade_seam.csv")
    recipe = plain.seam_test()

    pieces = worked.pieces(f"{row['strips']} × {row['width']} × {row['length']}")

    assert worked.cut(recipe.pieces_for(1, ["a", "b"])) == pieces
    assert recipe.raw_inches[0] == parse_length(row["across"])
    assert f"the middle strip {row['middle']} in." in recipe.steps[0].words


def test_the_offcut_of_a_flipped_corner_trims_to_an_inch_less_than_its_square():
    """Corner square − 1: common practice. Raw c − 0.2071: printed."""
    trimmed, _ = framed.bonus_half_square(Fraction(2))

    assert trimmed == Fraction(3, 2)
    assert trimmed < 2 - Fraction("0.2071")


def test_an_unknown_way_names_those_that_are_known():
    with pytest.raises(patches.WayUnknown) as refused:
        patches.recipe("flying geese", Fraction(4), Fraction(2), way="folded")

    assert "four at a time, stitch and flip, cut triangles, two squares" in str(
        refused.value
    )


def test_a_cut_size_says_why_it_is_that_size():
    recipe = halves.two_at_a_time(Fraction(3))

    assert [piece.because for piece in recipe.pieces] == ["3 in finished and ⅞ in."] * 2
