"""A laid sheet is kept as text and measured again whenever it is read."""

from fractions import Fraction

import pytest

from studio.maths.sheets import (
    keeping,
    layout,
)
from studio.maths.sheets.keeping import KeptUnreadable
from studio.maths.sheets.outlined import OutlinePlanner
from studio.maths.sheets.problem import SheetPiece
from tests.maths.outline_pieces import USUAL, WITH_SQUARE, square

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
