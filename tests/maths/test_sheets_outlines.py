"""Outlines of every kind together on one sheet, measured again by other means."""

import csv
from fractions import Fraction
from itertools import combinations, pairwise
from math import cos, pi, sin, sqrt
from pathlib import Path
from random import Random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from studio.lengths import to_mm
from studio.maths import outlines
from studio.maths.nesting_shapes import Shape, shape_of
from studio.maths.sheet_layout import Sheet
from studio.maths.sheets import (
    fillers,
    keeping,
    layout,
    outline_kinds,
    piece_file,
    plainer,
    spare,
    telling,
)
from studio.maths.sheets.keeping import KeptUnreadable
from studio.maths.sheets.laid import outline_of
from studio.maths.sheets.mixing import Grid, Table, both_ways
from studio.maths.sheets.outlined import OutlinePlanner
from studio.maths.sheets.problem import SheetPiece
from studio.maths.sheets.refusals import PieceTooLarge, SheetImpossible, TooManyKinds
from studio.maths.sheets.saw_cuts import saw_cuts

WORKED = Path(__file__).parents[1] / "worked" / "sheets_nested.csv"
USUAL = Sheet()
SEAM_MM = Fraction("6.35")


def measured_outlines():
    with WORKED.open(newline="", encoding="utf-8") as file:
        return {row["shape"]: row["corners"] for row in csv.DictReader(file)}


def outlined(name, count=1, **more):
    corners = [
        tuple(Fraction(part) for part in at.split())
        for at in measured_outlines()[name].split("; ")
    ]
    left, top = (min(at[n] for at in corners) for n in (0, 1))
    outline = tuple((x - left, y - top) for x, y in corners)
    return SheetPiece(
        name, *outline_kinds.box_mm(outline), count, outline_mm=outline, **more
    )


def square(side, count=1, **more):
    return SheetPiece(f"square {side}", Fraction(side), Fraction(side), count, **more)


MIXED = (outlined("heart"), outlined("kite", 2), outlined("hexagon", 2))
WITH_SQUARE = (outlined("rhomb"), square("76.2"), outlined("triangle"))


def squared_distance(at, start, end):
    """From a corner to an edge, as a fraction; plain geometry."""
    ux, uy = end[0] - start[0], end[1] - start[1]
    px, py = at[0] - start[0], at[1] - start[1]
    share = Fraction(px * ux + py * uy) / (ux * ux + uy * uy)
    share = min(Fraction(1), max(Fraction(0), share))
    return (px - share * ux) ** 2 + (py - share * uy) ** 2


def nearest_squared(one, other):
    return min(
        squared_distance(at, *edge)
        for a, b in ((one, other), (other, one))
        for at in a
        for edge in zip(b, (*b[1:], b[0]), strict=True)
    )


def boxes_near(one, other, gap):
    return all(
        min(at[n] for at in one) - gap < max(at[n] for at in other)
        and min(at[n] for at in other) - gap < max(at[n] for at in one)
        for n in (0, 1)
    )


def faults(laid, pieces, sheet):
    """Pieces over the edge, and pairs nearer than the gap."""
    outlines = [outline_of(pieces[one.kind], one) for one in laid]
    for corners in outlines:
        if not all(
            sheet.edge_mm <= x <= sheet.width_mm - sheet.edge_mm
            and sheet.edge_mm <= y <= sheet.height_mm - sheet.edge_mm
            for x, y in corners
        ):
            yield "over the edge", corners
    for one, other in combinations(outlines, 2):
        near = boxes_near(one, other, sheet.gap_mm)
        if near and nearest_squared(one, other) < sheet.gap_mm**2:
            yield "too near", one, other


@pytest.fixture(scope="module")
def plans():
    """Two mixed sets laid once for all tests of this module."""
    return {
        "hearts, kites and hexagons": layout.lay_out(MIXED, USUAL, sets=20),
        "rhombs, squares and triangles": layout.lay_out(WITH_SQUARE, USUAL, sets=20),
    }


BOTH = ("hearts, kites and hexagons", "rhombs, squares and triangles")


# ------------------------------------------------------------- together on one sheet


@pytest.mark.parametrize(("name", "at_least"), list(zip(BOTH, (8, 9), strict=True)))
def test_a_mixed_sheet_holds_no_fewer_sets_than_another_program_found(
    plans, name, at_least
):
    """8 and 9 sets by another nesting program, 7 and 6 by the area of their boxes."""
    full = plans[name].full

    assert at_least <= full.sets <= full.bound


