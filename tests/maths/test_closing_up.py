"""What falls off a pre-cut piece lies at an end, and its first cuts are its strips."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from studio.maths.cutting.closing_up import closed_up
from studio.maths.cutting.cuts import NotByGuillotineError, dissect
from studio.maths.cutting.layout import Place
from tests.maths.cutting_checker import overlaps


def place(x, y, width, height, stock=0):
    return Place(0, stock, x, y, width, height, turned=False)


def corners(places):
    return sorted((one.stock, one.x, one.y, one.width, one.height) for one in places)


def test_squares_of_a_strip_lie_one_beside_the_other_and_the_rest_behind_them():
    # Worked by hand, in quarter inches: two squares of 2½ in a row of 5¼ in each.
    strip = [place(x, 0, 10, 10) for x in (0, 10, 21, 31)]

    closed = closed_up(strip, (84, 10), 1)

    assert [one.x for one in closed] == [0, 10, 20, 30]
    assert [cut.measure for cut in dissect(closed, (84, 10), 1).cuts] == [10] * 4


def test_the_widest_of_a_row_comes_first_and_what_is_over_comes_last():
    row = [place(3, 0, 10, 20), place(40, 0, 21, 20)]

    closed = closed_up(row, (84, 20), 1)
    scraps = dissect(closed, (84, 20), 1).scraps

    assert corners(closed) == [(0, 0, 0, 21, 20), (0, 21, 0, 10, 20)]
    assert [(scrap.x, scrap.width) for scrap in scraps] == [(31, 53)]


def test_columns_as_high_as_the_cloth_are_its_strips_and_are_cut_across_next():
    # Four goose squares of 5¼ in fill 21 in: common practice of a fat quarter.
    columns = [place(x, y, 21, 21) for x in (0, 21) for y in (0, 21, 42, 63)]

    cuts = dissect(columns, (72, 84), 1).cuts

    assert [(cut.depth, cut.is_across) for cut in cuts if cut.depth == 0] == [
        (0, False)
    ] * 2
    assert {(cut.depth, cut.is_across) for cut in cuts} == {(0, False), (1, True)}


def test_pieces_that_lie_like_a_pinwheel_are_not_cut_from_edge_to_edge():
    pinwheel = [
        place(0, 0, 2, 1),
        place(2, 0, 1, 2),
        place(1, 2, 2, 1),
        place(0, 1, 1, 2),
    ]

    with pytest.raises(NotByGuillotineError):
        closed_up(pinwheel, (3, 3), 1)


@st.composite
def laid(draw, width=24, height=24, x=0, y=0, across=True):
    """Places that cuts from edge to edge part, with gaps wherever they happen to be."""
    if min(width, height) < 4 or draw(st.booleans()):
        wide, high = draw(st.integers(1, width)), draw(st.integers(1, height))
        left, low = (
            draw(st.integers(0, width - wide)),
            draw(st.integers(0, height - high)),
        )
        return [place(x + left, y + low, wide, high)]
    if across:
        at = draw(st.integers(2, height - 2))
        below, above = (width, at, x, y), (width, height - at, x, y + at)
    else:
        at = draw(st.integers(2, width - 2))
        below, above = (at, height, x, y), (width - at, height, x + at, y)
    parts = (below, above)
    return [one for part in parts for one in draw(laid(*part, across=not across))]


@given(laid())
@settings(max_examples=150, deadline=None)
def test_pieces_pushed_together_are_the_same_ones_and_stay_on_the_cloth(places):
    closed = closed_up(places, (24, 24), 1)

    assert sorted((p.width, p.height) for p in closed) == sorted(
        (p.width, p.height) for p in places
    )
    assert all(p.x + p.width <= 24 and p.y + p.height <= 24 for p in closed)
    assert [*overlaps(closed)] == []
    assert (0, 0) in {(p.x, p.y) for p in closed}
    assert dissect(closed, (24, 24), 1).cuts or len(closed) == 1
