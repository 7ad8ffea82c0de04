"""Pieces sewn together give back the finished size: cut, less every seam, measured."""

from __future__ import annotations

import math
from fractions import Fraction
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from studio.lengths import MM_IN_AN_INCH
from studio.maths import blocks, patches
from studio.maths.known_blocks import KNOWN
from studio.maths.metric import METRIC, inch_ruler, metric_ruler
from studio.maths.patch import framed
from studio.maths.patch.recipe import RULER_TOLERANCE, Cutting, Making
from tests.maths import sewing, worked

SIZES = st.integers(4, 192).map(lambda eighths: Fraction(eighths, 8))
MILLIMETRES = st.integers(40, 900).map(lambda mm: Fraction(mm * 5, 127))
RULERS = [
    *(inch_ruler(Fraction(n, 16)) for n in (3, 4, 6)),
    *(metric_ruler(Fraction(mm)) for mm in ("6", "6.35", "7.3", "7.5", "10")),
]
A_HAIR = 0.0005
EVERY_WAY = [
    (patch, way) for patch in patches.PATCHES.values() for way in patch.way_names
]
WAYS = pytest.mark.parametrize(
    ("patch", "way"), EVERY_WAY, ids=[f"{p.name}, {w}" for p, w in EVERY_WAY]
)
EVERY_BLOCK = {one.name: one.block for one in KNOWN} | worked.BLOCKS
BLOCKS = pytest.mark.parametrize("block", EVERY_BLOCK.values(), ids=EVERY_BLOCK)


def unit(patch, way, height, making):
    width = 2 * height if patch.box == "two by one" else height
    return (float(width), float(height)), patch.recipe(width, height, making, way)


def is_metric_trade(making):
    """The metric constants are rounded down, at the usual seam only: printed."""
    return making.ruler == METRIC and making.cutting is Cutting.TRADE


@WAYS
@settings(max_examples=15, deadline=None)
@given(height=SIZES, ruler=st.sampled_from(RULERS))
def test_what_is_cut_exactly_sews_up_to_the_finished_size(patch, way, height, ruler):
    wanted, recipe = unit(patch, way, height, Making(Cutting.EXACT, ruler))

    sewn = sewing.finished(recipe, float(ruler.seam_inches))

    loose = 2 * float(ruler.seam_inches) if way == "two squares" else 0
    for size in sewn:
        for got, want in zip(size, wanted, strict=True):
            assert -A_HAIR / 100 <= got - want <= A_HAIR + loose


@WAYS
@settings(max_examples=15, deadline=None)
@given(
    height=st.one_of(SIZES, MILLIMETRES),
    ruler=st.sampled_from(RULERS),
    cutting=st.sampled_from([Cutting.TRADE, Cutting.OVERSIZE]),
)
def test_what_the_trade_cuts_is_never_too_small_to_trim(
    patch, way, height, ruler, cutting
):
    """But for the two metric constants, 0.6 and 1.2 mm short: printed metric practice."""
    making = Making(cutting, ruler)
    wanted, recipe = unit(patch, way, height, making)

    sewn = sewing.finished(recipe, float(ruler.seam_inches))

    short = 1.25 / 25.4 * 2 if is_metric_trade(making) else 0
    by_eye = float(RULER_TOLERANCE) * 2 * math.sqrt(2)
    for size in sewn:
        for got, want in zip(size, wanted, strict=True):
            assert got - want >= -(short + by_eye)


@given(height=SIZES)
def test_a_centre_is_never_cut_small(height):
    """Never round a centre down: at 7¼ it is 5.6265, so 5¾ and not 5⅝."""
    centre = framed.diamond(height).pieces[0].width_inches

    assert float(centre) >= float(height) / math.sqrt(2) + 0.5 - 1e-9


def test_the_centre_of_seven_and_a_quarter_is_five_and_three_quarters():
    """7.25 ÷ √2 + ½ = 5.6265, a hair over 5⅝; worked by hand."""
    assert framed.diamond(Fraction(29, 4)).pieces[0].width_inches == Fraction(23, 4)


@given(height=SIZES)
def test_setting_triangles_reach_along_the_block_and_are_a_quarter_over_at_most(height):
    """From the exact need up to a quarter of an inch: handbook."""
    exact, trade, oversize = (
        framed.setting_triangles(height, Making(cutting)) for cutting in Cutting
    )

    for size, _ in sewing.finished(trade, 0.25):
        assert size >= float(height) - float(RULER_TOLERANCE) * math.sqrt(2)
    for need, cut, large in zip(
        exact.pieces, trade.pieces, oversize.pieces, strict=True
    ):
        assert cut.width_inches - need.width_inches < Fraction(1, 4)
        assert cut.width_inches < large.width_inches


