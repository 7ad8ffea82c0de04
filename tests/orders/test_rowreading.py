"""Rows become orders; what cannot be right stays out with its line and its reason."""

from datetime import date, datetime, timedelta, timezone

import pytest

from orders.filereading import read_file
from orders.rowreading import HowToRead, read_orders
from studio.days import LONDON

NOW = datetime(2027, 3, 3, 8, 30, tzinfo=LONDON)
HEADINGS = {
    "number": "Order",
    "placed_at": "Placed",
    "buyer": "Buyer",
    "address": "Address",
    "item": "Item",
    "count": "Number",
    "price": "Each",
}
GOOD = {
    "Order": "L-1",
    "Placed": "02/03/2027 09:48",
    "Buyer": "Una",
    "Address": "1 Rope Lane, Marrowick, ZY1 1AP",
    "Item": "RF-090",
    "Number": "1",
    "Each": "21.00",
}


NAMES = {"ringed set": ["RF-090"], "tea towel": ["TT-1", "TT-2"], "sg-030": ["X"]}


def read(*rows, columns=None, day_order="dmy"):
    rows = [GOOD | row for row in rows]
    more = {key: key for key in columns or ()}
    headings = list(rows[0])
    lines = [
        "\t".join(headings),
        *("\t".join(row.get(h, "") for h in headings) for row in rows),
    ]
    table = read_file("a.tsv", "\n".join(lines).encode(), limit_bytes=10**6)
    how = HowToRead(HEADINGS | more, day_order, NOW, ["RF-090", "SG-030"], NAMES)
    return read_orders(table, how)


def only(reading):
    [order] = reading.orders
    return order


@pytest.mark.parametrize(
    ("typed", "code"),
    [("Ringed Set", "RF-090"), ("rf-090", "RF-090"), ("SG-030", "SG-030")],
)
def test_an_item_is_told_by_its_code_or_by_a_name_only_it_has(typed, code):
    """Common practice: a shop's file may tell goods by name alone."""
    [line] = only(read({"Item": typed})).lines

    assert line.item_code == code


def test_a_name_that_two_items_share_tells_none_of_them():
    [(_, reason)] = reasons(read({"Item": "Tea towel"}))

    assert reason.startswith("There is no item with the code Tea towel.")


def reasons(reading):
    return [(one.line.number, one.reason) for one in reading.refused]


@pytest.mark.parametrize(
    ("typed", "moment"),
    [
        ("02/03/2027 09:48", (3, 2, 9, 48)),
        ("2/3/27 9.48", (3, 2, 9, 48)),
        ("2 March 2027, 09:48", (3, 2, 9, 48)),
        ("2027-03-02 09:48:13", (3, 2, 9, 48)),
        ("2027-03-02T09:48", (3, 2, 9, 48)),
        ("02/03/2027 9:48 pm", (3, 2, 21, 48)),
        ("02/03/2027 12:05 am", (3, 2, 0, 5)),
        ("02/03/2027", (3, 2, 0, 0)),
        ("yesterday", (3, 2, 0, 0)),
    ],
)
def test_days_are_read_the_british_way(typed, moment):
    month, day, hour, minute = moment

    order = only(read({"Placed": typed}))

    assert order.placed_at == datetime(2027, month, day, hour, minute, tzinfo=LONDON)


def test_a_moment_with_its_own_zone_is_kept():
    two_hours_east = timezone(timedelta(hours=2))

    order = only(read({"Placed": "2027-03-02T23:48:00+02:00"}))

    assert order.placed_at == datetime(2027, 3, 2, 23, 48, tzinfo=two_hours_east)


def test_a_file_may_put_the_year_first():
    order = only(read({"Placed": "2027/03/02 09:48"}, day_order="ymd"))

    assert order.placed_at.date() == date(2027, 3, 2)


@pytest.mark.parametrize(
    ("changed", "says"),
    [
        ({"Item": "RF-09"}, "no item with the code RF-09. Is it RF-090?"),
        ({"Item": "QQQ"}, "Check it, or add the item first."),
        ({"Number": "-1"}, "-1 is not a number of goods"),
        ({"Number": "1.5"}, "1.5 is not a number of goods"),
        ({"Number": "0"}, "0 is not a number of goods"),
        ({"Number": "1000000"}, "1000000 is not a number of goods"),
        ({"Number": "two"}, "two is not a number of goods"),
        ({"Number": ""}, "It does not say how many."),
        ({"Each": "-1.00"}, "-1.00 is below nought."),
        ({"Each": "1.005"}, "goes beyond whole pence"),
        ({"Each": ""}, "There is no price."),
        ({"Placed": "30/02/2027"}, "30 February does not exist"),
        ({"Placed": "04/03/2027"}, "which is still to come"),
        ({"Placed": "soon"}, "“soon” does not read as a day."),
        ({"Placed": "02/03/2027 25:00"}, "has a time that no clock shows"),
        ({"Buyer": ""}, "There is no buyer’s name."),
        ({"Buyer": "x" * 121}, "is 121 signs long; up to 120 fit"),
        ({"Order": ""}, "There is no order number."),
        ({"Address": ""}, "There is no address."),
    ],
)
def test_a_row_that_cannot_be_right_is_refused_with_its_line(changed, says):
    reading = read({"Order": "L-0"}, changed)

    [(line, reason)] = reasons(reading)
    assert line == 3
    assert says in reason
    assert [order.number for order in reading.orders] == ["L-0"]


