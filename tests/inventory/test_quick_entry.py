"""The first five minutes: a list in, a promise number out."""

import io
from uuid import uuid4

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from openpyxl import Workbook

from inventory.models import Entry, Item
from inventory.quick_lines import MOST_LINES
from tests.factories.inventory import SetFactory
from tests.inventory.conftest import sentence_of, words_of

PAGE = "/goods/begin/"


def look(client, lines="", file=None):
    fields = {"request_id": str(uuid4()), "lines": lines}
    if file is not None:
        fields["file"] = file
    return client.post(PAGE, fields)


def boxes_of(page):
    """Return the second form as the page gives it, ready to be sent."""
    data = {"request_id": str(page.context["request_id"])}
    lines = page.context["lines"]
    data["form-TOTAL_FORMS"] = str(len(lines.forms))
    data["form-INITIAL_FORMS"] = "0"
    for form in lines.forms:
        for field in form:
            data[field.html_name] = field.value() or ""
    return data


def save(client, page, **changed):
    return client.post(PAGE, {**boxes_of(page), **changed}, follow=True)


def spreadsheet(rows):
    book, file = Workbook(), io.BytesIO()
    for row in rows:
        book.active.append(row)
    book.save(file)
    return SimpleUploadedFile("shelf.xlsx", file.getvalue())


def test_of_the_list_and_the_file_neither_is_called_optional(owner):
    assert "if there is one" not in words_of(owner.get("/goods/begin/"))


def test_one_line_gives_the_first_promise_number(owner):
    page = look(owner, "Ringfence set, 9 in, 19")
    assert sentence_of(page) == "One line is ready to be saved."
    assert Item.objects.count() == 0

    page = save(owner, page)

    assert (
        "One thing is in the book. The first promise number: Ringfence set, 9 in, 19 "
        "can be promised now." in words_of(page)
    )
    assert sentence_of(page) == (
        "Ringfence set, 9 in: nineteen now, and no more by tonight."
    )


def test_codes_and_kinds_are_guessed_and_may_be_changed(owner):
    page = look(owner, "Ringfence set, 9 in, 19\nTea cosy, 4")

    save(owner, page, **{"form-0-code": "RF-090", "form-1-kind": "pattern"})

    found = {item.code: item.kind for item in Item.objects.all()}
    assert found == {"RF-090": "set", "TC": "pattern"}


@pytest.mark.parametrize("typed", ["2.5", "-3", "1000000", "=2+2", "lots", "1e3"])
def test_what_is_no_count_is_named_by_its_line_and_nothing_is_lost(owner, typed):
    page = look(owner, f"Tea cosy, 4\nRingfence set, {typed}\nPins, 7")

    words, html = words_of(page), page.content.decode()
    assert sentence_of(page) == "One of 3 needs a look before anything is saved."
    assert f"Line 2: {typed} is not a number of goods this book can take." in words
    assert all(f'value="{kept}"' in html for kept in ("Tea cosy", typed, "Pins"))
    assert Item.objects.count() == 0


def test_a_formula_is_refused_in_a_name_too(owner):
    page = look(owner, "=HYPERLINK(A1), 4")

    assert (
        "Line 1: “=HYPERLINK(A1)” begins like a formula. Write the words or the number "
        "itself." in words_of(page)
    )


def test_a_line_without_a_count_asks_how_many(owner):
    page = look(owner, "Tea cosy")

    assert "Line 1: How many are there? Write a whole number." in words_of(page)


def test_a_line_put_right_in_place_is_saved_with_the_rest(owner):
    page = look(owner, "Tea cosy, 4\nPins, 2.5")

    save(owner, page, **{"form-1-count": "2"})

    assert sorted(Item.objects.values_list("name", flat=True)) == ["Pins", "Tea cosy"]


def test_an_emptied_line_is_left_out(owner):
    page = look(owner, "Tea cosy, 4\nPins, 2.5")
    emptied = dict.fromkeys(("form-1-name", "form-1-count", "form-1-code"), "")

    save(owner, page, **emptied)

    assert [item.name for item in Item.objects.all()] == ["Tea cosy"]


def test_the_same_list_sent_twice_is_in_the_book_once(owner):
    page = look(owner, "Tea cosy, 4\nPins, 7")
    save(owner, page)

    again = save(owner, page)

    assert "Two things are in the book." in words_of(again)
    assert (Item.objects.count(), Entry.objects.count()) == (2, 2)


def test_names_and_codes_that_are_taken_are_refused_line_by_line(owner):
    SetFactory(held=3)
    page = look(owner, "ringfence set, 9 in, 4\nTea cosy, 1, RF-090\nPins, 1\npins, 2")

    words = words_of(page)

    assert "Line 1: ringfence set, 9 in is in the book already." in words
    assert "Line 2: RF-090 is a code already." in words
    assert "Line 4: pins stands in the list twice." in words
    assert Item.objects.count() == 1


def test_a_pasted_table_and_a_csv_file_read_alike(owner):
    pasted = look(owner, "Code\tName\tCount\nRF-090\tRingfence set\t16")
    file = SimpleUploadedFile(
        "shelf.csv", "Code;Name;Count\r\nRF-090;Ringfence set;16\r\n".encode("cp1252")
    )
    filed = look(owner, file=file)

    kept = [
        {k: v for k, v in boxes_of(page).items() if k != "request_id"}
        for page in (pasted, filed)
    ]
    assert kept[0] == kept[1]
    assert kept[0]["form-0-code"] == "RF-090"


def test_a_spreadsheet_is_read_and_its_formula_refused(owner):
    page = look(
        owner,
        file=spreadsheet(
            [["Name", "Count"], ["Tea cosy", 4.0], ["Pins", 2.5], ["Thread", "=B2*2"]]
        ),
    )

    words = words_of(page)
    assert boxes_of(page)["form-0-count"] == "4"
    assert "Line 2: 2.5 is not a number of goods" in words
    assert "Line 3: =B2*2 is not a number of goods" in words


@pytest.mark.parametrize(
    ("content", "sentence"),
    [
        (b"PK\x03\x04broken", "This spreadsheet cannot be opened."),
        (b"\x89PNG\x00\x00", "This file is neither a CSV nor a spreadsheet."),
        (b"", "There is nothing to read yet. Type a line, or choose a file."),
    ],
    ids=["broken", "picture", "empty"],
)
def test_a_file_that_is_no_list_is_refused_with_a_sentence(owner, content, sentence):
    page = look(owner, file=SimpleUploadedFile("shelf.xlsx", content))

    assert sentence in words_of(page)


def test_a_file_above_the_limit_is_refused_unread(owner, settings):
    settings.UPLOAD_LIMIT_BYTES = 10

    page = look(owner, file=SimpleUploadedFile("shelf.csv", b"Tea cosy,4\r\n"))

    assert "shelf.csv is too large for a list of goods." in words_of(page)


def test_more_lines_than_a_page_holds_are_sent_in_parts(owner):
    typed = "\n".join(f"Thing number {n}, 1" for n in range(MOST_LINES + 1))

    page = look(owner, typed)

    assert "301 lines are too many at once. Send up to 300" in words_of(page)
    assert "Thing number 300, 1" in page.content.decode()