@pytest.mark.parametrize("cutting", Cutting)
def test_setting_triangles_that_are_large_say_that_the_quilt_is_trimmed(cutting):
    words = framed.setting_triangles(Fraction(8), Making(cutting)).steps[-1].words

    assert ("¼ in beyond the points" in words) == (cutting is not Cutting.EXACT)


@given(height=MILLIMETRES)
def test_oversize_metric_geese_start_from_a_goose_square_that_is_not_small(height):
    """3.621 cm is rounded up to 3.7 where units are trimmed, not down to 3.5."""
    goose, _ = patches.GEESE.recipe(
        2 * height, height, Making(Cutting.OVERSIZE, METRIC)
    ).pieces

    assert (goose.width_inches - 2 * height) * MM_IN_AN_INCH == 37


def test_metric_setting_triangles_are_not_small():
    """2.561 and 3.621 cm, rounded up: on the edge of a quilt nothing can be made good."""
    side, corner = sewing.finished(
        framed.setting_triangles(Fraction(6), Making(ruler=METRIC)),
        float(METRIC.seam_inches),
    )

    assert min(side[0], corner[0]) >= 6 - float(RULER_TOLERANCE) * math.sqrt(2)


def test_metric_half_squares_sew_up_six_tenths_of_a_millimetre_small():
    """0.6 and 1.2 mm: printed metric practice."""
    side = Fraction(2)
    small = [
        float(side)
        - sewing.finished(one.recipe(side, side, Making(ruler=METRIC)), s)[0][0]
        for one in (patches.HALF, patches.HOURGLASS)
        for s in (float(METRIC.seam_inches),)
    ]

    assert [round(short * float(MM_IN_AN_INCH), 1) for short in small] == [0.6, 1.2]


@BLOCKS
@settings(max_examples=6, deadline=None)
@given(finished=SIZES, ruler=st.sampled_from(RULERS), data=st.data())
def test_the_pieces_of_a_block_cover_it_once_whichever_way_it_is_made(
    block, finished, ruler, data
):
    """Finished areas of all pieces of eight blocks, corners that are flipped counting
    nothing, are eight blocks: printed area check. It finds wrong counts, too."""
    making = Making(Cutting.EXACT, ruler)
    ways = {
        patch.name: data.draw(st.sampled_from(patch.way_names))
        for patch in dict.fromkeys(cell.patch for cell in block.cells)
    }
    ways |= {"flying geese": "four at a time"} if "two squares" in ways.values() else {}
    seam = float(ruler.seam_inches)

    area = sum(
        piece.count * sewing.covered(piece, recipe.method, seam)
        for one, recipe in blocks.recipes(block, finished, making, ways)
        for piece in recipe.pieces_for(8 * one.number, one.roles)
    )

    whole = 8 * float(finished * block.height_inches(finished))
    assert area == pytest.approx(whole, rel=0.001)


@BLOCKS
@settings(max_examples=6, deadline=None)
@given(finished=SIZES, ruler=st.sampled_from(RULERS))
def test_units_sewn_in_rows_and_columns_are_as_wide_and_high_as_the_block(
    block, finished, ruler
):
    """Every line across or down the block crosses units whose sewn sizes add up to it."""
    step, seam = finished / block.across, float(ruler.seam_inches)
    recipes = blocks.recipes(block, finished, Making(Cutting.EXACT, ruler))
    sewn = {
        (unit.patch, unit.width_inches, unit.height_inches): sewing.finished(one, seam)
        for unit, one in recipes
    }
    placed = []
    for cell in block.cells:
        sizes = sewn[cell.patch, *(side * step for side in cell.upright)]
        placed.append((cell, [s[::-1] if cell.turn % 2 else s for s in sizes]))

    for axis, whole in ((0, finished), (1, block.height_inches(finished))):
        for line in lines_between(block.cells, 1 - axis):
            crossed = [s for cell, s in placed if crosses(cell, 1 - axis, line)]
            for pick in (min, max):
                added = sum(pick(size[axis] for size in sizes) for sizes in crossed)
                assert added == pytest.approx(float(whole), abs=A_HAIR * len(crossed))


def span(cell, axis):
    start, long = ((cell.x, cell.width), (cell.y, cell.height))[axis]
    return start, start + long


def lines_between(cells, axis):
    """One line between every two neighbouring edges."""
    edges = sorted({edge for cell in cells for edge in span(cell, axis)})
    return [(one + other) / 2 for one, other in pairwise(edges)]


def crosses(cell, axis, line):
    start, end = span(cell, axis)
    return start < line < end


@BLOCKS
def test_a_list_of_many_blocks_is_all_of_their_units_and_no_more(block):
    finished = 12 * block.across

    listed = blocks.cut_list(block, finished, Making(Cutting.EXACT), number=8)

    by_units = [
        piece
        for one, recipe in blocks.recipes(block, finished, Making(Cutting.EXACT))
        for piece in recipe.pieces_for(8 * one.number, one.roles)
    ]
    assert worked.cut(listed) == worked.cut(by_units)
