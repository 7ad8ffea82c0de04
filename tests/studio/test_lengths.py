"""Lengths against worked rows: reading, writing, and what to draw at."""

from __future__ import annotations

import csv
from fractions import Fraction
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from studio import lengths

WORKED = Path(__file__).parents[1] / "worked" / "lengths.csv"


def worked_rows():
    with WORKED.open(newline="", encoding="utf-8") as file:
        return list(csv.DictReader(file))


@pytest.mark.parametrize("row", worked_rows(), ids=lambda row: row["typed"])
def test_a_length_is_read_as_a_quilter_writes_it(row):
    assert lengths.parse_length(row["typed"]) == Fraction(row["inches"])


@pytest.mark.parametrize("row", worked_rows(), ids=lambda row: row["typed"])
def test_a_length_is_written_as_a_ruler_and_a_cutter_want_it(row):
    inches = Fraction(row["inches"])

    assert lengths.show_inches(inches) == row["shown_inches"]
    assert lengths.show_mm(inches) == row["shown_mm"]


@pytest.mark.parametrize(
    ("typed", "part_of_the_sentence"),
    [
        ("", "No length is written"),
        ("  ", "No length is written"),
        ("big", "is not a length"),
        ("in", "is not a length"),
        ("2 furlongs", "“furlongs” is not a unit known here"),
        ("2 ft", "“ft” is not a unit known here"),
        ("-2", "below nought"),
        ("−1/2", "below nought"),
        ("2,5", "has a comma"),
        ("2,5 cm", "has a comma"),
        ("2 5/4", "If 3¼ is meant, write that"),
        ("2 4/4", "If 3 is meant, write that"),
        ("1/0", "parted into noughts"),
        ("4 1/0", "parted into noughts"),
        ("1.12345", "more figures after the point"),
        ("1e3", "is not a length"),
        ("nan", "is not a length"),
        ("inf", "is not a length"),
        ("2.5.1", "is not a length"),
        ("2 1/2/3", "is not a length"),
        ("2 2", "is not a length"),
        ("2 1/", "is not a length"),
        ("1/2½", "is not a length"),
        ("10001", "longer than any bolt"),
        ("300 m", "longer than any bolt"),
        ("9" * 5000, "is not a length"),
        ("٣", "is not a length"),
        ("<b>2</b>", "is not a length"),
    ],
)
def test_an_unreadable_length_is_named_in_a_sentence_and_kept(
    typed, part_of_the_sentence
):
    with pytest.raises(lengths.LengthUnreadable) as caught:
        lengths.parse_length(typed)

    assert part_of_the_sentence in str(caught.value)
    assert str(caught.value).endswith(".")
    assert caught.value.typed == typed


@given(
    st.integers(0, 9_999), st.integers(0, 63), st.sampled_from([2, 4, 8, 16, 32, 64])
)
def test_what_is_shown_in_inches_can_be_typed_back(whole, top, bottom):
    inches = whole + Fraction(top % bottom, bottom)

    assert lengths.parse_length(lengths.show_inches(inches)) == inches


@given(st.integers(0, 9_999 * 64))
def test_sixty_fourths_are_exact_in_millimetres(sixty_fourths):
    inches = Fraction(sixty_fourths, 64)

    shown = lengths.show_mm(inches)

    assert Fraction(shown.removesuffix(" mm")) * 5 == inches * 127


@pytest.mark.parametrize(
    ("inches", "shown"),
    [
        (Fraction(-1, 16), "−1/16"),
        (Fraction(-17, 16), "−1 1/16"),
        (Fraction(-5, 2), "−2½"),
        (Fraction(-1, 3), "about −0.333"),
    ],
)
def test_a_difference_below_nought_keeps_its_sign(inches, shown):
    assert lengths.show_inches(inches) == shown


@pytest.mark.parametrize(
    ("inches", "draw_at"),
    [
        ("4 5/8", "117.675 mm"),
        ("4 1/4", "108.15 mm"),
        ("2 3/8", "60.525 mm"),
    ],
)
def test_a_piece_is_drawn_larger_by_the_kerf(inches, draw_at):
    """A new size with a kerf of 0.2 mm; worked by hand."""
    size = lengths.parse_length(inches)

    drawn = lengths.cutter_mm(size, kerf_tenths_mm=2)

    assert lengths.show_millimetres(drawn) == draw_at


def test_what_a_cutter_cannot_follow_is_rounded_up_never_down():
    """1/64 in is 0.396875 mm; 1/3 in is 8.4666… mm; worked by hand."""
    sixty_fourth = lengths.cutter_mm(Fraction(1, 64), kerf_tenths_mm=0)
    third = lengths.cutter_mm(Fraction(1, 3), kerf_tenths_mm=0)

    assert (sixty_fourth, third) == (Fraction("0.397"), Fraction("8.467"))
