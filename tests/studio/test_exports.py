"""CSV files against RFC 4180 and the guard against formulas."""

from __future__ import annotations

import csv
import io
from datetime import UTC, date, datetime
from decimal import Decimal
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from studio import exports

WORKED = Path(__file__).parents[1] / "worked" / "csv.csv"
ESCAPED = {"\\t": "\t", "\\r": "\r", "\\n": "\n", "\\0": "\0"}


def plain(text):
    for written, meant in ESCAPED.items():
        text = text.replace(written, meant)
    return text


def worked(rule):
    with WORKED.open(newline="", encoding="utf-8") as file:
        rows = [row for row in csv.DictReader(file) if row["rule"] == rule]
    return [
        pytest.param(plain(row["text"]), plain(row["expected"]), id=row["text"] or "-")
        for row in rows
    ]


def read_back(made):
    return list(csv.reader(io.StringIO(made.decode(), newline="")))


@pytest.mark.parametrize(("text", "expected"), worked("guard"))
def test_a_text_that_a_spreadsheet_would_run_gets_an_apostrophe(text, expected):
    made = exports.csv_bytes(["name", "end"], [[text, "x"]])

    assert read_back(made)[1][0] == expected


@pytest.mark.parametrize(("text", "expected"), worked("quote"))
def test_a_field_is_quoted_as_the_standard_says(text, expected):
    made = exports.csv_bytes(["name", "end"], [[text, "x"]])

    assert made.decode() == f"name,end\r\n{expected},x\r\n"


def test_numbers_days_and_empty_cells_are_left_alone():
    row = [-5, Decimal("-0.50"), Decimal("1E+3"), date(2027, 3, 3), None, True]
    moment = datetime(2027, 3, 3, 8, 30, tzinfo=UTC)

    made = exports.csv_bytes(list("abcdefg"), [[*row, moment]])

    assert made == (
        b"a,b,c,d,e,f,g\r\n-5,-0.50,1000,2027-03-03,,1,2027-03-03T08:30:00+00:00\r\n"
    )


def test_a_header_is_guarded_too():
    assert exports.csv_bytes(["=name"], []) == b"'=name\r\n"


def test_letters_beyond_ascii_are_kept():
    made = exports.csv_bytes(["price", "size"], [["£1.50", "4⅝"]])

    assert made.decode("utf-8") == "price,size\r\n£1.50,4⅝\r\n"


@pytest.mark.parametrize("row", [["one"], ["one", "two", "three"]])
def test_a_row_of_another_length_than_the_header_is_refused(row):
    with pytest.raises(ValueError, match="argument 2"):
        exports.csv_bytes(["a", "b"], [row])


@given(st.lists(st.lists(st.text(), min_size=3, max_size=3), max_size=5))
def test_every_text_comes_back_whole_and_none_can_run(rows):
    made = exports.csv_bytes(["a", "b", "c"], rows)

    back = read_back(made)[1:]

    assert [[cell.removeprefix("'") for cell in row] for row in back] == [
        [cell.removeprefix("'") for cell in row] for row in rows
    ]
    assert not any(cell[:1] and cell[0] in "=+-@\t\r\n\0" for r in back for cell in r)
