"""Outlines, areas and weights against a second, published geometry library."""

from __future__ import annotations

import math
from fractions import Fraction

import pytest

from studio.maths import outlines, patches
from studio.maths.known_blocks import KNOWN
from studio.maths.patch import faces
from studio.maths.patch.recipe import Cutting, Making
from tests.maths.test_outlines import ALL, plain

pytestmark = pytest.mark.reference


@ALL
def test_a_second_library_moves_the_outlines_to_the_same_place(shape):
    """Mitred buffer of a published geometry library, to a millionth of an inch."""
    geometry = pytest.importorskip("shapely.geometry")
    finished = geometry.Polygon(plain(shape(Fraction(3)).corners()))

    moved = finished.buffer(0.25, join_style="mitre", mitre_limit=20)
    cut = geometry.Polygon(plain(shape(Fraction(3)).cut().corners()))

    assert cut.symmetric_difference(moved).area < 0.00001
    assert cut.is_valid
    assert cut.is_simple


@ALL
@pytest.mark.parametrize("seam", [Fraction(3, 16), Fraction(15, 50), Fraction(1, 2)])
def test_a_second_library_finds_the_same_areas(shape, seam):
    """Areas of a published geometry library, finished and cut, and the weight that
    follows: area × 3 mm × 1.19 g/cm³."""
    geometry = pytest.importorskip("shapely.geometry")
    finished = geometry.Polygon(plain(shape(Fraction(5, 2)).corners()))
    moved = finished.buffer(float(seam), join_style="mitre", mitre_limit=20)

    cut = shape(Fraction(5, 2)).cut(seam)
    own = float(cut.area_square_inches().bounds()[0])
    grams = outlines.acrylic_grams(cut.area_square_inches(), Fraction(3))

    assert float(shape(Fraction(5, 2)).area_square_inches().bounds()[0]) == (
        pytest.approx(finished.area)
    )
    assert own == pytest.approx(moved.area, rel=1e-9)
    assert grams == pytest.approx(moved.area * 6.4516 * 0.3 * 1.19, abs=0.51)


@pytest.mark.parametrize(
    ("blunted", "whole", "window"),
    [
        (
            outlines.blunted_half_square(Fraction(3)),
            outlines.half_square_triangle(Fraction(3)).cut(),
            (-0.25, -0.25, 3.25, 3.25),
        ),
        (
            outlines.blunted_sixty(Fraction(3)),
            outlines.equilateral_triangle(Fraction(1)),
            (-9, -0.25, 9, 3.25),
        ),
    ],
    ids=["half square", "sixty degrees"],
)
def test_a_second_library_blunts_the_tips_at_the_same_place(blunted, whole, window):
    """The cut triangle, clipped by a published geometry library to the strip."""
    geometry = pytest.importorskip("shapely.geometry")
    corners = plain(whole.corners())
    if blunted.shape.startswith("60"):
        half = 3 / math.sqrt(3)
        sewn = geometry.Polygon([(-half, 0), (half, 0), (0, 3)])
        triangle = sewn.buffer(0.25, join_style="mitre", mitre_limit=20)
    else:
        triangle = geometry.Polygon(corners)

    clipped = triangle.intersection(geometry.box(*window))

    own = geometry.Polygon(plain(blunted.corners))
    assert own.symmetric_difference(clipped).area < 0.00001


@pytest.mark.parametrize("patch", patches.PATCHES.values(), ids=patches.PATCHES)
def test_a_second_library_finds_the_same_cloth_kept(patch):
    """Every patch of a unit, grown by a mitred buffer of a published geometry library."""
    geometry = pytest.importorskip("shapely.geometry")
    height, seam = Fraction(4), Fraction(1, 4)
    width = 2 * height if patch.box == "two by one" else height

    grown = sum(
        geometry.Polygon([tuple(map(float, at)) for at in one.corners])
        .buffer(float(seam), join_style="mitre", mitre_limit=20)
        .area
        for one in patch.layout(width, height)
    )

    kept = float(faces.kept(patch.layout(width, height), seam).bounds()[0])
    recipe = patch.recipe(width, height, Making(Cutting.EXACT))
    assert kept == pytest.approx(grown, rel=1e-6)
    assert float(recipe.kept_square_inches.bounds()[0]) == pytest.approx(
        grown, rel=0.001
    )


