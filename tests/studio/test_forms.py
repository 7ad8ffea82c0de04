"""What is typed into a form, and what the form makes of it."""

import csv
from datetime import date, time
from fractions import Fraction
from pathlib import Path
from uuid import UUID

import pytest
from django import forms

from inventory.errors import NotACount
from studio.errors import StudioError
from studio.forms import (
    ClockField,
    CostField,
    CountField,
    DayField,
    InchesFormField,
    LinesField,
    PoundsField,
    StudioForm,
    WholeNumberField,
)

WORKED = Path(__file__).parent.parent / "worked" / "forms_read.csv"
TODAY = date(2027, 3, 3)
FIELDS = {
    "count": (CountField, int),
    "pounds": (PoundsField, int),
    "cost": (CostField, int),
    "inches": (InchesFormField, Fraction),
    "day": (DayField, date.fromisoformat),
    "clock": (ClockField, time.fromisoformat),
}


def worked_rows():
    with WORKED.open(encoding="utf-8") as file:
        return [
            pytest.param(row, id=f"{row['field']} {row['typed']}")
            for row in csv.DictReader(file, strict=True)
        ]


def form_of(field, typed, request_id="8f14e45f-ceea-467f-ab3c-5a4f0d5c2f2a"):
    kind = type("OneBox", (StudioForm,), {"box": field})
    return kind({"box": typed, "request_id": request_id}, today=TODAY)


def error_of(field, typed):
    return form_of(field, typed).errors["box"]


@pytest.mark.parametrize("row", worked_rows())
def test_a_box_reads_what_was_typed_and_shows_it_again_as_it_would_be_typed(row):
    field_class, exact = FIELDS[row["field"]]
    form = form_of(field_class(), row["typed"])

    assert form.errors == {}
    assert form.cleaned_data["box"] == exact(row["cleaned"])
    assert field_class().prepare_value(form.cleaned_data["box"]) == row["shown"]


@pytest.mark.parametrize("row", worked_rows())
def test_what_a_box_shows_reads_back_as_the_same_value(row):
    field_class, exact = FIELDS[row["field"]]
    value = exact(row["cleaned"])

    form = form_of(field_class(), field_class().prepare_value(value))

    assert form.is_valid()
    assert form.cleaned_data["box"] == value


@pytest.mark.parametrize("typed", ["0", "-3", "2.5", "100000", "three", "1,2", "1e3"])
def test_a_count_that_is_no_count_is_refused_in_the_words_of_the_stock_book(typed):
    assert error_of(CountField(), typed) == [str(NotACount(typed))]


def test_a_range_names_its_ends():
    field = WholeNumberField(lowest=0, highest=99)

    assert error_of(field, "100") == [
        "100 does not fit here. Write a whole number from 0 to 99."
    ]


def test_money_below_nought_is_refused_unless_the_box_allows_it():
    loss = form_of(PoundsField(may_be_below_nought=True), "-0.50")

    assert error_of(PoundsField(), "-0.50") == [
        "“-0.50” is below nought. Write an amount of nought or more."
    ]
    assert loss.is_valid()
    assert loss.cleaned_data["box"] == -50


@pytest.mark.parametrize(
    "typed", ["24:00", "12:60", "quarter past", "1645", "13pm", "0am", "12"]
)
def test_a_time_that_no_clock_shows_is_refused(typed):
    assert error_of(ClockField(), typed) == [
        f"“{typed}” is not a time of day. Write it like 16:45."
    ]


def test_a_sentence_of_the_parsers_reaches_the_form_and_what_was_typed_stays():
    form = form_of(InchesFormField(), "2,5")

    assert form.errors["box"] == [
        "“2,5” has a comma. Write a point for decimals, such as 2.5."
    ]
    assert form["box"].value() == "2,5"


def test_an_empty_box_says_its_name():
    assert error_of(PoundsField(label="Courier"), " ") == [
        "Courier is empty. Fill it in, please."
    ]


def test_a_box_that_need_not_be_filled_in_gives_nothing():
    form = form_of(PoundsField(required=False), "")

    assert form.is_valid()
    assert form.cleaned_data["box"] is None


def test_each_new_form_has_a_request_id_of_its_own_and_keeps_it_when_sent_back():
    first, second = StudioForm(), StudioForm()
    sent = form_of(CountField(), "0")

    assert UUID(first["request_id"].value()).version == 4
    assert first["request_id"].value() == first["request_id"].value()
    assert first["request_id"].value() != second["request_id"].value()
    assert sent["request_id"].value() == "8f14e45f-ceea-467f-ab3c-5a4f0d5c2f2a"


def test_a_request_id_keeps_its_name_beside_a_prefix_and_has_no_id_to_clash():
    form = type("Prefixed", (StudioForm,), {"box": forms.CharField()})(prefix="left")

    assert form["box"].html_name == "left-box"
    assert str(form["request_id"]).startswith(
        '<input type="hidden" name="request_id" value="'
    )
    assert "id=" not in str(form["request_id"]).replace("_id=", "")


def test_a_mangled_request_id_asks_for_the_page_to_be_opened_again():
    form = form_of(CountField(), "6", request_id="six")

    assert form.errors["request_id"] == [
        "This page cannot be sent as it is. Open it again and send it from there."
    ]


def test_a_form_shows_an_actions_sentence_beside_its_box():
    class Odd(StudioError):
        def __str__(self):
            return "That is odd. Try an even one."

    form = form_of(CountField(), "7")

    form.refuse(Odd(), "box")

    assert form.errors == {"box": ["That is odd. Try an even one."]}


def test_lines_keep_their_breaks_and_lose_the_browsers_line_ends():
    # The HTML standard, "form data set": a browser sends CR LF between lines.
    form = form_of(LinesField(), " The Old Forge \r\nMarrowick\r\nZY4 7TQ\r\n")

    assert form.is_valid()
    assert form.cleaned_data["box"] == "The Old Forge\nMarrowick\nZY4 7TQ"
