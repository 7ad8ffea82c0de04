"""Addresses and postcodes against the published rules and by hand."""

import pytest

from orders.addresses import (
    LONGEST_KEY,
    Address,
    AddressParts,
    address_of_parts,
    doorstep,
    label_lines,
    normalise_postcode,
    parse_one_line,
    postcode_shape_ok,
    postcode_warning,
    show_one_line,
    suggest_postcode,
    what_is_missing,
)
from tests.orders.price_list import worked


@pytest.mark.parametrize("row", worked("postcode_valid.csv"), ids=lambda r: r["typed"])
def test_a_postcode_is_judged_by_its_shape(row):
    assert postcode_shape_ok(row["typed"]) == (row["fits"] == "yes")


@pytest.mark.parametrize("row", worked("postcode_norm.csv"), ids=lambda r: r["typed"])
def test_a_postcode_is_written_in_one_way(row):
    assert normalise_postcode(row["typed"]) == row["written"]


@pytest.mark.parametrize(
    ("typed", "fits"),
    [
        # The invented area of the demo has the right shape; ZZ99 9ZZ means "not known".
        ("ZY7 4LQ", True),
        ("ZZ99 9ZZ", False),
        ("BFPO 58", True),
        ("BFPO 12345", False),
        ("", False),
    ],
)
def test_odd_postcodes(typed, fits):
    assert postcode_shape_ok(typed) == fits


@pytest.mark.parametrize(
    ("typed", "written"), [("bfpo58", "BFPO 58"), ("zy7", "ZY7"), ("", "")]
)
def test_short_and_forces_codes_are_not_torn_apart(typed, written):
    assert normalise_postcode(typed) == written


@pytest.mark.parametrize(
    ("typed", "likely"),
    [
        ("SWIA 1AA", "SW1A 1AA"),
        ("ZY7 OLQ", "ZY7 0LQ"),
        ("0L1 8JQ", "OL1 8JQ"),
        ("ZY7 4LQ", None),
        ("QQ1 1QQ", None),
        ("O0O0O0O0O0O0O0O0O0O0O0O0O0O0", None),
    ],
)
def test_a_mix_up_of_letter_and_digit_is_offered_and_not_made(typed, likely):
    assert suggest_postcode(typed) == likely


def test_a_postcode_of_no_known_shape_is_asked_about():
    assert postcode_warning("ZY7 4LQ") is None
    assert postcode_warning(" ZY7  4L") == (
        "“ZY7 4L” does not look like a UK postcode. Check it with the customer."
    )
    assert postcode_warning("ZY7 OLQ") == (
        "“ZY7 OLQ” does not look like a UK postcode. Is it ZY7 0LQ?"
    )
    assert postcode_warning("  ") == ("There is no postcode. Ask the customer for it.")


@pytest.mark.parametrize("row", worked("address_read.csv"), ids=lambda r: r["typed"])
def test_an_address_on_one_line_is_taken_apart(row):
    lines = tuple(row["lines"].split("|")) if row["lines"] else ()

    address = parse_one_line(row["typed"])

    assert address == Address(lines, row["town"], row["postcode"], row["country"])


def test_an_address_on_several_lines_is_read_the_same():
    typed = "4 Weir Row\r\nHexwold\r\nZY7 4LQ\r\n"

    assert parse_one_line(typed) == parse_one_line("4 Weir Row, Hexwold, ZY7 4LQ")


def test_an_address_is_shown_on_one_line_as_it_was_read():
    abroad = "Cottage 3, Shore Road, Ballyquern, Ireland"

    assert show_one_line(parse_one_line(abroad)) == abroad


@pytest.mark.parametrize("row", worked("address_lines.csv"), ids=lambda r: r["printed"])
def test_the_lines_of_a_label_stand_in_the_order_of_the_post(row):
    fields = AddressParts.__dataclass_fields__
    parts = AddressParts(**{name: row[name] for name in fields})

    lines = label_lines(address_of_parts(parts), row["name"])

    assert "|".join(lines) == row["printed"]


@pytest.mark.parametrize("country", ["Ireland", "IE"])
def test_the_country_stands_last_in_capitals_abroad(country):
    address = Address(("Cottage 3", "Shore Road"), "Ballyquern", "", country)

    assert label_lines(address, "Mavis Nettlebed") == (
        "Mavis Nettlebed",
        "Cottage 3",
        "Shore Road",
        "BALLYQUERN",
        "IRELAND",
    )


def test_a_country_that_is_not_listed_is_printed_as_it_was_typed():
    address = Address(("1 Harbour",), "Newtown", "ab-12", "Ruritania")

    assert label_lines(address, "A Sample")[2:] == ("NEWTOWN", "AB-12", "RURITANIA")


@pytest.mark.parametrize("country", ["", "GB", "United Kingdom", "Jersey", "IM"])
def test_no_country_is_printed_on_inland_post(country):
    address = Address(("5 Pier Road",), "St Helier", "je23xx", country)

    assert not address.is_abroad
    assert label_lines(address, "A Sample")[-1] == "JE2 3XX"


def test_an_ill_formed_postcode_is_printed_as_it_was_typed():
    address = Address(("4 Weir Row",), "Hexwold", "zy7  4l")

    assert label_lines(address, "A Sample")[-1] == "ZY7 4L"


def test_a_stop_inside_a_number_is_kept():
    address = Address(("Unit 1.2, Old Dairy.",), "Hexwold", "ZY7 4LQ")

    assert label_lines(address, "A Sample")[1] == "Unit 1.2 Old Dairy"


@pytest.mark.parametrize("row", worked("address_doors.csv"))
def test_two_spellings_of_one_door_are_told_from_two_doors(row):
    one, other = parse_one_line(row["one"]), parse_one_line(row["other"])

    assert (doorstep(one) == doorstep(other)) == (row["same"] == "yes")


def test_a_very_long_address_keeps_a_key_of_its_own():
    long = "Flat in the very long house " * 12
    one = Address((long + "1",), "Hexwold", "ZY7 4LQ")
    other = Address((long + "2",), "Hexwold", "ZY7 4LQ")

    assert doorstep(one) != doorstep(other)
    assert len(doorstep(one)) <= LONGEST_KEY


@pytest.mark.parametrize(
    "row", worked("address_missing.csv"), ids=lambda r: r["address"]
)
def test_what_a_carrier_would_look_for_in_vain_is_named(row):
    missing = what_is_missing(parse_one_line(row["address"]))

    assert (missing or "") == row["missing"]
