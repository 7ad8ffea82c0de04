"""Settling sale or return: sent, sold, returned and paid. Source: worked by hand."""

from dataclasses import replace
from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from production.settling import (
    MoreSoldThanSent,
    Sending,
    Statement,
    settle,
    tax_year_of,
)

# 60 sent, 33 + 14 sold, 4 came back to them: 3 put back on sale and 1 damaged.
SANDGLASS = Sending(
    "SG-030",
    "Sandglass set, 3 in",
    sent=60,
    sold=47,
    price_pence=740,
    material_mills=1830,
    put_back=3,
    damaged_back=1,
)
STATEMENT = Statement(29_280, 1800, date(2027, 4, 30))


def test_the_statement_is_one_set_short():
    settled = settle([SANDGLASS], STATEMENT)

    assert SANDGLASS.sold_for_good == 43
    assert settled.expected_pence == 30_020
    assert settled.short_pence == 740
    assert settled.lines[0].unpaid_sets == 1
    assert settled.claim_pence == 740


def test_what_is_still_there_is_still_hers():
    assert SANDGLASS.good_there == 16
    assert SANDGLASS.owned_there == 17
    assert SANDGLASS.owned_pence == 3111


def test_the_carton_shows_one_more_to_claim():
    home = replace(SANDGLASS, home_good=15, home_damaged=1)

    settled = settle([home], STATEMENT)

    assert settled.lines[0].missing_good == 1
    assert settled.lines[0].missing_damaged == 0
    assert (settled.claim_sets, settled.claim_pence) == (2, 1480)
    assert settled.tax_year == "2027–28"


def test_the_sentences_say_it_in_order():
    home = replace(SANDGLASS, home_good=15, home_damaged=1)

    settled = settle([home], STATEMENT)

    assert settled.sentences == (
        "£300.20 are due and £292.80 are stated: £7.40 short.",
        "SG-030: 16 came home.",
        "SG-030: 1 more good should have come home.",
        "Claim 2 sets, £14.80.",
        "The money comes on Fri 30 April 2027, so it belongs to the tax year 2027–28. "
        "Ask your accountant if you keep other books.",
    )


def test_the_letter_can_be_sent_as_it_is():
    home = replace(SANDGLASS, home_good=15, home_damaged=1)

    settled = settle([home], STATEMENT)

    assert settled.letter.splitlines() == [
        "Your statement with payment on Fri 30 April 2027",
        "",
        "Sandglass set, 3 in (SG-030): 60 sent, 42 paid for, 16 come back; "
        "2 unaccounted for at £7.40 each, £14.80.",
        "",
        "Please pay £14.80, or tell us where the goods are.",
    ]


def test_a_statement_that_is_right_needs_no_letter():
    right = replace(STATEMENT, paid_pence=30_020)

    settled = settle([SANDGLASS], right)

    assert settled.claim_pence == 0
    assert settled.letter == ""
    assert settled.sentences[0].endswith("the money is right.")


def test_too_much_paid_is_told_and_not_claimed():
    settled = settle([SANDGLASS], replace(STATEMENT, paid_pence=30_760))

    assert settled.short_pence == -740
    assert settled.claim_pence == 0
    assert "£7.40 too much" in settled.sentences[0]


def test_two_lines_under_one_sum_are_claimed_in_money():
    other = Sending("RF-090", "Ringfence set, 9 in", 48, 40, 1150, 2040)

    settled = settle([SANDGLASS, other], replace(STATEMENT, paid_pence=75_020))

    # 43 x 7.40 + 40 x 11.50 - 18.00 = 760.20, of which 750.20 are stated.
    assert settled.short_pence == 1000
    assert settled.claim_sets == 0
    assert settled.claim_pence == 1000
    assert "£760.20 and £750.20" in settled.letter


def test_two_lines_with_their_sets_are_claimed_by_set():
    other = Sending("RF-090", "Ringfence set, 9 in", 48, 40, 1150, 2040, paid_sets=39)

    settled = settle([replace(SANDGLASS, paid_sets=43), other], STATEMENT)

    assert (settled.claim_sets, settled.claim_pence) == (1, 1150)


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"sold": 64}, "64 SG-030 are sold, but there were only 63"),
        ({"sold": 3}, "4 SG-030 came back to them, but there were only 3"),
    ],
)
def test_more_than_there_was_is_a_slip_of_the_pen(changes, words):
    with pytest.raises(MoreSoldThanSent, match=words):
        replace(SANDGLASS, **changes)


@pytest.mark.parametrize(
    ("day", "year"),
    [
        (date(2027, 4, 5), "2026–27"),
        (date(2027, 4, 6), "2027–28"),
        (date(2027, 1, 1), "2026–27"),
        (date(2099, 12, 1), "2099–00"),
    ],
)
def test_the_tax_year_turns_on_the_sixth_of_april(day, year):
    # gov.uk: the tax year runs from 6 April to 5 April.
    assert tax_year_of(day) == year


@given(st.integers(0, 60), st.integers(0, 60), st.integers(0, 60))
def test_every_set_is_paid_for_or_home_or_claimed(sold, paid, home):
    paid, home = min(paid, sold), min(home, 60 - min(paid, sold))
    sending = replace(
        SANDGLASS,
        sold=sold,
        put_back=0,
        damaged_back=0,
        paid_sets=paid,
        home_good=home,
        home_damaged=0,
    )

    [line] = settle([sending], STATEMENT).lines

    assert paid + home + line.unaccounted == sending.sent
