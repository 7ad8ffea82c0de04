"""Order files are read as they come, and refused with a sentence when they cannot be."""

import io
import zipfile
from datetime import datetime

import openpyxl
import pytest

from orders.filereading import (
    COLUMNS,
    FileUnreadable,
    guess_columns,
    headings_key,
    read_file,
    unmatched,
)

# Workbooks know no zones.
A_CELL_WITHOUT_ZONE = datetime.fromisoformat("2027-03-02 09:48")
LIMIT = 10 * 1024 * 1024
PLAIN = "Order,Item\nL-1,RF-090\nL-2,SG-030\n"


def read(content, name="orders.csv"):
    data = content.encode() if isinstance(content, str) else content
    return read_file(name, data, limit_bytes=LIMIT)


def cells(table):
    return [(line.number, *line.cells) for line in table.lines]


def workbook(*rows):
    book = openpyxl.Workbook()
    for row in rows:
        book.active.append(row)
    saved = io.BytesIO()
    book.save(saved)
    return saved.getvalue()


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "cp1252", "utf-16"])
def test_every_usual_encoding_reads_the_same(encoding):
    table = read("Order,Buyer\nL-1,Zoë £5\n".encode(encoding))

    assert (table.headings, cells(table)) == (
        ("Order", "Buyer"),
        [(2, "L-1", "Zoë £5")],
    )


@pytest.mark.parametrize("separator", [",", ";", "\t"])
def test_every_usual_separator_reads_the_same(separator):
    table = read(PLAIN.replace(",", separator))

    assert cells(table) == [(2, "L-1", "RF-090"), (3, "L-2", "SG-030")]


def test_a_comma_inside_quotation_marks_is_part_of_the_cell():
    # RFC 4180, section 2: commas, doubled marks and line breaks inside marks.
    table = read(
        'Order,Address\r\nL-1,"4 Weir ""Row""\r\nHexwold, ZY7 4LQ"\r\nL-2,x\r\n'
    )

    assert cells(table) == [
        (2, "L-1", '4 Weir "Row"\r\nHexwold, ZY7 4LQ'),
        (4, "L-2", "x"),
    ]


def test_blank_lines_are_skipped_and_line_numbers_are_those_of_the_file():
    assert cells(read("\nOrder,Item\n\nL-1,RF-090\n,\nL-2,x\n")) == [
        (4, "L-1", "RF-090"),
        (6, "L-2", "x"),
    ]


def test_a_workbook_reads_like_text():
    content = workbook(
        ["Order", "Placed", "Number", "Each", "Gift"],
        ["L-1", A_CELL_WITHOUT_ZONE, 2.0, 13.5, True],
    )

    assert cells(read(content, "orders.xlsx")) == [
        (2, "L-1", "02/03/2027 09:48", "2", "13.5", "yes")
    ]


@pytest.mark.parametrize(
    ("name", "content", "says"),
    [
        ("a.csv", b"", "The file is empty."),
        ("a.csv", b"\n\n", "There is nothing in the file."),
        ("a.csv", b"Order,Item\n", "The file has headings and no rows below them."),
        ("a.csv", b"PK\x03\x04rest", "is called a text file, but it is a packed one"),
        ("a.csv", b"Order\x00\x01\x02", "This is not a text file inside"),
        ("a.xlsx", b"Order,Item\nL-1,x\n", "is called a workbook, but it is not one"),
        ("a.xlsx", b"PK\x03\x04rest", "This workbook is broken"),
        ("a.xls", b"\xd0\xcf\x11\xe0", "This is an old kind of workbook (.xls)."),
        ("a.pdf", b"%PDF", "Files ending in .pdf cannot be read here."),
        ("a.csv", b"\xff\xfeA", "The letters in this file are in no alphabet"),
        ("a.csv", b"Order,A\x81\n1,2\n", "The letters in this file are in no alphabet"),
    ],
)
def test_what_cannot_be_read_says_so(name, content, says):
    with pytest.raises(FileUnreadable) as refused:
        read(content, name)

    assert says in str(refused.value)


def test_a_packed_file_that_is_no_workbook_is_refused():
    saved = io.BytesIO()
    with zipfile.ZipFile(saved, "w") as packed:
        packed.writestr("letter.txt", "Dear shop")

    with pytest.raises(FileUnreadable, match="something else that is packed"):
        read(saved.getvalue(), "a.xlsx")


def test_a_workbook_that_unpacks_without_end_is_refused():
    saved = io.BytesIO()
    with zipfile.ZipFile(saved, "w", zipfile.ZIP_DEFLATED) as packed:
        packed.writestr("xl/workbook.xml", "0" * 300_000)

    with pytest.raises(FileUnreadable, match="unpacks to far more"):
        read_file("a.xlsx", saved.getvalue(), limit_bytes=10_000)


def test_a_file_over_the_limit_is_refused_with_both_sizes():
    with pytest.raises(FileUnreadable) as refused:
        read(b"x" * (LIMIT + 1))

    assert str(refused.value).startswith(
        "The file is 10.0 MB; up to 10 MB can be read."
    )


def test_too_many_columns_and_too_many_rows_are_refused():
    wide = ",".join(f"c{n}" for n in range(101)) + "\n1\n"
    long = "Order\n" + "1\n" * 20_001

    with pytest.raises(FileUnreadable, match="101 columns; up to 100"):
        read(wide)
    with pytest.raises(FileUnreadable, match="more than 20,000 rows"):
        read(long)


def test_a_cell_without_end_names_its_line():
    with pytest.raises(FileUnreadable, match="Line 2 of the file"):
        read('Order,Note\nL-1,"' + "x" * 140_000)


def test_columns_without_names_or_with_the_same_name_are_told_apart():
    assert read("Note,,Note,\na,b,c,\n").headings == ("Note", "Column 2", "Note (2)")


def test_the_headings_of_the_demo_are_guessed():
    # The headings of the demo's own files, matched by eye.
    headings = [
        "Order",
        "Placed",
        "Buyer",
        "Address",
        "Postcode",
        "Country",
        "Item",
        "Number",
        "Each",
        "Postage",
        "Paid on",
        "Gift",
        "Send to",
        "Send to address",
        "Send to postcode",
        "Card words",
        "Needed by",
    ]

    assert guess_columns(headings) == {
        "number": "Order",
        "placed_at": "Placed",
        "buyer": "Buyer",
        "address": "Address",
        "postcode": "Postcode",
        "country": "Country",
        "item": "Item",
        "count": "Number",
        "price": "Each",
        "postage": "Postage",
        "paid": "Paid on",
        "gift": "Gift",
        "recipient": "Send to",
        "recipient_address": "Send to address",
        "recipient_postcode": "Send to postcode",
        "card_text": "Card words",
        "need_by": "Needed by",
    }


def test_other_headings_are_guessed_without_case_or_signs():
    guessed = guess_columns(["ORDER-ID", "Order date", "qty", "unit_price", "Zip"])

    assert guessed == {
        "number": "ORDER-ID",
        "placed_at": "Order date",
        "count": "qty",
        "price": "unit_price",
        "postcode": "Zip",
    }


def test_what_no_column_tells_is_named():
    assert unmatched({"number": "Order", "item": "gone"}, ["Order"]) == [
        column.words for column in COLUMNS if column.needed and column.key != "number"
    ]


def test_headings_are_recognised_in_another_order_and_not_with_others():
    key = headings_key(["Order", "Item"])

    assert headings_key(["item ", "ORDER"]) == key
    assert headings_key(["Order", "Item", "Each"]) != key
