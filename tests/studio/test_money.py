"""Money against worked sums: reading, writing, rounding, sharing."""

from __future__ import annotations

import csv
from decimal import Decimal
from fractions import Fraction
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from studio import money

WORKED = Path(__file__).parents[1] / "worked" / "money.csv"


def worked(rule):
    with WORKED.open(newline="", encoding="utf-8") as file:
        rows = [row for row in csv.DictReader(file) if row["rule"] == rule]
    return [
        pytest.param(row["given"], row["expected"], id=row["given"]) for row in rows
    ]


@pytest.mark.parametrize(("given_pounds", "expected"), worked("round_half_up"))
def test_half_a_penny_is_rounded_away_from_nought(given_pounds, expected):
    exact_pence = Decimal(given_pounds) * 100

    pence = money.round_half_up(exact_pence)

    assert pence == Decimal(expected) * 100


@pytest.mark.parametrize(("given_sum", "expected"), worked("share"))
def test_a_shared_sum_gives_its_odd_pennies_to_the_largest_remainders(
    given_sum, expected
):
    total, _, weights = given_sum.partition(" by ")

    parts = money.share(int(total), [int(weight) for weight in weights.split(":")])

    assert parts == tuple(int(part) for part in expected.split(" / "))


@pytest.mark.parametrize(("given_fee", "expected"), worked("card_fee_on_total"))
def test_a_card_fee_on_the_total_is_rounded_once(given_fee, expected):
    percent, _, sales = given_fee.partition(" of ")
    total = sum(money.parse_pounds(sale) for sale in sales.split(" / "))

    fee = money.round_half_up(Decimal(percent) * total / 100)

    assert fee == money.parse_pounds(expected)


@pytest.mark.parametrize(("given_fee", "expected"), worked("card_fee_per_sale"))
def test_a_card_fee_on_each_sale_is_rounded_sale_by_sale(given_fee, expected):
    percent, _, sales = given_fee.partition(" of ")
    each = [money.parse_pounds(sale) for sale in sales.split(" / ")]

    fees = [money.round_half_up(Decimal(percent) * sale / 100) for sale in each]

    assert sum(fees) == money.parse_pounds(expected)


@pytest.mark.parametrize(
    ("typed", "pence"),
    [
        ("£12.50", 1250),
        ("12.5", 1250),
        ("12", 1200),
        ("1,234.00", 123400),
        ("1,000,000", 100000000),
        ("-0.50", -50),
        ("−£0.50", -50),
        ("£ -3", -300),
        (" £ 1 140.00 ", 114000),
        (".50", 50),
        ("50p", 50),
        ("0", 0),
        ("007.10", 710),
    ],
)
def test_pounds_are_read_as_people_write_them(typed, pence):
    assert money.parse_pounds(typed) == pence


@pytest.mark.parametrize(
    ("typed", "part_of_the_sentence"),
    [
        ("12.345", "goes beyond whole pence"),
        ("12.3450", "goes beyond whole pence"),
        ("", "No amount is written"),
        ("   ", "No amount is written"),
        ("£", "No amount is written"),
        ("twelve pounds", "is not an amount of money"),
        ("NaN", "is not an amount of money"),
        ("inf", "is not an amount of money"),
        ("1e3", "calculator's short form"),
        ("1E-2", "calculator's short form"),
        ("12,5", "does not part thousands"),
        ("1,23,456", "does not part thousands"),
        ("12,3456.00", "does not part thousands"),
        ("1.234,00", "does not part thousands"),
        ("--5", "is not an amount of money"),
        ("5-", "is not an amount of money"),
        ("12.5.0", "is not an amount of money"),
        ("12.", "is not an amount of money"),
        (".", "is not an amount of money"),
        ("1.50p", "is not an amount of money"),
        ("£12 or so", "is not an amount of money"),
        ("١٢", "is not an amount of money"),
        ("1000001", "more than a million pounds"),
        ("9" * 60, "more than a million pounds"),
        ("9" * 6000, "more than a million pounds"),
    ],
)
def test_an_unreadable_amount_is_named_in_a_sentence_and_kept(
    typed, part_of_the_sentence
):
    with pytest.raises(money.MoneyUnreadable) as caught:
        money.parse_pounds(typed)

    assert part_of_the_sentence in str(caught.value)
    assert str(caught.value).endswith(".")
    assert caught.value.typed == typed


