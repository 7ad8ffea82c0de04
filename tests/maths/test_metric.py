"""Metric practice and what a finished size may be, against printed constants."""

from __future__ import annotations

from fractions import Fraction

import pytest

from studio.lengths import MM_IN_AN_INCH, show_inches
from studio.maths import blocks, patches
from studio.maths.finished_sizes import (
    FinishedUnreadable,
    SizeAbsurd,
    SizeImpossible,
    SizeTooFine,
    read_finished,
)
from studio.maths.metric import INCH, METRIC, metric_ruler, redrafted
from studio.maths.patch.recipe import Cutting, Making
from tests.maths import worked

SEAMS = pytest.mark.parametrize(
    "row", worked.rows("trade_metric.csv"), ids=lambda r: r["seam_mm"]
)


def cut_mm(row, cutting):
    """What a square, a half and a quarter square add to a finished side of 5 cm."""
    side = 50 / MM_IN_AN_INCH
    making = Making(cutting, metric_ruler(Fraction(row["seam_mm"])))
    return [
        patch.recipe(side, side, making).pieces[0].width_inches * MM_IN_AN_INCH - 50
        for patch in (patches.SQUARE, patches.HALF, patches.HOURGLASS)
    ]


@SEAMS
def test_metric_sizes_are_cut_by_the_printed_constants(row):
    assert cut_mm(row, Cutting.TRADE) == [
        Fraction(row[name]) for name in ("square_mm", "half_mm", "quarter_mm")
    ]


@SEAMS
def test_exact_metric_sizes_are_the_printed_ones(row):
    square, half, quarter = cut_mm(row, Cutting.EXACT)

    assert square == 2 * Fraction(row["seam_mm"])
    assert f"{float(half) / 10:.3f}" == row["half_exact_cm"]
    assert f"{float(quarter) / 10:.3f}" == row["quarter_exact_cm"]


def test_a_length_that_is_on_no_mark_is_said_to_be_about_so_long():
    """10 cm ÷ 3 = 3.333…, and 6.35 mm is 0.635 cm exactly: worked by hand."""
    assert METRIC.show(100 / MM_IN_AN_INCH / 3) == "about 3.333 cm"
    assert METRIC.show(Fraction(1, 4)) == "0.635 cm"


@pytest.mark.parametrize(
    "row", worked.rows("trade_redrafted.csv"), ids=lambda r: r["inches"]
)
def test_a_block_is_redrafted_on_centimetres_and_not_multiplied(row):
    shown = METRIC.show(redrafted(Fraction(row["inches"])))

    assert shown == f"{row['centimetres']} cm"


@pytest.mark.parametrize(
    ("typed", "error", "words"),
    [
        ("0", SizeImpossible, "Write how large the snowball ends up."),
        ("3000", SizeAbsurd, "The snowball would be 3000 in finished, and 150 in"),
        ("150 1/16", SizeAbsurd, "would be 150 1/16 in finished, and 150 in is the"),
        ("3 1/32", SizeTooFine, "whose finest is 1/16 in. Write 3 in or 3 1/16 in."),
        ("1/64", SizeTooFine, "Write 1/16 in."),
        (
            "4 5/0",
            FinishedUnreadable,
            "The size of the snowball cannot be read. Nothing",
        ),
        ("4.5.1", FinishedUnreadable, "“4.5.1” is not a length"),
        ("-3", FinishedUnreadable, "below nought"),
        ("", FinishedUnreadable, "No length is written"),
    ],
)
def test_a_size_that_no_quilter_means_is_refused_by_name(typed, error, words):
    with pytest.raises(error) as refused:
        read_finished("snowball", typed)

    assert words in str(refused.value)


def test_the_largest_size_is_taken_just_so():
    """No bed quilt of the guide is wider than 104 in; 150 is the house's limit."""
    assert read_finished("snowball", "150") == 150
    assert read_finished("snowball", "1/16") == Fraction(1, 16)


@pytest.mark.parametrize("finished", [Fraction(0), Fraction(-1)])
def test_a_patch_of_no_size_is_refused(finished):
    with pytest.raises(SizeImpossible, match="above nought"):
        patches.recipe("snowball", finished, finished)


def test_a_size_between_half_millimetres_is_refused_in_metric():
    with pytest.raises(SizeTooFine, match=r"10 cm or 10\.05 cm"):
        read_finished("square", "100.2 mm", METRIC)


def test_the_inch_ruler_keeps_the_trade_constants():
    assert [
        show_inches(c) for c in (INCH.half_square_inches, INCH.quarter_square_inches)
    ] == ["⅞", "1¼"]


def test_metric_trade_sizes_come_with_a_word_of_caution():
    """Units 0.6 and 1.2 mm small: printed metric practice."""
    assert "Sew a seam of 7.3 mm" in Making(ruler=METRIC).note
    assert "rounded outward to 0.001 mm" in Making(Cutting.EXACT, METRIC).note
    assert Making().note == ""


REDRAFTED = [
    "sawtooth star",
    "Ohio star",
    "friendship star",
    "nine-patch",
    "churn dash",
]


@pytest.mark.parametrize("name", REDRAFTED)
@pytest.mark.parametrize("inches", [6, 12])
def test_a_redrafted_block_is_cut_on_millimetres_or_quarter_centimetres(name, inches):
    """2.5 cm for an inch, seams of 0.75 cm, cut in steps of 0.1 or 0.25: printed
    metric practice."""
    block = worked.BLOCKS[name]

    cut = blocks.cut_list(block, redrafted(Fraction(inches)), Making(ruler=METRIC))

    tenths = [p.width_inches * MM_IN_AN_INCH * 4 for p in cut]
    assert [side.denominator for side in tenths] == [1] * len(tenths)
    assert all(side % 4 == 0 or side % 10 == 0 for side in tenths)


def test_a_metric_block_of_thirds_is_unkind():
    """10 cm ÷ 3 is on no mark; 9.9 and 10.2 are the nearest: worked by hand."""
    size = 100 / MM_IN_AN_INCH

    with pytest.raises(blocks.SizeUnkind) as refused:
        blocks.cut_list(worked.BLOCKS["nine-patch"], size, Making(ruler=METRIC))

    assert "The nearest kind sizes are 9.9 cm and 10.2 cm." in str(refused.value)
