"""Projects against common practice, published counts, and sums worked by hand."""

from __future__ import annotations

import re
from dataclasses import replace
from fractions import Fraction
from xml.etree import ElementTree

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from studio.lengths import parse_length, show_inches
from studio.maths import (
    block_grids,
    block_hearts,
    block_stars,
    hatching,
    patches,
    project_drawing,
    project_kinds,
    projects,
)
from studio.maths.finishing import BEDS
from studio.maths.patch.recipe import Cutting, Making
from studio.maths.projects import Border, OnPoint, Project, Row, Sashing
from tests.maths import worked

SVG = "{http://www.w3.org/2000/svg}"
EXACT = Making(Cutting.EXACT)


def runner():
    small, large = block_stars.sawtooth_star(), block_stars.sawtooth_star(2)
    end, middle = Row(small, Fraction(4), 4), Row(large, Fraction(8), 2)
    return Project("runner", (end, *[middle] * 5, end))


def cushion(cornerstones=True):
    heart = block_hearts.heart_of_two_lobes()
    plain = projects.of_blocks("cushion", heart, Fraction(6), 2, 2)
    stone = "cornerstone" if cornerstones else ""
    return replace(
        plain,
        sashing=Sashing(Fraction(3, 2), "sashing", stone),
        borders=(
            Border(Fraction(1), "narrow border"),
            Border(Fraction(2), "border", stone),
        ),
    )


def sixteen_on_point():
    return OnPoint("on point", block_stars.friendship_star(), Fraction(6), 4, 4)


def covered(project):
    """Finished areas of all blocks and strips."""
    placed = sum(
        one.finished_inches * one.block.height_inches(one.finished_inches)
        for one in projects.placed_blocks(project)
    )
    return placed + sum(
        s.width_inches * s.height_inches for s in projects.strips(project)
    )


def listed(pieces):
    return [
        (p.count, p.name, show_inches(p.width_inches), show_inches(p.height_inches))
        for p in pieces
    ]


def test_two_columns_of_five_eights_and_two_rows_of_four_fours_make_a_runner():
    """48 by 16 in finished: common practice."""
    width, height = projects.finished_size(runner())

    assert (height, width) == (48, 16)


def test_a_runner_counts_its_blocks():
    counts = [
        (row.number, row.block.name, row.finished_inches)
        for row in projects.block_counts(runner())
    ]

    assert counts == [
        (8, "sawtooth star", 4),
        (10, "sawtooth star, 2 deep", 8),
    ]


def test_a_runner_is_cut_as_so_many_stars():
    """8 small stars: 8 centres 2½, 32 corners 1½, 8 squares 3¼ and 32 of 1⅞; worked by
    hand. 10 large ones: 10 centres 2½, and so on."""
    pieces = projects.cut_list(runner())

    by_role = {}
    for piece in pieces:
        key = (piece.role, piece.name, show_inches(piece.width_inches))
        by_role[key] = piece.count

    assert by_role["centre", "square", "2½"] == 18
    assert by_role["ground", "square", "1½"] == 32
    assert by_role["inner ground", "square", "1½"] == 40
    assert by_role["ground", "goose square", "3¼"] == 8
    assert by_role["point", "sky square", "2⅞"] == 40


@settings(max_examples=20)
@given(
    across=st.integers(1, 5),
    down=st.integers(1, 5),
    sash=st.integers(2, 16).map(lambda n: Fraction(n, 8)),
    stones=st.booleans(),
)
def test_blocks_sashing_and_borders_cover_the_project(across, down, sash, stones):
    """Areas of all that is seen add up to width × height; from memory."""
    role = "stone" if stones else ""
    project = replace(
        projects.of_blocks("any", block_grids.pinwheel(), Fraction(6), across, down),
        sashing=Sashing(sash, "sashing", role),
        borders=(Border(Fraction(2), "border", role), Border(Fraction(1))),
    )

    width, height = projects.finished_size(project)

    assert covered(project) == width * height


def test_cornerstones_are_as_many_as_the_crossings():
    """2 × 2 blocks: 4 sashes of a block's length and 1 crossing; worked by hand."""
    pieces = projects.cut_list(cushion())

    assert (4, "sash", "6½", "2") in listed(pieces)
    assert [p.count for p in pieces if p.name == "cornerstone"] == [1, 4]


