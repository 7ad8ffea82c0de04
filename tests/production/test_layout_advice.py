"""Advice on layouts against the sums of the cutting log, worked by hand."""

from __future__ import annotations

from fractions import Fraction

import pytest

from production.layout_advice import layout_faults, sheet_for_shortfall
from production.sheetplan import Layout

USUAL = Fraction(1, 20)
LB = Layout("LB", {"SQ350": 24}, 26)
LE = Layout("LE", {"A1025": 1, "SQ950": 1, "SQ350": 6}, 21)
LG = Layout("LG", {"A388": 10, "C200": 10, "SQ350": 6}, 30)
LH = Layout("LH", {"A538": 4, "C275": 4, "SQ500": 2, "SQ350": 6}, 27)
LF = Layout("LF", {"A238": 18, "B200": 18, "C125": 18}, 38)
RECIPES = {
    "SP-350": {"SQ350": 1},
    "SG-090": {"A1025": 1, "SQ950": 1},
    "RF-045": {"A238": 1, "B200": 1, "C125": 1},
    "RF-090": {"A388": 1, "SQ350": 1, "C200": 1},
    "RF-135": {"A538": 1, "SQ500": 1, "C275": 1},
}


def test_six_squares_short_want_a_sheet_of_squares():
    suggestion = sheet_for_shortfall({"SQ350": 6}, (LE, LB), USUAL)

    assert (suggestion.best.layout.code, suggestion.best.sheets) == ("LB", 1)
    assert suggestion.best.minutes == 26
    (nine_inch,) = suggestion.others
    assert float(nine_inch.chance_of_one_sheet) == pytest.approx(0.735, abs=0.0005)
    assert suggestion.reasons == (
        "Cut 1 sheet of LB, 26 minutes, for 6 SQ350: enough good pieces "
        "99 times in 100.",
        "1 sheet of LE is enough only 73 times in 100, and it adds A1025, SQ950 "
        "nobody has asked for.",
    )


def test_quicker_sheets_with_pieces_nobody_asked_for_come_second():
    # Worked by hand: one LE would do and takes 21 minutes against 26.
    suggestion = sheet_for_shortfall({"SQ350": 2}, (LE, LB), USUAL)

    assert suggestion.best.layout.code == "LB"
    assert suggestion.others[0].sheets == 1
    assert suggestion.reasons[1] == (
        "1 sheet of LE takes 21 minutes, and it adds A1025, SQ950 nobody has asked for."
    )


def test_the_only_layout_that_gives_the_piece_may_take_two_sheets():
    # Worked by hand: all six good 0.735; six or more of twelve is nearly sure.
    suggestion = sheet_for_shortfall({"SQ350": 6}, (LE,), USUAL)

    assert (suggestion.best.layout.code, suggestion.best.sheets) == ("LE", 2)


def test_no_layout_gives_all_the_short_pieces():
    assert sheet_for_shortfall({"SQ350": 1, "A238": 1}, (LB, LF), USUAL) is None
    assert sheet_for_shortfall({"SQ350": 0}, (LB,), USUAL) is None


def test_layouts_that_give_too_few_shared_squares_are_named():
    faults = layout_faults((LB, LE, LF, LG, LH), RECIPES)

    assert [fault.sentence for fault in faults] == [
        "Layout LG gives 10 A388 but 6 SQ350: four short for each sheet.",
        "Layout LH gives 4 A538 but 2 SQ500: two short for each sheet.",
    ]