def test_an_order_with_one_bad_line_stays_out_whole_and_the_rest_goes_in():
    reading = read(
        {"Order": "L-1"},
        {"Order": "L-2"},
        {"Order": "L-1", "Number": "1.5"},
    )

    assert [order.number for order in reading.orders] == ["L-2"]
    assert reasons(reading) == [
        (
            2,
            "Line 4 of the same order, L-1, does not go in, so this one waits with it.",
        ),
        (
            4,
            "1.5 is not a number of goods this book can take. "
            "Write a whole number from 1 to 99,999.",
        ),
    ]


def test_rows_of_one_number_are_one_order():
    order = only(read({"Number": "2"}, {"Item": "sg-030", "Each": "£13.50"}))

    assert [(one.item_code, one.count, one.price_pence) for one in order.lines] == [
        ("RF-090", 2, 2100),
        ("SG-030", 1, 1350),
    ]
    assert [row.number for row in order.rows] == [2, 3]


def test_two_buyers_under_one_number_are_refused():
    reading = read({"Buyer": "Una"}, {"Buyer": "Wilma"})

    assert reading.orders == ()
    assert "is for Una on line 2 and for Wilma here" in reading.refused[1].reason


@pytest.mark.parametrize(
    ("typed", "paid", "paid_at"),
    [
        ("yes", "paid", (2, 9, 48)),
        ("02/03/2027 11:00", "paid", (2, 11, 0)),
        ("", "awaited", None),
        ("no", "awaited", None),
        ("no charge", "free", None),
    ],
)
def test_the_paid_column_says_yes_no_or_when(typed, paid, paid_at):
    order = only(read({"paid": typed}, columns=["paid"]))

    moment = paid_at and datetime(2027, 3, *paid_at, tzinfo=LONDON)
    assert (order.paid, order.paid_at) == (paid, moment)


def test_without_a_paid_column_the_shop_sends_paid_orders():
    order = only(read({}))

    assert (order.paid, order.paid_at) == ("paid", order.placed_at)


def test_a_payment_still_to_come_is_refused():
    reading = read({"paid": "04/03/2027"}, columns=["paid"])

    assert "which is still to come" in reading.refused[0].reason


def test_a_gift_has_its_own_address_words_and_day():
    order = only(
        read(
            {
                "gift": "Yes",
                "recipient": "Fern",
                "recipient_address": "8 Weir Lane, Thrimble",
                "recipient_postcode": "zy6 2fr",
                "card_text": "With love",
                "need_by": "07/03/2027",
                "postage": "3.50",
            },
            columns=[
                "gift",
                "recipient",
                "recipient_address",
                "recipient_postcode",
                "card_text",
                "need_by",
                "postage",
            ],
        )
    )

    assert order.recipient_address.postcode == "ZY6 2FR"
    assert (order.is_gift, order.recipient, order.card_text) == (
        True,
        "Fern",
        "With love",
    )
    assert (order.need_by, order.postage_pence) == (date(2027, 3, 7), 350)


def test_a_gift_cell_that_is_neither_yes_nor_no_is_refused():
    reading = read({"gift": "perhaps"}, columns=["gift"])

    assert reasons(reading) == [(2, "Is it a gift? “perhaps” is neither yes nor no.")]


@pytest.mark.parametrize(
    ("typed", "country"),
    [("IE", "Ireland"), ("Ireland", "Ireland"), ("England", ""), ("", "")],
)
def test_a_country_is_read_by_name_or_code(typed, country):
    order = only(read({"country": typed}, columns=["country"]))

    assert order.address.country_abroad == country


def test_a_country_nobody_knows_is_asked_about():
    reading = read({"country": "Xland"}, columns=["country"])

    assert reasons(reading) == [
        (2, "“Xland” is not a country known here. Write its English name.")
    ]


def test_an_address_in_several_columns_is_one_address():
    order = only(
        read(
            {
                "Address": "4 Weir Row",
                "address_2": "Hexwold Green",
                "town": "Hexwold",
                "postcode": "ZY7 4LQ",
            },
            columns=["address_2", "town", "postcode"],
        )
    )

    assert order.address.lines == ("4 Weir Row", "Hexwold Green")
    assert (order.address.town, order.address.postcode) == ("Hexwold", "ZY7 4LQ")
