"""Flying geese, and the lines beside diagonals, against common practice and charts."""

from __future__ import annotations

import math
from fractions import Fraction
from math import floor

import pytest
from hypothesis import given

from studio.lengths import show_inches
from studio.maths import patches
from studio.maths.metric import METRIC, inch_ruler
from studio.maths.patch import faces, framed, geese
from studio.maths.patch.recipe import Cutting, Making
from studio.maths.shapes import FINEST_INCHES
from tests.maths import worked
from tests.maths.test_patches import EXACT, SIZES, recipe_at


@given(SIZES)
def test_trade_geese_overlap_by_exactly_two_seams(height):
    goose, sky = geese.four_at_a_time(height).pieces

    assert 2 * sky.width_inches - goose.width_inches == Fraction(1, 2)


@given(SIZES)
def test_exact_geese_overlap_by_two_seams_within_the_rounding(height):
    goose, sky = geese.four_at_a_time(height, EXACT).pieces

    overlap = 2 * sky.width_inches - goose.width_inches

    assert abs(overlap - Fraction(1, 2)) < 2 * FINEST_INCHES


def test_one_large_and_four_small_squares_give_four_geese():
    """Common practice."""
    recipe = geese.four_at_a_time(Fraction(2))

    assert [piece.count for piece in recipe.pieces] == [1, 4]
    assert recipe.units == 4
    assert [piece.count for piece in recipe.pieces_for(5, ["a", "b"])] == [2, 8]


@pytest.mark.parametrize(
    "row", worked.rows("trade_geese_cloth.csv"), ids=lambda r: r["way"]
)
def test_four_two_by_four_geese_take_the_printed_cloth(row):
    recipe = patches.GEESE.recipe(Fraction(4), Fraction(2), way=row["way"])

    tenths = floor(recipe.cloth_square_inches(4) * 10 + Fraction(1, 2))

    assert Fraction(tenths, 10) == Fraction(row["square_inches"])


GEESE_STEPS = [
    (step, making)
    for making in (Making(), EXACT, Making(Cutting.OVERSIZE), Making(ruler=METRIC))
    for step in geese.four_at_a_time(Fraction(2), making).steps
    if any(line.kind == "sew" for line in step.lines)
]


@pytest.mark.parametrize(("step", "making"), GEESE_STEPS)
def test_geese_are_sewn_a_seam_either_side_of_each_drawn_diagonal(step, making):
    """A quarter inch either side: common practice. Distance of a point from a line,
    from memory: |(q − p) × d| ÷ |d|."""
    (drawn,) = (line for line in step.lines if line.kind != "sew")
    sewn = [line for line in step.lines if line.kind == "sew"]

    sides = sorted(off(end, drawn) for line in sewn for end in (line.start, line.end))

    seam = float(making.ruler.seam_inches)
    assert sides == pytest.approx([-seam, -seam, seam, seam], abs=0.0001)


@pytest.mark.parametrize("patch", [patches.HALF, patches.HOURGLASS, patches.GEESE])
@pytest.mark.parametrize("seam", [Fraction(1, 4), Fraction(3, 8)])
def test_every_seam_beside_a_diagonal_is_a_seam_away_from_it(patch, seam):
    """Common practice; the distance of a point from a line is from memory."""
    for way in patch.way_names:
        making = Making(ruler=inch_ruler(seam))
        for step in recipe_at(patch, way, Fraction(3), making).steps:
            slanted = [line for line in step.lines if is_slanted(line)]
            sewn = [line for line in slanted if line.kind == "sew"]
            others = [line for line in slanted if line.kind != "sew"]
            for line in sewn if others else ():
                near = min(abs(off(line.start, other)) for other in others)
                assert near == pytest.approx(float(seam), abs=0.0001)


def is_slanted(line):
    return line.start[0] != line.end[0] and line.start[1] != line.end[1]


def off(point, line):
    (x, y), (px, py), (qx, qy) = (
        tuple(map(float, at)) for at in (point, line.start, line.end)
    )
    across = (x - px) * (qy - py) - (y - py) * (qx - px)
    return across / math.dist((px, py), (qx, qy))


