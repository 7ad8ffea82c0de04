"""The star of eight diamonds, against a book and by areas."""

from __future__ import annotations

import math
from fractions import Fraction

import pytest

from studio.lengths import parse_length
from studio.maths import block_stars, blocks
from studio.maths.patch import eight_points, faces
from studio.maths.surds import Surd, as_surd
from tests.maths import worked


def test_the_eight_point_star_covers_its_block_exactly():
    """Areas in sums of roots, worked exactly: eight diamonds, four squares, four
    triangles make B²."""
    block = Fraction(12)

    covered = sum(
        (faces.area(points) for _, points in eight_points.corners(block)), Surd()
    )

    assert covered == as_surd(block**2)
    assert len(eight_points.corners(block)) == 16


EIGHT_POINTS = pytest.mark.parametrize(
    "row", worked.rows("trade_eight_points.csv"), ids=lambda r: r["finished"]
)


@EIGHT_POINTS
def test_the_eight_point_star_is_cut_as_the_book_has_it(row):
    finished = parse_length(row["finished"])

    *strips, corner, side = blocks.cut_list(block_stars.eight_point_star(), finished)

    assert {strip.height_inches for strip in strips} == {parse_length(row["strip"])}
    assert (corner.count, corner.width_inches) == (4, parse_length(row["corner"]))
    assert (side.count, side.width_inches) == (1, parse_length(row["side"]))


@EIGHT_POINTS
def test_the_eight_point_star_is_drawn_as_the_book_has_it(row):
    """Edges of the patches as they lie on the block, measured corner to corner."""
    patches_of = dict(eight_points.corners(parse_length(row["finished"]))[::-1])

    diamond, triangle = (
        [[float(end.bounds()[0]) for end in at] for at in patches_of[slot]]
        for slot in (0, 2)
    )

    edge = math.dist(*diamond[:2])
    long = eight_points.corners(parse_length(row["finished"]))[-1][1][:2]
    assert f"{edge:.3f}" == row["edge"]
    assert f"{edge / math.sqrt(2):.3f}" == row["width"]
    assert f"{math.dist(*triangle[:2]):.3f}" == row["edge"]
    assert (
        f"{float((long[1][1] - long[0][1]).bounds()[1]):.3f}".lstrip("-")
        == (row["long"])
    )