def test_without_cornerstones_a_long_sash_runs_across():
    """6 + 1½ + 6 = 13½, cut 14; worked by hand."""
    pieces = listed(projects.cut_list(cushion(cornerstones=False)))

    assert (1, "long sash", "14", "2") in pieces
    assert (2, "sash", "6½", "2") in pieces


def test_borders_go_on_sides_first():
    """2 of the length, 2 of the width and twice the border, all + ½: common practice."""
    project = replace(
        projects.of_blocks("mat", block_grids.pinwheel(), Fraction(6), 2, 3),
        borders=(Border(Fraction(2)),),
    )

    pieces = listed(projects.cut_list(project))

    assert (2, "border 1, side", "18½", "2½") in pieces
    assert (2, "border 1, end", "16½", "2½") in pieces


def test_rows_of_units_go_with_rows_of_blocks():
    """Three geese of 4 by 2 over two blocks of 6: 12 by 10 in all; worked by hand."""
    geese = block_grids.unit(patches.GEESE, ["goose", "sky"])
    project = Project(
        "mat",
        (
            Row(geese, Fraction(4), 3),
            Row(block_grids.churn_dash(), Fraction(6), 2),
            Row(geese, Fraction(4), 3),
        ),
    )

    assert projects.finished_size(project) == (12, 10)
    assert (2, "goose square", "5¼", "5¼") in listed(projects.cut_list(project))


def test_a_turned_unit_stands_on_end():
    geese = block_grids.unit(patches.GEESE, ["goose", "sky"], turn=1)

    assert (geese.across, geese.down) == (1, 2)
    assert geese.height_inches(Fraction(2)) == 4


def test_a_row_of_another_width_is_named():
    uneven = runner()
    rows = (*uneven.rows, Row(block_stars.sawtooth_star(), Fraction(6), 3))

    with pytest.raises(projects.RowsUneven) as refused:
        projects.cut_list(replace(uneven, rows=rows))

    assert str(refused.value) == (
        "Row 8 is 18 in wide and the first row 16 in. Change the blocks or their size."
    )


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"rows": ()}, "at least one row of one block"),
        (
            {"rows": (Row(block_grids.pinwheel(), Fraction(6), 0),)},
            "at least one row of one block",
        ),
        (
            {"rows": (Row(block_grids.pinwheel(), Fraction(6), 2001),)},
            "2001 blocks are more than the 2000",
        ),
        ({"sashing": Sashing(Fraction(1))}, "Row 2 has other blocks than the first"),
    ],
)
def test_a_layout_that_cannot_be_is_refused_in_words(change, words):
    with pytest.raises(projects.LayoutImpossible, match=words):
        projects.finished_size(replace(runner(), **change))


def published_on_point(row):
    across, down = int(row["across"]), int(row["down"])
    block = worked.BLOCKS[row["block"]]
    return OnPoint("on point", block, parse_length(row["finished"]), across, down)


ON_POINT = pytest.mark.parametrize("row", worked.rows("trade_on_point.csv"))


@ON_POINT
def test_blocks_on_point_are_set_as_published(row):
    pieces = projects.on_point_cut_list(published_on_point(row))

    setting = [piece for piece in pieces if piece.role == "setting ground"]

    assert worked.cut(setting) == worked.pieces(row["pieces"])


@ON_POINT
def test_blocks_on_point_finish_as_wide_as_printed(row):
    width, height = projects.on_point_size(published_on_point(row))

    assert width == height
    assert f"{float(width):.2f}" == row["centre"]


def test_sashing_on_point_widens_the_triangles():
    """F + sash in place of F: 6 and 2 give the triangles of 8, 12⅝ and 6⅝ (chart)."""
    project = replace(sixteen_on_point(), sash_inches=Fraction(2))

    pieces = projects.on_point_cut_list(project)

    assert [p[2] for p in listed(pieces)[-2:]] == ["12⅝", "6⅝"]


def test_alternate_blocks_take_the_place_of_setting_squares():
    project = replace(sixteen_on_point(), alternate=block_grids.snowball())

    names = [piece.name for piece in projects.on_point_cut_list(project)]

    assert "setting square" not in names
    assert "base square" in names