@pytest.mark.parametrize("name", BOTH)
def test_mixed_outlines_keep_the_gap_and_the_edge(plans, name):
    plan = plans[name]

    assert list(faults(plan.full_laid, plan.pieces, USUAL)) == []
    for _, ones in plan.alike():
        assert list(faults(ones, plan.pieces, USUAL)) == []


@pytest.mark.parametrize("name", BOTH)
def test_an_order_over_several_sheets_holds_every_piece_once(plans, name):
    plan = plans[name]
    wanted = {piece.name: 20 * piece.count for piece in plan.pieces}

    found = {piece.name: 0 for piece in plan.pieces}
    for one in plan.laid:
        found[one.name] += 1

    assert found == wanted
    assert plan.plan.bound <= plan.sheets <= -(-20 // plan.full.sets)


@pytest.mark.reference
@pytest.mark.parametrize("name", BOTH)
def test_another_geometry_library_finds_no_two_too_near(plans, name):
    """Distances in floating point, so a millionth of a millimetre is let pass."""
    geometry = pytest.importorskip("shapely")
    plan = plans[name]
    shapes = [
        geometry.Polygon(
            [(float(x), float(y)) for x, y in outline_of(plan.pieces[one.kind], one)]
        )
        for one in plan.full_laid
    ]
    room = geometry.box(5, 5, 595, 395).buffer(1e-6)

    assert all(shape.is_valid and room.contains(shape) for shape in shapes)
    assert min(a.distance(b) for a, b in combinations(shapes, 2)) >= 2 - 1e-6


def test_one_outline_alone_is_laid_in_rows_that_interlock():
    """54 kites of 60 × 110 mm; row nesting measured on a 600 × 400 sheet."""
    plan = layout.lay_out([outlined("kite")], USUAL)

    assert plan.full.sets >= 54
    assert list(faults(plan.full_laid, plan.pieces, USUAL)) == []


def test_an_outline_that_may_not_turn_stays_as_it_is():
    upright = outlined("kite", turns=False)

    plan = layout.lay_out([upright], USUAL, seconds=0.2)

    assert {one.quarters for one in plan.full_laid} == {0}
    assert list(faults(plan.full_laid, plan.pieces, USUAL)) == []


def test_the_saw_cuts_outlines_from_their_boxes():
    plan = layout.lay_out(MIXED, USUAL, saw=True, seconds=0.2)

    assert plan.full.sets >= 1
    assert saw_cuts(plan.full_laid, USUAL)


kinds = st.sampled_from(["kite", "hexagon", "triangle", "rhomb"])


@settings(max_examples=12, deadline=None)
@given(
    st.lists(
        st.tuples(kinds, st.integers(1, 2), st.booleans()), min_size=1, max_size=3
    ),
    st.integers(60, 160),
    st.integers(0, 6),
)
def test_no_mixture_overlaps_or_leaves_the_sheet(some, side, gap):
    pieces = [outlined(name, count, turns=turns) for name, count, turns in some]
    pieces.append(square(side))
    sheet = Sheet(Fraction(420), Fraction(310), Fraction(3), Fraction(gap))

    plan = layout.lay_out(pieces, sheet, seconds=0.05)

    assert list(faults(plan.full_laid, plan.pieces, sheet)) == []
    for _, ones in plan.alike():
        assert list(faults(ones, plan.pieces, sheet)) == []


def test_places_are_taken_wherever_a_second_square_would_be_too_near():
    """Two upright squares of 10 mm, 2 mm apart; plain geometry, place by place."""
    ten = Shape(((0, 0), (10_000, 0), (10_000, 10_000), (0, 10_000)))
    grid = Grid([[ten]], 2_000, (60_000, 50_000))

    near = grid.near(0, 0)

    for n, column in enumerate(near.marks):
        for m, is_near in enumerate(column):
            x, y = (near.x + n) * 500, (near.y + m) * 500
            aside, below = max(0, abs(x) - 10_000), max(0, abs(y) - 10_000)
            apart = aside**2 + below**2
            if apart < 2_000**2:
                assert is_near
            elif apart > 2_050**2:
                assert not is_near


def test_what_is_near_is_near_on_the_way_back_and_lying_on_its_side():
    """The same distances in both directions, and with x and y swapped; plain geometry."""
    kite, square = (
        shape_of(piece.corners_mm) for piece in (outlined("kite"), square_60)
    )
    upright, sideways = both_ways([[kite], [square]], 2_000, (300_000, 200_000))

    there = upright.worked_out(0, 1)
    back = there.back()
    again = upright.worked_out(1, 0)
    across = sideways.worked_out(0, 1)

    assert steps_of(back) == steps_of(again)
    assert steps_of(there.swapped()) == steps_of(across)
    assert steps_of(upright.near(0, 1)) == steps_of(there)


square_60 = square("60")


def steps_of(near):
    return {
        (near.x + n, near.y + m)
        for n, column in enumerate(near.marks)
        for m, is_near in enumerate(column)
        if is_near
    }


def test_more_kinds_than_can_be_laid_together_are_refused():
    many = [outlined("kite") for _ in range(31)]

    with pytest.raises(TooManyKinds, match="31 kinds of piece"):
        layout.lay_out(many, USUAL)


def test_a_piece_that_finds_no_place_is_said_to_find_none():
    ten = Shape(((0, 0), (10_000, 0), (10_000, 10_000), (0, 10_000)))
    table = Table(Grid([[ten]], 1_000, (21_500, 10_000)), [0])

    assert [table.add(0), table.add(0), table.add(0)] == [True, True, False]


# ------------------------------------------------------------- what fills the rest


def test_a_by_product_fills_the_rest_and_moves_nothing():
    plain = layout.lay_out(WITH_SQUARE, USUAL, seconds=0.3)
    tiny = square("20", fills=True)

    filled = fillers.filled_up(plain, [tiny])

    kept = [one for one in filled.full_laid if one.name != tiny.name]
    assert sorted(kept, key=repr) == sorted(plain.full_laid, key=repr)
    assert len(filled.full_laid) > len(kept)
    assert list(faults(filled.full_laid, filled.pieces, USUAL)) == []


def test_six_small_squares_fill_the_gap_beside_the_nine_inch_pair():
    """1 A1025 + 1 SQ950 + 6 SQ350 in the gap; worked by hand."""
    pair = [square("260.35"), square("241.3")]
    small = square("88.9", fills=True)

    plan = layout.lay_out([*pair, small], USUAL)

    assert (plan.full.sets, len(plan.full_laid)) == (1, 8)
    assert list(faults(plan.full_laid, plan.pieces, USUAL)) == []


def test_for_the_saw_the_filled_sheet_can_still_be_sawn():
    pair = [square("260.35"), square("241.3")]

    plan = layout.lay_out([*pair, square("88.9", fills=True)], USUAL, saw=True)

    assert len(plan.full_laid) > 2
    assert saw_cuts(plan.full_laid, USUAL)


def test_each_loose_piece_is_tried_alone_in_what_is_left():
    """Six of 88.9 mm as above; none of 200 mm, for 73 mm are left; worked by hand."""
    plan = layout.lay_out([square("260.35"), square("241.3")], USUAL)

    found = fillers.more_of_each(plan, [square("88.9"), square("200")])

    assert found == [6, 0]


def test_outlines_are_counted_in_the_gap_beside_one_set():
    found = spare.what_else([square("300")], outlined("kite"), USUAL)

    assert 0 < found.count <= found.bound


def test_a_sheet_of_fillers_alone_is_refused():
    with pytest.raises(SheetImpossible, match="at least one piece makes the set"):
        layout.lay_out([square("20", fills=True)], USUAL)


def test_a_filler_larger_than_the_room_is_named():
    with pytest.raises(PieceTooLarge, match="square 700"):
        layout.lay_out([square("20"), square("700", fills=True)], USUAL)


def test_a_near_miss_of_an_outline_is_laid_and_not_guessed():
    """A square of 5¾ in by its corners: 6 at 2 mm, 8 at 1½ mm; worked by hand."""
    side = to_mm(Fraction(23, 4))
    outline = outline_kinds.corners_mm(
        [(Fraction(a), Fraction(b)) for a, b in _square_of("5 3/4")]
    )
    piece = SheetPiece("A575", side, side, outline_mm=outline)

    miss = spare.near_miss([piece], USUAL, 6)

    assert (miss.gap_mm, miss.now, miss.then) == (Fraction(3, 2), 6, 8)
    assert telling.miss_line(miss, USUAL, "of A575").startswith(
        "A near miss: with 1½ mm gap 2 more of A575"
    )


def _square_of(_typed):
    side = Fraction(23, 4)
    return ((0, 0), (side, 0), (side, side), (0, side))


# ------------------------------------------------------------- shapes by their names


def sides_mm(outline):
    closed = [*outline, outline[0]]
    return [
        sqrt(float((b[0] - a[0]) ** 2 + (b[1] - a[1]) ** 2))
        for a, b in pairwise(closed)
    ]


@pytest.mark.parametrize(
    ("shape", "finished", "grows"),
    [
        ("half-square triangle", 3, 2 + sqrt(2)),
        ("quarter-square triangle", 6, 2 + 2 * sqrt(2)),
        ("triangle", 3, 2 * sqrt(3)),
        ("hexagon", 2, 2 / sqrt(3)),
        ("60-degree diamond", 3, sqrt(3) + 1 / sqrt(3)),
        ("45-degree diamond", 2, 2 * sqrt(2)),
    ],
)
def test_a_finished_measure_grows_by_the_one_rule(shape, finished, grows):
    """Growth of each per seam of ¼ in: cot of both half corners; plain geometry."""
    inches = Fraction(finished)

    outline = outline_kinds.outline_mm(shape, (inches, inches), finished=True)

    wanted = (finished + grows / 4) * 25.4
    assert min(abs(side - wanted) for side in sides_mm(outline)) < 0.002


@pytest.mark.reference
@pytest.mark.parametrize(
    "shape",
    [
        one
        for one in outline_kinds.KNOWN
        if one != "rectangle" and not one.startswith("blunted")
    ],
)
def test_a_cut_outline_is_the_finished_one_moved_out_by_the_seam(shape):
    geometry = pytest.importorskip("shapely")
    sides, narrow = (Fraction(4), Fraction(3, 2)), Fraction(2)

    plain, cut = (
        geometry.Polygon(
            [
                (float(x), float(y))
                for x, y in outline_kinds.outline_mm(
                    shape, sides, narrow=narrow, finished=finished
                )
            ]
        )
        for finished in (False, True)
    )

    grown = plain.buffer(6.35, join_style="mitre", mitre_limit=20)
    assert abs(grown.area - cut.area) / cut.area < 0.0005


def test_a_heart_is_a_square_and_two_half_circles_with_its_point_below():
    """Area a² + π a² / 4, and never smaller than the true heart; plain geometry."""
    outline = outline_kinds.outline_mm("heart", (Fraction(2), Fraction(2)))
    side = 50.8

    area = shape_of(outline).doubled_area / 2 / 1_000_000

    true = side**2 * (1 + pi / 4)
    assert true <= area < true * 1.001
    width, height = outline_kinds.box_mm(outline)
    lowest = [x for x, y in outline if y == height]
    assert [abs(float(x - width / 2)) < 0.01 for x in lowest] == [True]


def test_blunted_tips_end_where_the_strip_ends():
    """A half square of 3 in is cut from 3½ in, a 60-degree triangle of 3 in too.

    The strip widths of blunted templates are printed in a quilting book's chapter.
    """
    three = Fraction(3), Fraction(3)

    square, sixty = (
        outline_kinds.outline_mm(f"blunted {shape} triangle", three, finished=True)
        for shape in ("half-square", "60-degree")
    )

    strip = to_mm(Fraction(7, 2))
    assert outline_kinds.box_mm(square) == (strip, strip)
    assert outline_kinds.box_mm(sixty)[1] == strip
    assert (len(square), len(sixty)) == (5, 4)


def test_shapes_go_by_their_longer_names_too():
    names = ("Trapezoid, both ends sloped", "triangle in a square, side", "SQUARE")

    found = [outline_kinds.plain_name(name) for name in names]

    assert found == ["trapezoid", "side triangle", "rectangle"]


def test_a_tapered_piece_with_no_narrow_side_to_speak_of_is_a_triangle():
    two = Fraction(2), Fraction(2)

    outline = outline_kinds.outline_mm(
        "tapered", two, narrow=Fraction(0), finished=True
    )

    assert len(outline) == 3


def test_a_shape_that_leans_is_not_mirrored():
    """A half trapezoid has its square end on the left, as it is drawn in the lists."""
    made = outlines.half_trapezoid(Fraction(4), Fraction(1)).corners()
    assert [x.bounds()[0] for x, _ in made] == [0, 4, 3, 0]

    outline = outline_kinds.outline_mm("half trapezoid", (Fraction(4), Fraction(1)))

    assert outline == (
        (0, Fraction("25.4")),
        (Fraction("101.6"), Fraction("25.4")),
        (Fraction("76.2"), 0),
        (0, 0),
    )


@settings(max_examples=30, deadline=None)
@given(st.integers(8, 60), st.integers(0, 9999))
def test_fewer_corners_never_make_an_outline_smaller(corners, seed):
    """Random stars: each true corner lies inside the plainer outline, or on it."""
    geometry = pytest.importorskip("shapely")
    chance = Random(seed)
    spots = []
    for n in range(corners):
        far = chance.randint(40_000, 42_000)
        angle = 2 * pi * n / corners
        spots.append(
            (round(50_000 + far * cos(angle)), round(50_000 + far * sin(angle)))
        )
    shape = shape_of([(Fraction(x, 1000), Fraction(y, 1000)) for x, y in spots])

    found = plainer.plainer(shape)

    outer = geometry.Polygon(found.corners).buffer(plainer.ROUNDING)
    assert outer.contains(geometry.Polygon(shape.corners))
    assert (found.width, found.height) == (shape.width, shape.height)


# ------------------------------------------------------------- lists of pieces


HEAD = "name,width,height,count,turn,shape,narrow,finished,fills"


def read(*lines):
    return piece_file.read_pieces([HEAD, *lines])


def test_shapes_are_read_from_the_list_by_their_names():
    kite, taper, corners, bar = read(
        "K,1 1/2,,6,,kite,,yes,",
        "T,3,2,1,,Tapered,1,,",
        '"C",1,1,1,,"0x0; 3x0; 1 1/2x3",,,yes',
        "B,1,2,1,no,bar,,yes,",
    )

    assert len(kite.outline_mm) == 4
    assert set(taper.outline_mm) == {
        (Fraction("25.4"), 0),
        (Fraction("50.8"), 0),
        (Fraction("76.2"), Fraction("50.8")),
        (0, Fraction("50.8")),
    }
    assert (corners.width_mm, corners.height_mm, corners.fills) == (
        Fraction("76.2"),
        Fraction("76.2"),
        True,
    )
    assert (bar.width_mm, bar.height_mm, bar.turns, bar.outline_mm) == (
        Fraction("38.1"),
        Fraction("63.5"),
        False,
        (),
    )


def test_typed_lines_need_no_first_line_and_take_words_in_any_order():
    heart, plain, tiny = piece_file.read_typed(
        "Heart, 2, , 2, finished, heart\n\nA425, 4 1/4, 4 1/4\nT, 1, , 1, fills, triangle, upright"
    )

    assert (heart.name, heart.count, len(heart.outline_mm) > 40) == ("Heart", 2, True)
    assert (plain.count, plain.width_mm) == (1, Fraction("107.95"))
    assert (tiny.fills, tiny.turns) == (True, False)


def test_lines_pasted_from_a_table_are_parted_by_tabs():
    [one] = piece_file.read_typed("A425\t4 1/4\t4 1/4\t3")

    assert (one.name, one.width_mm, one.count) == ("A425", Fraction("107.95"), 3)


@pytest.mark.parametrize(
    ("line", "says"),
    [
        (
            "A, 1, 1, 1, blob",
            "A: “blob” is no shape known here; write one of rectangle",
        ),
        ("A, 1, , 1, trapezoid", "A: a trapezoid needs its height, too"),
        ("A, 3, , 1, blunted 60-degree triangle", "A: a blunted shape goes by its"),
        ("A, 3, 2, 1, tapered", "A: a tapered needs its narrow side, too"),
        ("A, 1, 3, 1, trapezoid", "A: A trapezoid 1 in long is all slope."),
        ("A, 1, 1, 1, 0x0; 2x2; 2x0; 0x2", "A: its measures do not close"),
        ("A, 1, 1, 1, 0x0; 1x0; 2x0", "A: its measures do not close"),
        ("A, 1, 1, 1, 0x0; 1x0", "A: its corners are “0x0; 1x0”; write from 3"),
        ("A, 1, 1, 1, 0x0; 1; 2x0", "A: its corners are"),
        ("A, 1, 1, 1, 0x0; 1x4/0; 2x0", "A: a corner cannot be read."),
        ("A, 0, , 1, kite", "A: the width is nought"),
        ("A, 1, 1, none", "A: the count is “none”"),
        ("A, one, 1, 1", "A: the width cannot be read."),
        ("", "No piece is written yet."),
    ],
)
def test_each_unfit_line_is_told_in_a_sentence(line, says):
    with pytest.raises((piece_file.PieceUnfit, piece_file.PieceFileUnfit)) as refused:
        piece_file.read_typed(line)

    assert str(refused.value).startswith(says)


# ------------------------------------------------------------- kept, and read back


@pytest.fixture(scope="module")
def kept():
    plan = layout.lay_out([*WITH_SQUARE, square("20", fills=True)], USUAL, seconds=0.3)
    return keeping.keep(plan, plan.full_laid, kerf_mm=Fraction(1, 5), kerf_in=True)


def test_a_kept_sheet_is_read_back_as_it_was(kept):
    again = keeping.read_kept(kept.as_text())

    assert again == kept
    assert again.holds()


def test_a_kept_sheet_of_the_saw_keeps_its_exact_places():
    third = SheetPiece("Third", Fraction(100, 3), Fraction(127, 3), 5)
    plan = layout.lay_out([third], USUAL, saw=True, seconds=0.05)
    kept = keeping.keep(plan, plan.full_laid, kerf_mm=Fraction(3), kerf_in=False)

    assert keeping.read_kept(kept.as_text()) == kept
    assert kept.kerf_drawn_mm == 0


def test_a_kept_sheet_whose_gap_was_made_wider_holds_no_more(kept):
    text = kept.as_text().replace('"5","2"]', '"5","3"]')

    assert text != kept.as_text()
    with pytest.raises(KeptUnreadable, match="lay it out again"):
        keeping.read_kept(text)
    assert keeping.read_kept(text, measured=False).sheet.gap_mm == 3


@pytest.mark.parametrize(
    "damaged",
    [
        "",
        "[]",
        "{}",
        '"text"',
        "9" * 700_000,
        '{"sheet":["600","400","5"]}',
        '{"sheet":["600","400","5","2"],"pieces":[],"places":[],"kerf":"0","kerf_in":true,"saw":false}',
        '{"sheet":["600","400","5","2"],"pieces":[],"places":[[0,"5","5",0]],"kerf":"0","kerf_in":true,"saw":false}',
        '{"sheet":["600","400","5","2"],"pieces":[{"name":"A","size":["0","1"],"count":1,"turns":true,"fills":false,"outline":[]}],"places":[[0,"5","5",0]],"kerf":"0","kerf_in":true,"saw":false}',
        '{"sheet":["600","400","5","2"],"pieces":[{"name":"A","size":["1/0","1"],"count":1,"turns":true,"fills":false,"outline":[]}],"places":[[0,"5","5",0]],"kerf":"0","kerf_in":true,"saw":false}',
        '{"sheet":["600","400","5","2"],"pieces":[{"name":"A","size":["9","9"],"count":1,"turns":true,"fills":false,"outline":[]}],"places":[[0,"4","5",0]],"kerf":"0","kerf_in":true,"saw":false}',
    ],
)
def test_what_is_damaged_is_refused(damaged):
    with pytest.raises(KeptUnreadable):
        keeping.read_kept(damaged)


def test_bounds_count_the_area_that_each_outline_takes():
    """A square of 98 mm with 2 mm of gap: 5 × 3 and a bound of 23; arithmetic.

    590 + 2 by 390 + 2 is 232 064 square mm, and each takes 98² + 2 × 4 × 98 / 2 … :
    98² + 2 · 98 · 2 + 3 · 4 / 4 = 9 999.
    """
    corners = ((0, 0), (98, 0), (98, 98), (0, 98))
    outline = tuple((Fraction(x), Fraction(y)) for x, y in corners)
    piece = SheetPiece("S", Fraction(98), Fraction(98), outline_mm=outline)

    full = OutlinePlanner([piece], USUAL, seconds=0.2).full_sheet()

    assert (full.sets, full.bound) == (15, 23)