@pytest.mark.parametrize(
    ("pence", "shown"),
    [
        (1250, "£12.50"),
        (-50, "−£0.50"),
        (0, "£0.00"),
        (5, "£0.05"),
        (114000, "£1,140.00"),
        (123456789, "£1,234,567.89"),
        (-100, "−£1.00"),
    ],
)
def test_pence_are_shown_as_pounds(pence, shown):
    assert money.show_pounds(pence) == shown


@given(st.integers(-100_000_000, 100_000_000))
def test_what_is_shown_can_be_typed_back(pence):
    assert money.parse_pounds(money.show_pounds(pence)) == pence


@pytest.mark.parametrize(
    ("typed", "cost_mills", "shown"),
    [
        ("0.015", 15, "£0.015"),
        ("1.83", 1830, "£1.83"),
        ("1.830", 1830, "£1.83"),
        ("£8.60", 8600, "£8.60"),
        ("0.08", 80, "£0.08"),
        ("-0.5", -500, "−£0.50"),
        ("1,234.567", 1234567, "£1,234.567"),
    ],
)
def test_a_unit_cost_keeps_a_tenth_of_a_penny(typed, cost_mills, shown):
    assert money.parse_cost(typed) == cost_mills
    assert money.show_cost(cost_mills) == shown


def test_a_cost_finer_than_a_tenth_of_a_penny_is_refused():
    with pytest.raises(money.MoneyUnreadable, match="finer than a tenth of a penny"):
        money.parse_cost("0.0155")


def test_dots_are_rounded_once_for_the_whole_set():
    """Worked by hand: 8 dots at 1.5p are 12p; rounded one by one they were 16p."""
    dot = money.parse_cost("0.015")

    eight_dots = money.mills_to_pence(8 * dot)

    assert eight_dots == 12
    assert 8 * money.mills_to_pence(dot) == 16


def test_the_material_of_a_three_inch_set_adds_up_from_its_parts():
    """Worked by hand: .57 + .36 + .62 + .08 + .06 + 8 x .015 + .02 = 1.83."""
    parts = ["0.57", "0.36", "0.62", "0.08", "0.06", "0.02"]

    material = sum(money.parse_cost(part) for part in parts) + 8 * 15

    assert money.show_cost(material) == "£1.83"
    assert money.mills_to_pence(material) == 183


@pytest.mark.parametrize(
    ("exact", "pence"),
    [
        (Fraction(1, 2), 1),
        (Fraction(-1, 2), -1),
        (Fraction(3, 2), 2),
        (Fraction(5, 2), 3),
        (Fraction(1, 3), 0),
        (Fraction(0), 0),
    ],
)
def test_fractions_of_a_penny_round_half_up(exact, pence):
    assert money.round_half_up(exact) == pence


def test_a_refund_is_shared_as_the_charge_was():
    charge = money.share(1000, [1, 1, 1])

    refund = money.share(-1000, [1, 1, 1])

    assert refund == tuple(-part for part in charge)


@given(
    st.integers(-10_000_000, 10_000_000),
    st.lists(st.integers(0, 100_000), min_size=1, max_size=30).filter(any),
)
def test_shared_parts_always_add_up_and_stay_within_a_penny(total, weights):
    parts = money.share(total, weights)

    assert sum(parts) == total
    for part, weight in zip(parts, weights, strict=True):
        assert abs(part - Fraction(total * weight, sum(weights))) < 1


@pytest.mark.parametrize("weights", [[], [0], [0, 0], [1, -1], [3, -1]])
def test_a_sum_without_weights_cannot_be_shared(weights):
    with pytest.raises(money.CannotShare, match="weight above nought"):
        money.share(100, weights)
