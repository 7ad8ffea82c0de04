"""Projects on point with sashing and borders, rows as typed, and sizes to be covered."""

from __future__ import annotations

import math
import re
from dataclasses import replace
from fractions import Fraction
from xml.etree import ElementTree

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from studio.lengths import show_inches
from studio.maths import (
    block_grids,
    block_stars,
    blocks,
    patches,
    project_asking,
    project_drawing,
    project_tables,
    projects,
    svg,
)
from studio.maths.known_blocks import known_block
from studio.maths.metric import INCH, METRIC
from studio.maths.patch.recipe import Making
from studio.maths.project_asking import Reach
from studio.maths.project_strips import Border, Sashing
from studio.maths.project_tables import Planned
from studio.maths.projects import OnPoint

SIDES = st.integers(1, 6)
EIGHTHS = st.integers(4, 96).map(lambda n: Fraction(n, 8))


def on_point(**changed):
    star = block_stars.friendship_star()
    return replace(OnPoint("on point", star, Fraction(6), 3, 4), **changed)


def sashed():
    return on_point(
        sash_inches=Fraction(1),
        cornerstone_role="stone",
        borders=(Border(Fraction(2), "border", "corner"), Border(Fraction(1), "edge")),
    )


def listed(pieces):
    return [(p.count, p.name, show_inches(p.width_inches)) for p in pieces]


def faces_area(faces):
    total = {}
    for face in faces:
        corners = face.corners
        pairs = zip(corners, corners[1:] + corners[:1], strict=True)
        area = abs(sum(x * v - u * y for (x, y), (u, v) in pairs)) / 2
        total[face.role] = total.get(face.role, 0) + float(area)
    return total


# ------------------------------------------------------------ on point


def test_every_block_on_point_has_four_sashes_and_shares_its_crossings():
    """Worked by hand: one block has 4 sashes and 4 crossings; 2 by 2 have 16 and 12."""
    counted = [
        (one.sashes, one.crossings)
        for one in (
            on_point(across=1, down=1, sash_inches=Fraction(1)),
            on_point(across=2, down=2, sash_inches=Fraction(1)),
            on_point(),
        )
    ]

    assert counted == [(4, 4), (16, 12), (0, 0)]


def test_sashing_on_point_is_cut_as_long_as_the_block():
    pieces = projects.on_point_cut_list(sashed())

    assert [
        (p.count, show_inches(p.width_inches), show_inches(p.height_inches), p.role)
        for p in pieces
        if p.name in ("sash", "cornerstone")
    ][:2] == [(48, "6½", "1½", "sashing"), (31, "1½", "1½", "stone")]


def test_borders_on_point_are_as_long_as_the_panel_and_are_cut_on_a_mark():
    """4 × 7 × 1.41421 = 39.598 and ½ in of seams: 40.098, up to 40⅛: worked by hand."""
    pieces = projects.on_point_cut_list(sashed())

    assert (2, "border 1, side", "40⅛") in listed(pieces)
    assert (2, "border 2, end", "36¼") in listed(pieces)


def test_the_size_on_point_holds_its_borders():
    """3 × 7 × 1.41421 = 29.698 and twice 3 in: worked by hand."""
    width, height = projects.on_point_size(sashed())

    assert round(float(width), 2) == 35.70
    assert round(float(height), 2) == 45.60


def test_what_is_drawn_on_point_covers_as_much_as_is_sewn():
    """Area by trigonometry: 12 blocks of 36, 48 sashes of 6, borders as frames. Of 31
    stones 14 are halved by the edges; the other 17 are drawn by both their blocks."""
    faces = list(project_drawing._on_point_faces(sashed()))

    areas = faces_area(faces)
    inner = (21 * math.sqrt(2), 28 * math.sqrt(2))
    assert areas["sashing"] == pytest.approx(48 * 6)
    assert areas["stone"] == pytest.approx(2 * 17 + 14 * 0.5, abs=0.001)
    assert areas["point"] + areas["centre"] == pytest.approx(12 * 36 * 3 / 9)
    assert areas["border"] == pytest.approx(2 * 2 * sum(inner), rel=1e-6)
    assert areas["corner"] == pytest.approx(4 * 4)


