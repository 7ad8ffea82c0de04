"""Take it or not, against sums worked by hand."""

import csv
from datetime import date
from fractions import Fraction
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from production.terms_sums import (
    AgreedTerms,
    CartonOfNothing,
    LineMoney,
    ShareOutOfReach,
    line_sums,
    take_it_or_not,
)

WORKED = Path(__file__).parents[1] / "worked" / "terms.csv"


def worked_rows():
    with WORKED.open(newline="", encoding="utf-8") as file:
        return list(csv.DictReader(file))


def terms_of(row):
    return AgreedTerms(
        basis=row["basis"],
        commission_per_hundred=Fraction(row["commission"]),
        card_fee_per_hundred=Fraction(row["card"]),
        card_fee_pence=int(row["card_fixed"]),
        customer_returns_per_hundred=Fraction(row["returned"]),
        spoiled_per_hundred=Fraction(row["spoiled"]),
        carton_charge_pence=int(row["carton"]),
        carton_holds=int(row["holds"]),
        return_carriage_pence=int(row["back"]),
        we_post=row["we_post"] == "1",
        postage_help_pence=int(row["help"]),
        late_fine_pence=int(row["fine"]),
        late_per_hundred=Fraction(row["late"]),
    )


def line_of(row):
    return LineMoney(
        "RF-090",
        price_pence=int(row["price"]),
        material_mills=int(row["material_mills"]),
        making_pence=Fraction(row["making"]),
        postage_pence=int(row["postage"]),
        packing_pence=Fraction(row["packing"]),
        home_pence=int(row["home"]),
    )


@pytest.mark.parametrize("row", worked_rows(), ids=lambda row: row["case"])
def test_one_set_brings_what_the_sum_by_hand_says(row):
    sums = line_sums(terms_of(row), line_of(row))

    assert sums.sold == Fraction(row["sold"])
    assert sums.home == Fraction(row["left"])
    assert sums.net_sold == Fraction(row["net_sold"])
    if row["break_even"]:
        assert sums.break_even == Fraction(row["break_even"])


def test_the_sentence_says_when_it_pays():
    rows = {row["case"]: row for row in worked_rows()}

    told = {
        case: line_sums(terms_of(rows[case]), line_of(rows[case])).sentence
        for case in ("slot on sale or return", "firm", "never pays")
    }

    assert told == {
        "slot on sale or return": (
            "RF-090: one sold brings £9.46, one that comes home −£0.90. "
            "It pays from 9 sold of 100 sent."
        ),
        "firm": "RF-090: each one sent brings £5.57; none comes home.",
        "never pays": (
            "RF-090: one sold brings −£1.00, one that comes home −£3.00. "
            "It does not pay, however many are sold."
        ),
    }


def test_a_whole_day_is_weighed_against_not_going():
    # 60 at 7.40 of 1.83 and 48 at 11.50 of 2.04, three in four sold; home is worth
    # its material less 0.90; carriage 30.00. By hand: 45 x 5.57 - 15 x 0.90
    # + 36 x 9.46 - 12 x 0.90 - 30.00 = 536.91.
    terms = AgreedTerms(
        "sale-or-return",
        carton_charge_pence=1800,
        carriage_out_pence=3000,
        paid_on=date(2027, 4, 30),
    )
    lines = (
        LineMoney("SG-030", 740, 1830, home_pence=183, sent=60, minutes=Fraction(5)),
        LineMoney("RF-090", 1150, 2040, home_pence=204, sent=48, minutes=Fraction(7)),
    )

    answer = take_it_or_not(
        terms, lines, [Fraction(3, 4)] * 2, instead_pence=20_000, minutes_besides=120
    )

    assert answer.gain_pence == 53_691
    assert answer.more_pence == 33_691
    assert answer.minutes == 60 * 5 + 48 * 7 + 120
    assert answer.cash_pence == 3000 + 60 * 183 + 48 * 204
    assert answer.sentences == (
        "Going brings about £536.91, £336.91 more than not going.",
        "It takes 12 hours and 36 minutes, and £237.72 before it is paid, which comes "
        "back on Fri 30 April.",
        "It pays from 15 sold of 100 sent.",
    )


def test_the_break_even_of_a_day_is_where_it_brings_nothing():
    terms = AgreedTerms("sale-or-return", carton_charge_pence=1800, pitch_pence=5500)
    lines = (
        LineMoney("A", 740, 1830, sent=20, home_pence=100),
        LineMoney("B", 1150, 2040, sent=10),
    )

    even = take_it_or_not(terms, lines, [Fraction(0)] * 2).break_even
    there = take_it_or_not(terms, lines, [even, even])

    assert 0 < even < 1
    assert there.gain_pence == 0


@given(
    st.integers(100, 3000),
    st.integers(0, 20_000),
    st.integers(0, 1500),
    st.fractions(0, 1),
)
def test_more_sold_never_brings_less_where_a_sale_beats_coming_home(
    price, mills, home, share
):
    sums = line_sums(
        AgreedTerms("sale-or-return"), LineMoney("A", price, mills, home_pence=home)
    )

    if sums.sold >= sums.home:
        assert sums.net_unsold <= sums.net_sent(share) <= sums.net_sold
    if sums.break_even:
        assert sums.net_sent(sums.break_even) == 0


def test_a_commission_above_a_hundred_is_refused():
    with pytest.raises(ShareOutOfReach, match="The commission reads 140 in 100"):
        AgreedTerms("own", commission_per_hundred=Fraction(140))


def test_a_carton_of_nothing_is_refused():
    with pytest.raises(CartonOfNothing, match="A carton cannot hold 0"):
        AgreedTerms("own", carton_holds=0)
