"""Outlines of every kind together on one sheet, measured again by other means."""

from fractions import Fraction
from itertools import combinations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from studio.lengths import to_mm
from studio.maths.nesting_shapes import Shape, shape_of
from studio.maths.sheet_layout import Sheet
from studio.maths.sheets import (
    fillers,
    layout,
    outline_kinds,
    spare,
    telling,
)
from studio.maths.sheets.laid import outline_of
from studio.maths.sheets.mixing import Grid, Table, both_ways
from studio.maths.sheets.problem import SheetPiece
from studio.maths.sheets.refusals import PieceTooLarge, SheetImpossible, TooManyKinds
from studio.maths.sheets.saw_cuts import saw_cuts
from tests.maths.outline_pieces import (
    MIXED,
    USUAL,
    WITH_SQUARE,
    faults,
    outlined,
    square,
)


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
