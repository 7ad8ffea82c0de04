"""A piece as named, as drawn and as measured."""

from fractions import Fraction

import pytest

from studio.maths.sheets import sizes
from studio.maths.sheets.sizes import Measured


@pytest.mark.parametrize(
    ("nominal", "drawn"),
    [("117.475", "117.675"), ("107.95", "108.15"), ("60.325", "60.525")],
)
def test_the_cutter_gets_the_kerf_on_top(nominal, drawn):
    """A kerf of 0.2 mm; a new size worked by hand."""
    kerf = Fraction(1, 5)

    assert sizes.drawn_mm(Fraction(nominal), kerf, kerf_in=True) == Fraction(drawn)
    assert sizes.drawn_mm(Fraction(nominal), kerf, kerf_in=False) == Fraction(nominal)


def test_acrylic_grows_a_fifth_of_a_millimetre_in_ten_degrees():
    """260 mm × 7.7 × 10⁻⁵ × 10 = 0.2002 mm; arithmetic."""
    assert sizes.growth_mm(Fraction(260), 10) == Fraction("0.2002")
    assert "260 mm becomes 0.2 mm longer" in sizes.warmth_note(Fraction(260))


def test_a_warm_piece_is_judged_at_its_own_warmth():
    """260.3 mm at 30 °C is 0.0998 over 260.2002 mm, and 0.3 over 260 mm at 20 °C."""
    warm = Measured(Fraction(260), Fraction("260.3"), degrees=30)
    cool = Measured(Fraction(260), Fraction("260.3"))

    assert (warm.over_mm, warm.is_in_order) == (Fraction("0.0998"), True)
    assert (cool.over_mm, cool.is_in_order) == (Fraction("0.3"), False)
    assert cool.sentence.startswith("Not in order: 0.3 mm too large, and 0.2 mm is")