def test_a_sashed_panel_is_drawn_within_its_edges():
    drawn = project_drawing.on_point_svg("On point", sashed())
    root = ElementTree.fromstring(drawn)  # noqa: S314 - drawn by the studio itself

    _, _, width, height = map(float, root.get("viewBox").split())
    spots = re.findall(r"[ML](-?[0-9.]+) (-?[0-9.]+)", drawn)
    assert all(0 <= float(x) <= width and 0 <= float(y) <= height for x, y in spots)


def test_a_block_that_is_not_square_does_not_stand_on_its_tip():
    geese = block_grids.unit(patches.GEESE, ("goose", "sky"))

    with pytest.raises(projects.LayoutImpossible, match="cannot stand on its tip"):
        projects.on_point_cut_list(on_point(block=geese))


def test_a_panel_on_point_is_finished_on_marks():
    planned = Planned("cushion", on_point(across=2, down=2))

    backs = [p for p in planned.finish_list() if p.name == "cushion back"]

    # 2 × 6 × 1.41421 = 16.971 and ½: 17.471, up to 17½; half of it, 2, 1 and ¼: 11.735.
    assert [
        (show_inches(b.width_inches), show_inches(b.height_inches)) for b in backs
    ] == [("17½", "11¾")]
    assert planned.size == "about 17 in square"


# ------------------------------------------------------------ covering a size


@settings(max_examples=80)
@given(SIDES, SIDES, EIGHTHS, EIGHTHS, st.sampled_from([Fraction(0), Fraction(3, 2)]))
def test_blocks_that_cover_a_size_are_just_enough(across, down, block, border, sash):
    """A panel of c by r blocks is covered by as many, and an eighth more by one more."""
    width = across * block + (across - 1) * sash + 2 * border
    height = down * block + (down - 1) * sash + 2 * border
    sides = (block, block)

    same = Reach(width, height).straight(sides, sash, border)
    more = Reach(width + Fraction(1, 8), height).straight(sides, sash, border)

    assert (same, more) == ((across, down), (across + 1, down))


@settings(max_examples=50)
@given(SIDES, SIDES, EIGHTHS)
def test_blocks_on_point_that_cover_a_size_are_just_enough(across, down, block):
    panel = on_point(finished_inches=block, across=across, down=down)
    width, height = projects.on_point_size(panel)

    short = Reach(width - Fraction(1, 100), height - Fraction(1, 100))

    assert short.on_point(block, Fraction(0)) == (across, down)


@pytest.mark.parametrize("typed", ["16 × 48", "16 x 48 in", "16 by 48", '16" x 48"'])
def test_two_sides_are_read_however_they_are_parted(typed):
    assert project_asking.read_reach("Size", typed, INCH) == Reach(16, 48)


def test_one_side_is_a_square_and_inches_are_redrafted_in_the_metric_system():
    reach = project_asking.read_reach("Size", "40", METRIC)

    # 40 in at 2.5 cm for an inch: 100 cm.
    assert METRIC.show_by(reach.width_inches, reach.height_inches) == "100 cm square"
    assert project_asking.read_reach("Size", "1.2 m × 90 cm", METRIC) == Reach(
        Fraction(12000, 254), Fraction(9000, 254)
    )


# ------------------------------------------------------------ rows as typed


@pytest.mark.parametrize(
    ("typed", "row"),
    [
        ("4 × sawtooth star at 4", (4, "sawtooth star", 4)),
        ("4 x Sawtooth Star at 4 in.", (4, "sawtooth star", 4)),
        ("4 sawtooth stars-as-typed at 4", None),
        ("4 of pinwheel at 10 cm", (4, "pinwheel", Fraction(1000, 254))),
        ("2 flying geese at 4 × 2", (2, "flying geese", 4)),
    ],
)
def test_a_row_is_read_however_it_is_written(typed, row):
    if row is None:
        with pytest.raises(project_asking.RowUnreadable, match="is no block known"):
            project_asking.read_rows(typed, known_block, INCH)
        return

    ruler = METRIC if "cm" in typed else INCH
    [read] = project_asking.read_rows(typed, known_block, ruler)

    assert (read.number, read.block.name, read.finished_inches) == row


