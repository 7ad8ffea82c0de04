"""The saw's cuts made one by one on a sheet: every piece comes out at its size."""

from fractions import Fraction
from types import SimpleNamespace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from studio.maths.sheet_layout import Sheet
from studio.maths.sheets import layout, telling
from studio.maths.sheets.problem import SheetPiece
from studio.maths.sheets.saw_cuts import saw_cuts

GAP = Fraction(3)
SHEET = Sheet(Fraction(200), Fraction(120), Fraction(4), GAP)


def sawn(sheet, cuts, blade):
    """Make each cut in order, the blade's width gone from what is not kept."""
    parts = [(Fraction(0), Fraction(0), sheet.width_mm, sheet.height_mm)]
    for cut in cuts:
        part = next(one for one in parts if goes_through(cut, one))
        parts.remove(part)
        gone = (
            (cut.at_mm - blade, cut.at_mm)
            if cut.begins
            else (
                cut.at_mm,
                cut.at_mm + blade,
            )
        )
        low = part[0] if cut.down else part[1]
        assert cut.in_part_mm == cut.at_mm - low
        parts += [piece for piece in halves(part, cut.down, gone) if has_size(piece)]
    return parts


def goes_through(cut, part):
    left, top, right, bottom = part
    ends, across = (
        ((top, bottom), (left, right))
        if cut.down
        else (
            (left, right),
            (top, bottom),
        )
    )
    return ends == (cut.from_mm, cut.to_mm) and across[0] < cut.at_mm < across[1]


def halves(part, down, gone):
    left, top, right, bottom = part
    if down:
        return [(left, top, gone[0], bottom), (gone[1], top, right, bottom)]
    return [(left, top, right, gone[0]), (left, gone[1], right, bottom)]


def has_size(part):
    left, top, right, bottom = part
    return left < right and top < bottom


def boxes(laid):
    return sorted(
        (one.x_mm, one.y_mm, one.x_mm + one.width_mm, one.y_mm + one.height_mm)
        for one in laid
    )


pieces = st.lists(
    st.tuples(st.integers(15, 80), st.integers(15, 80), st.integers(1, 3)),
    min_size=1,
    max_size=3,
)


@settings(max_examples=30, deadline=None)
@given(pieces, st.sampled_from([Fraction(1), Fraction(11, 5), GAP]))
def test_every_piece_comes_out_at_its_size_when_the_cuts_are_made(sizes, blade):
    """The cuts are made here on parts of a sheet; plain geometry."""
    wanted = [
        SheetPiece(f"P{n}", Fraction(width), Fraction(height), count)
        for n, (width, height, count) in enumerate(sizes)
    ]
    plan = layout.lay_out(wanted, SHEET, saw=True, seconds=0.05)

    for _, ones in plan.alike():
        parts = sawn(SHEET, saw_cuts(ones, SHEET, blade_mm=blade), blade)
        assert set(boxes(ones)) <= set(parts)


def test_a_cut_leaves_alone_what_begins_where_another_piece_ends():
    """Squares of 15 mm end at 37 mm, where a piece above begins; worked by hand."""
    spots = [(4, 4, 30, 55), (37, 4, 30, 55), (4, 62, 15, 15), (22, 62, 15, 15)]
    ones = [
        SimpleNamespace(x_mm=x, y_mm=y, width_mm=width, height_mm=height)
        for x, y, width, height in spots
    ]

    first = saw_cuts(ones, SHEET)[0]

    assert (first.down, first.at_mm) == (False, 59)
    assert set(boxes(ones)) <= set(sawn(SHEET, saw_cuts(ones, SHEET), GAP))


STRIPS = Sheet(Fraction(600), Fraction(100), Fraction(3), Fraction(3))


def strip_cuts(blade):
    strip = SheetPiece("Strip", Fraction(196), Fraction(94), 3, turns=False)
    plan = layout.lay_out([strip], STRIPS, saw=True)
    return saw_cuts(plan.laid, STRIPS, blade_mm=Fraction(blade))


@pytest.mark.parametrize(("blade", "count"), [("3", 10), ("2", 12)])
def test_three_strips_are_parted_and_freed_of_the_edges(blade, count):
    """Strips of 196 × 94 mm at 3, 202 and 401 mm, an edge of 3 mm; worked by hand.

    Two cuts part them; each is trimmed above and below, the first on its left and the
    last on its right: 2 + 6 + 1 + 1. A blade of 2 mm in a gap of 3 mm leaves 1 mm too
    much on the left of the second and of the third.
    """
    assert len(strip_cuts(blade)) == count


def test_a_cut_says_how_to_set_it_on_the_part_in_hand():
    """The second strip is parted off beyond 202 mm; worked by hand."""
    words = [telling.cut_words(cut) for cut in strip_cuts(3)]

    assert words[0] == (
        "Down, 100 mm long, 199 mm from the left: "
        "keep 199 mm from the left of this part to the blade."
    )
    assert words[1] == (
        "Down, 100 mm long, 3 mm from the left: "
        "take 3 mm off the left of this part, blade and all."
    )
    assert words[4] == (
        "Down, 100 mm long, 398 mm from the left: "
        "keep 196 mm from the left of this part to the blade."
    )
    assert words[9] == (
        "Across, 196 mm long, 97 mm from the top: "
        "keep 94 mm from the top of this part to the blade."
    )