def test_a_second_library_moves_a_heart_to_the_same_place():
    """Round buffer of a published geometry library, arcs as 720 chords."""
    geometry = pytest.importorskip("shapely.geometry")
    square = geometry.box(0, 0, 4, 4)
    lobes = (geometry.Point(4, 2), geometry.Point(2, 4))
    sewn = square
    for lobe in lobes:
        sewn = sewn.union(lobe.buffer(2, quad_segs=180))
    grown = sewn.buffer(0.25, join_style="mitre", mitre_limit=20)

    cut = outlines.heart(Fraction(4)).cut()
    cleft = float(cut.cleft.bounds()[0])
    left, low, right, high = grown.bounds
    for arc in cut.arcs():
        for point in (arc.start, arc.end):
            at = geometry.Point(*(float(end.bounds()[0]) for end in point))
            assert grown.exterior.distance(at) < 0.001
        middle = [float(end.bounds()[0]) for end in arc.centre]
        reach = float(arc.radius_inches)
        assert max(middle) + reach == pytest.approx(right, abs=0.001)
    assert (left, low) == pytest.approx(
        [float(end.bounds()[0]) for end in cut.point], abs=0.001
    )
    assert high == pytest.approx(right)
    on_line = geometry.LineString([(0, 0), (9, 9)]).intersection(grown)

    assert on_line.coords[-1][0] == pytest.approx(cleft, abs=0.001)


@pytest.mark.parametrize("known", KNOWN, ids=lambda known: known.slug)
def test_a_second_library_finds_no_gap_and_no_overlap_in_a_block(known):
    """Union and sum of all patches, in steps, by a published geometry library."""
    shapely = pytest.importorskip("shapely")
    seen = [
        shapely.Polygon([tuple(map(float, at)) for at in one.corners])
        for one in known.block.faces()
    ]

    whole = shapely.union_all(seen, grid_size=1e-9)

    box = shapely.box(0, 0, float(known.block.across), float(known.block.down))
    assert whole.symmetric_difference(box).area < 0.001
    assert sum(one.area for one in seen) == pytest.approx(box.area, rel=0.0005)


def test_a_second_library_finds_room_for_four_geese_in_two_squares():
    """Geese of 4 by 2 from squares of 5½ and 7, sewn and opened on paper: the halves
    lie edge to edge, so their seams are (S − G)/√2 apart; worked by hand."""
    shapely = pytest.importorskip("shapely")
    recipe = patches.recipe("flying geese", Fraction(4), Fraction(2), way="two squares")
    cut = {piece.name: float(piece.width_inches) for piece in recipe.pieces}
    goose, sky = (
        cut[name] / math.sqrt(2) - 0.5 for name in ("goose square", "sky square")
    )
    apart = sky - goose
    opened = shapely.union_all(
        [
            shapely.Polygon([(0, 0), (-goose, 0), (0, goose)]),
            shapely.Polygon([(0, 0), (-sky, 0), (0, -sky)]),
            shapely.Polygon([(0, -apart), (goose, -apart), (0, -apart - goose)]),
            shapely.Polygon([(0, -apart), (sky, -apart), (0, sky - apart)]),
        ],
        grid_size=1e-9,
    )

    around = ((-2.25, -0.25), (2.25, -0.25), (2.25, 2.25), (-2.25, 2.25))
    units = [
        shapely.Polygon([trimmed(tip, way, along, up) for along, up in around])
        for tip, way in (((0, 0), 1), ((0, -apart), -1))
    ]

    assert all(opened.buffer(1e-6).covers(one) for one in units)
    assert units[0].area == pytest.approx(4.5 * 2.5)
    assert units[0].intersection(units[1]).area == 0


def trimmed(tip, way, along, up):
    """From a tip, so far along the base and so far towards it, at 45 degrees."""
    x, y = (along - up) / math.sqrt(2), (along + up) / math.sqrt(2)
    return tip[0] + way * x, tip[1] + way * y