def test_more_rows_than_can_be_planned_are_refused():
    with pytest.raises(project_asking.RowUnreadable, match="up to 60 rows"):
        project_asking.read_rows(
            "60 rows of 1 × pinwheel at 4\n1 × pinwheel at 4", known_block, INCH
        )


@settings(max_examples=20)
@given(st.sampled_from(["churn dash", "log cabin", "heart on point", "flying geese"]))
def test_a_block_turned_four_times_is_itself_and_once_is_cut_alike(name):
    block = known_block(name).block

    once = blocks.turned(block)

    assert blocks.turned(block, 4) == block
    assert (once.across, once.down) == (block.down, block.across)
    assert sorted(map(str, blocks.cut_list(once, 6 * once.across))) == sorted(
        map(str, blocks.cut_list(block, 6 * block.across))
    )


# ------------------------------------------------------------ widths and marks


def test_a_width_between_the_marks_names_those_beside_it():
    with pytest.raises(project_asking.StripUnkind) as refused:
        project_asking.read_width("Sashing", "1 1/16", INCH)

    assert refused.value.kind_inches == (1, Fraction(9, 8))
    assert project_asking.read_width("Sashing", " ", INCH) == 0


@given(st.integers(1, 10**6), st.integers(1, 997))
def test_a_length_goes_up_to_the_next_mark_and_no_further(top, bottom):
    length = Fraction(top, bottom)

    mark = project_tables.next_mark(length, INCH)

    assert mark - Fraction(1, 8) < length <= mark
    assert (mark * 8).denominator == 1


def test_what_lies_at_the_edges_is_counted_too():
    counted = project_tables.counted(Planned("quilt", sashed(), Making()))

    assert [(one.number, one.name) for one in counted] == [
        (12, "friendship star"),
        (6, "setting square"),
        (10, "side triangle"),
        (4, "corner triangle"),
        (48, "sash"),
        (31, "cornerstone"),
    ]


@pytest.mark.parametrize(
    ("number", "written"),
    [
        (Fraction(1, 3), "0.33"),
        (Fraction(-1, 3), "-0.33"),
        (Fraction(5, 1000), "0.01"),
        (7, "7"),
    ],
)
def test_a_number_in_a_drawing_has_two_places_at_most(number, written):
    assert svg.plain(number) == written


# ------------------------------------------------------------ two blocks by turns


def by_turns(across, down, second="churn dash", **changed):
    star, other = known_block("Ohio star").block, known_block(second).block
    panel = projects.of_blocks("quilt", star, Fraction(9), across, down, other)
    return replace(panel, **changed)


def test_two_blocks_stand_by_turns_like_the_squares_of_a_board():
    """3 by 3: five of the first and four of the second; worked by hand."""
    panel = by_turns(3, 3)

    assert [one.block.name for one in projects.placed_blocks(panel)] == [
        "Ohio star",
        "churn dash",
    ] * 4 + ["Ohio star"]
    assert [(r.number, r.block.name) for r in projects.block_counts(panel)] == [
        (5, "Ohio star"),
        (4, "churn dash"),
    ]


def test_sashing_lines_up_between_two_blocks_by_turns():
    panel = by_turns(2, 2, sashing=Sashing(Fraction(1)))

    assert projects.finished_size(panel) == (19, 19)


def test_two_blocks_of_unlike_shape_do_not_stand_side_by_side():
    with pytest.raises(projects.LayoutImpossible, match="are not of one shape"):
        projects.cut_list(by_turns(2, 2, "flying geese"))