def test_one_block_on_point_has_corners_and_no_sides():
    project = replace(sixteen_on_point(), across=1, down=1)

    names = [piece.name for piece in projects.on_point_cut_list(project)]

    assert "side-triangle square" not in names
    assert "corner-triangle square" in names


def test_a_quilt_for_a_bed_has_whole_blocks_enough():
    """Single, 10 in drop: 55.4 by 84.8 in, less two borders of 4, is 5.3 and 8.5
    blocks of 9, so 6 by 9: 62 by 89; worked by hand."""
    quilt = project_kinds.quilt_for_bed(
        BEDS[1], block_stars.ohio_star(), Fraction(9), Fraction(10), Border(Fraction(4))
    )

    assert (quilt.rows[0].number, len(quilt.rows)) == (6, 9)
    assert projects.finished_size(quilt) == (62, 89)


def test_every_kind_of_project_has_its_own_finishing():
    names = {
        kind: [p.name for p in project_kinds.finish(kind, (Fraction(16), Fraction(48)))]
        for kind in project_kinds.KINDS
    }

    assert names["cushion"] == ["cushion back", "wadding"]
    assert names["bag panel"] == ["lining", "wadding"]
    assert names["runner"] == ["backing width", "wadding", "binding strip"]
    assert names["wall hanging"] == [*names["runner"], "sleeve"]


def test_a_cushion_has_two_backs_that_overlap():
    """19½ in square: each back 20 by 9¾ + 2 + 1 + ¼ = 13; worked by hand."""
    pieces = project_kinds.cut_list("cushion", cushion())

    assert (2, "cushion back", "20", "13") in listed(pieces)


def test_a_runner_is_bound_with_four_strips():
    """2 × (16 + 48) + 10 = 138 in, 138 ÷ 40 = 3.45; worked by hand."""
    pieces = project_kinds.cut_list("runner", runner())

    assert (4, "binding strip", "40", "2½") in listed(pieces)


def test_an_unknown_kind_names_those_that_are_planned():
    with pytest.raises(
        project_kinds.KindUnknown, match="cushion, bag panel, table mat"
    ):
        project_kinds.finish("tent", (Fraction(16), Fraction(48)))


DRAWINGS = {
    "runner": project_drawing.project_svg("Runner", runner()),
    "cushion": project_drawing.project_svg("Cushion", cushion()),
    "on point": project_drawing.on_point_svg("On point", sixteen_on_point()),
    "two blocks on point": project_drawing.on_point_svg(
        "On point", replace(sixteen_on_point(), alternate=block_grids.snowball())
    ),
}


@pytest.mark.parametrize("drawn", DRAWINGS.values(), ids=DRAWINGS)
def test_a_project_is_drawn_whole_with_a_legend(drawn):
    root = ElementTree.fromstring(drawn)  # noqa: S314 - drawn by the studio itself
    _, _, width, height = map(float, root.get("viewBox").split())

    starts = re.findall(r"[ML](-?[0-9.]+) (-?[0-9.]+)", drawn)
    names = {name for tag in root.iter() for name in tag.attrib}

    assert root[1].text.endswith(".")
    assert [mark.text for mark in root.iter(SVG + "text")]
    assert all(0 <= float(x) <= width and 0 <= float(y) <= height for x, y in starts)
    assert names.isdisjoint({"style", "class", "id"})
    assert len(drawn.encode()) < 60_000


def test_a_drawing_says_what_is_in_the_project():
    assert (
        "8 × sawtooth star, 10 × sawtooth star, 2 deep; finished 16 × 48 in."
        in DRAWINGS["runner"]
    )
    assert "9 between them, 12 side triangles and 4 corners" in DRAWINGS["on point"]


def test_a_legend_has_a_line_for_every_cloth():
    root = ElementTree.fromstring(DRAWINGS["cushion"])  # noqa: S314 - drawn here

    words = [mark.text for mark in root.iter(SVG + "text")]
    fills = {mark.get("fill") for mark in root.iter(SVG + "path")}

    assert words == [
        "heart",
        "ground",
        "sashing",
        "cornerstone",
        "narrow border",
        "border",
    ]
    assert {look.ground for look in hatching.looks_of(words).values()} <= fills