@pytest.mark.parametrize(
    ("name", "width", "height", "offcut"),
    [
        ("flying geese", 4, 2, "Trim it to 1½ in square."),
        ("snowball", 6, 6, "Trim it to 1½ in square."),
        ("diamond in a square", 8, 8, "Trim it to 3½ in square."),
    ],
)
def test_a_flipped_corner_says_what_its_offcut_trims_to(name, width, height, offcut):
    """Second seam ½ in away, corner square − 1 in: common practice."""
    recipe = patches.recipe(
        name, Fraction(width), Fraction(height), way="stitch and flip"
    )

    words = recipe.steps[-1].words

    assert "sew again ½ in outside each seam" in words
    assert words.endswith(offcut)


def test_an_offcut_too_small_to_use_is_not_spoken_of():
    """A goose of 1 by ½ has corners of 1 in: 1 − 1 leaves nothing; worked by hand."""
    recipe = patches.recipe(
        "flying geese", Fraction(1), Fraction(1, 2), way="stitch and flip"
    )

    assert recipe.steps[-1].words == "The goose measures 1½ × 1 in."


def test_two_squares_give_two_pairs_of_geese_that_are_cut_apart():
    """Double Square Method (geese), quilting tutorials, 2004: two pieces of two geese
    each; tips lie (S − G)/2 = ¾ in apart, enough for two seams; worked by hand."""
    recipe = geese.two_squares(Fraction(4))

    goose, sky = (piece.width_inches for piece in recipe.pieces)

    assert (sky - goose) / 2 == Fraction(3, 4)
    assert "Each holds two geese, tip to tip: cut between the tips." in (
        recipe.steps[-1].words
    )


def test_a_square_and_its_own_corners_lose_their_points_and_say_so():
    """Centre 8/√2 − ½ across its points is 7.293 in, as wide as the raw block of 8 −
    0.7071; worked by hand. The page that prints finished = cut − 1¼ keeps silent."""
    recipe = framed.diamond_from_one_square(Fraction(27, 4))

    side = float(recipe.pieces[0].width_inches)
    points = (side / math.sqrt(2) - 0.5) * math.sqrt(2)

    assert points == pytest.approx(float(recipe.raw_inches[0]), abs=0.05)
    assert "the seams beside it take ¼ in off each" in recipe.steps[-1].words


def test_exact_triangles_waste_nothing_and_flipped_corners_waste_most():
    """Kept by a goose and two skies: (L² + 4 q²) ÷ 4, worked by hand."""
    waste = {
        way: float(
            patches.GEESE.recipe(Fraction(4), Fraction(2), EXACT, way)
            .waste_square_inches(4)
            .bounds()[0]
        )
        for way in patches.GEESE.way_names
    }

    assert waste["cut triangles"] == pytest.approx(0, abs=0.005)
    assert max(waste, key=waste.get) == "stitch and flip"


def test_the_two_by_four_goose_is_trimmed_to_two_and_a_half_by_four_and_a_half():
    """Block 3 tips (no-waste geese), quilting magazine web page."""
    recipe = geese.four_at_a_time(Fraction(2), Making(Cutting.OVERSIZE))

    assert [show_inches(side) for side in recipe.trim_inches] == ["4½", "2½"]
    assert "trim each to 4½ × 2½ in" in recipe.steps[-1].words


def test_a_goose_that_is_not_two_by_one_is_refused():
    with pytest.raises(patches.BoxUnfit, match="twice as wide as it is high"):
        patches.recipe("flying geese", Fraction(4), Fraction(3))


def test_a_goose_is_a_right_angle_and_no_equilateral_triangle():
    """Height is half the base: common practice, against a drawing that says otherwise."""
    goose = faces.geese(Fraction(4), Fraction(2))[0]

    (left, base), (tip, top), (right, _) = goose.corners

    assert (right - left, base - top, tip) == (4, 2, 2)
