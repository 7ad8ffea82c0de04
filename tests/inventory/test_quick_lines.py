"""Lists as people jot them down. Source: common practice; the wording is our own."""

import pytest

from inventory.quick_lines import (
    QuickLine,
    code_for,
    guess_kind,
    read_rows,
    read_typed,
)


@pytest.mark.parametrize(
    ("typed", "line"),
    [
        ("Sandglass set, 3 in, 9", QuickLine("Sandglass set, 3 in", "9")),
        ("Ringfence set, 16, RF-090", QuickLine("Ringfence set", "16", "RF-090")),
        ("Tea towel, 2.5", QuickLine("Tea towel", "2.5")),
        ("Tea towel, -3", QuickLine("Tea towel", "-3")),
        ("12 tea towels", QuickLine("tea towels", "12")),
        ("tea towels × 12", QuickLine("tea towels", "12")),
        ("tea towels 12", QuickLine("tea towels", "12")),
        ("tea towels", QuickLine("tea towels", "")),
        ("Pins; 40", QuickLine("Pins", "40")),
        ("=SUM(A1:A9), 4", QuickLine("=SUM(A1:A9)", "4")),
    ],
)
def test_a_typed_line_gives_its_name_and_count(typed, line):
    assert read_typed(typed) == [line]


def test_empty_lines_are_left_out_and_order_is_kept():
    lines = read_typed("Pins, 4\r\n\r\n  \nThread, 7\n")

    assert lines == [QuickLine("Pins", "4"), QuickLine("Thread", "7")]


def test_a_heading_tells_the_columns_whatever_their_order():
    rows = [["Quantity", "Code", "Item"], ["4", "PN-1", "Pins"], ["7", "", "Thread"]]

    assert read_rows(rows) == [QuickLine("Pins", "4", "PN-1"), QuickLine("Thread", "7")]


def test_pasted_columns_without_a_heading_are_told_by_their_looks():
    lines = read_typed("RF-090\tRingfence set, 9 in\t16\nPT-LTR\tTool roll\t22")

    assert lines == [
        QuickLine("Ringfence set, 9 in", "16", "RF-090"),
        QuickLine("Tool roll", "22", "PT-LTR"),
    ]


@pytest.mark.parametrize(
    ("name", "kind"),
    [
        ("Ringfence set, 9 in", "set"),
        ("Fog on the Fell, fat quarters × 5", "bundle"),
        ("Pattern: Nine Hearths quilt", "pattern"),
        ("Sandglass booklet", "booklet"),
        ("Clear acrylic sheet", "sheet"),
        ("Spare 3½ in square", "single"),
        ("Grip dots, refill card", "consumable"),
        ("Duo gift box", "gift"),
        ("Tea cosy", "made"),
    ],
)
def test_the_kind_is_guessed_from_the_name(name, kind):
    assert guess_kind(name) == kind


@pytest.mark.parametrize(
    ("name", "taken", "code"),
    [
        ("Ringfence set, 9 in", (), "RSI-9"),
        ("Tea cosy", (), "TC"),
        ("Tea cosy", ("TC",), "TC-2"),
        ("Tea cosy", ("tc", "TC-2"), "TC-3"),
        ("½", (), "X"),
    ],
)
def test_a_code_is_made_from_the_name_and_is_nobody_elses(name, taken, code):
    assert code_for(name, taken) == code
