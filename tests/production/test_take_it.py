"""A selling day weighed against not going, its sums by hand, and its page."""

import csv
import re
from datetime import date, datetime, time
from fractions import Fraction
from pathlib import Path

import pytest
from django.urls import reverse
from hypothesis import given
from hypothesis import strategies as st

from inventory import actions as stock
from inventory.models import Outlet, SalesDay
from production import actions as making
from production.models import Line
from production.queries.cash import CashMove, cash_to
from production.queries.take_it import take_it_for
from production.take_it import (
    LineAsked,
    best_sold,
    break_even_words,
    figure,
    takings_pence,
    value_of,
    verdict,
    weigh,
    worst_sold,
)
from production.terms_sums import AgreedTerms, LineMoney
from studio.models import MoneyLine
from tests.factories.production import (
    LONDON,
    MONDAY_1_FEB,
    a_channel,
    a_person,
    a_session,
    a_slot,
    a_supplier,
    a_workshop,
    an_item,
    the_studio,
)

WORKED = Path(__file__).parents[1] / "worked" / "take_it.csv"
PAID_ON = date(2027, 4, 30)


def worked_rows():
    with WORKED.open(newline="", encoding="utf-8") as file:
        return list(csv.DictReader(file))


def terms_of(row):
    return AgreedTerms(
        basis=row["basis"],
        commission_per_hundred=Fraction(row["commission"]),
        spoiled_per_hundred=Fraction(row["spoiled"]),
        carton_charge_pence=int(row["carton"]),
        return_carriage_pence=int(row["back"]),
        carriage_out_pence=int(row["carriage"]),
        pitch_pence=int(row["pitch"]),
    )


def a_line(*, sent=10, expected=5, worth=204, price=1150, material_mills=2040):
    worths = worth if isinstance(worth, tuple) else (worth,) * sent
    money = LineMoney("RF-090", price, material_mills, sent=sent)
    return LineAsked("Ringfence set", money, worths, expected)


def line_of(row):
    return a_line(
        sent=int(row["sent"]),
        expected=int(row["expected"]),
        worth=int(row["worth"]),
        price=int(row["price"]),
        material_mills=int(row["material_mills"]),
    )


@pytest.mark.parametrize("row", worked_rows(), ids=lambda row: row["case"])
def test_a_day_comes_to_what_the_sum_by_hand_says(row):
    day = weigh(terms_of(row), [line_of(row)], int(row["pay"]))

    assert day.going.pence == int(row["going"])
    assert day.instead.pence == int(row["instead"])
    assert day.break_even == Fraction(row["break_even"])
    assert verdict(day, 0, None) == row["verdict"]
    assert day.worst_pence == day.best_pence == day.going.pence


def test_the_sum_of_one_set_is_opened_step_by_step():
    # Worked by hand: 18.00 - 7.20 - 0.30 = 10.50, of 100 sold 4 lose that and 4.15
    # less comes home: 0.04 x (10.50 - 4.15) = 0.25; less 3.20 of material.
    terms = AgreedTerms(
        basis="sale-or-return",
        commission_per_hundred=Fraction(40),
        card_fee_pence=30,
        customer_returns_per_hundred=Fraction(4),
        spoiled_per_hundred=Fraction(10),
        return_carriage_pence=35,
    )
    asked = a_line(price=1800, material_mills=3200, worth=500, expected=10)

    [line] = weigh(terms, [asked], 0).lines

    assert [(s.label, s.count, s.total) for s in line.sold.steps] == [
        ("Price", 1800, 1800),
        ("commission", -720, 1080),
        ("card fee, each payment", -30, 1050),
        ("sent back by customers", -25, 1025),
        ("material", -320, 705),
    ]
    assert [(s.label, s.count, s.total) for s in line.home.steps] == [
        ("Worth at home", 500, 500),
        ("spoiled", -50, 450),
        ("carriage home", -35, 415),
        ("material", -320, 95),
    ]
    assert line.sent.pence == 705


@given(st.lists(st.fractions(-5000, 5000, max_denominator=37), min_size=1, max_size=9))
def test_what_is_printed_of_a_sum_adds_up(pence):
    found = figure([("x", part, "") for part in pence])

    assert sum(step.count for step in found.steps) == found.pence
    assert abs(found.pence - sum(pence)) <= Fraction(1, 2)


@given(
    st.integers(1, 40),
    st.lists(st.integers(0, 3000), min_size=40, max_size=40),
    st.integers(100, 3000),
)
def test_worst_and_best_of_an_unknown_line_are_those_of_all_numbers(sent, worth, price):
    terms = AgreedTerms(basis="sale-or-return", carton_charge_pence=1800)
    falling = tuple(sorted(worth, reverse=True))[:sent]
    line = a_line(sent=sent, worth=falling, price=price, expected=None)
    every = [value_of(terms, line, sold) for sold in range(sent + 1)]

    worst = value_of(terms, line, worst_sold(terms, line))
    best = value_of(terms, line, best_sold(terms, line))

    # The mean worth at home is rounded to a penny, so half a penny a set is free.
    assert worst - min(every) <= sent
    assert max(every) - best <= sent


def test_an_unknown_line_leaves_it_open_and_says_which():
    terms = AgreedTerms(
        basis="sale-or-return", carton_charge_pence=1800, carriage_out_pence=1000
    )

    day = weigh(terms, [a_line(expected=None)], 0)

    # Worked by hand: none sold 10 x -0.90 - 10.00; all sold 10 x 9.46 - 10.00.
    assert (day.worst_pence, day.best_pence, day.going) == (-1900, 8460, None)
    assert verdict(day, 0, None) == (
        "It cannot be said yet: it brings −£19.00 to £84.60 against £0.00 without it, "
        "and nobody knows how many are wanted of Ringfence set."
    )


def test_an_unknown_line_does_not_hide_a_day_that_pays_anyway():
    terms = AgreedTerms(basis="own")

    day = weigh(terms, [a_line(), a_line(expected=None)], 0)

    assert verdict(day, 0, None) == (
        "Take it: it brings at least £47.30 more than not going."
    )


def test_what_is_left_out_and_a_bank_that_runs_short_are_in_the_same_sentence():
    day = weigh(AgreedTerms(basis="own"), [a_line()], 0)

    assert verdict(day, 2, -24_277) == (
        "Take it: it brings about £47.30 more than not going, but find £242.77 first: "
        "the bank runs short; 2 lines are left out."
    )
    assert verdict(weigh(AgreedTerms(basis="own"), [], 0), 1, None) == (
        "It cannot be said yet: no line has a number and a price."
    )


def test_beating_the_post_takes_more_than_paying_for_itself():
    # Worked by hand: sold 21.00 - 2.04 = 18.96, home 10.00 - 2.04 = 7.96, pitch 20.00.
    # By post 10 x 7.96 = 79.60, so 20.00 more is wanted of 10 x (18.96 - 7.96).
    terms = AgreedTerms(basis="own", pitch_pence=2000)

    day = weigh(terms, [a_line(price=2100, worth=1000)], 0)

    assert (day.break_even, day.break_even_with_post) == (0, Fraction(2, 11))


def test_what_is_paid_leaves_out_what_customers_send_back():
    # Worked by hand: of 20 sold 1 comes back: 19 x 11.50 - 21 home x 0.90 of 40 sent.
    terms = AgreedTerms(
        basis="sale-or-return",
        carton_charge_pence=1800,
        customer_returns_per_hundred=Fraction(5),
    )

    day = weigh(terms, [a_line(sent=40, expected=20)], 0)

    assert takings_pence(terms, day) == 19 * 1150 - 21 * 90


@pytest.mark.parametrize(
    ("share", "words"),
    [
        (None, "never, even if everything is sold"),
        (Fraction(0), "even if nothing is sold"),
        (Fraction(45, 518), "from 9 sold of 100 sent"),
        (Fraction(1, 2), "from 50 sold of 100 sent"),
    ],
    ids=str,
)
def test_a_break_even_is_told_in_sets_of_a_hundred(share, words):
    assert break_even_words(share) == words


# ------------------------------------------------------------------ cash


@pytest.mark.django_db
def test_the_bank_stands_lowest_before_what_comes_in_on_the_same_day():
    # Worked by hand: 1,140.00 - 155.00 = 985.00; - 612.40 = 372.60; + 500.00; the
    # overdue 43.00 counts as paid today.
    for text, pence, moved, expected in (
        ("In the bank", 114_000, date(2027, 2, 1), None),
        ("Print bill", -15_500, None, date(2027, 3, 5)),
        ("Takings", 50_000, None, date(2027, 3, 20)),
        ("Cloth", -61_240, None, date(2027, 3, 20)),
        ("Sheets", -4_300, None, date(2027, 1, 5)),
        ("Too late to matter", -99_999, None, date(2027, 6, 1)),
    ):
        MoneyLine.objects.create(
            text=text,
            pence=pence,
            moved_on=moved,
            expected_on=expected,
            category="opening" if moved else "bill",
        )
    pitch = CashMove(date(2027, 3, 1), "the pitch", -5_500)

    line = cash_to(PAID_ON, now=MONDAY_1_FEB, more=[pitch])

    assert [(s.move.words, s.balance_pence) for s in line.steps] == [
        ("Sheets", 109_700),
        ("the pitch", 104_200),
        ("Print bill", 88_700),
        ("Cloth", 27_460),
        ("Takings", 77_460),
    ]
    assert (line.low_pence, line.low_on) == (27_460, date(2027, 3, 20))
    assert (line.knows_bank, line.end_pence) == (True, 77_460)


@pytest.mark.django_db
def test_a_bank_that_nobody_wrote_down_is_not_made_up():
    line = cash_to(PAID_ON, now=MONDAY_1_FEB)

    assert (line.knows_bank, line.low_pence, line.low_on) == (
        False,
        0,
        date(2027, 2, 1),
    )


# ------------------------------------------------------------------ the page


@pytest.fixture
def merle(client, db):
    the_studio(clock_stands_at=MONDAY_1_FEB)
    client.force_login(a_person())
    return client


def words_of(answer):
    text = re.sub(r"<[^>]+>", " ", answer.content.decode())
    return " ".join(text.replace("&#x27;", "'").replace("&amp;", "&").split())


def heading(answer):
    return re.search(r"<h1>(.*?)</h1>", answer.content.decode(), re.DOTALL)[1].strip()


def an_offer(**terms):
    """Ten RF-090 at £11.50 to a slot, with six earlier slots and a helper's session."""
    items = a_workshop()
    web = Outlet.objects.create(code="web", name="Web shop", kind="web")
    stock.set_price(
        items["RF-090"],
        outlet=web,
        price_pence=2100,
        valid_from=date(2026, 1, 1),
    )
    for month, sold in ((7, 18), (8, 22), (9, 24), (10, 26), (11, 30), (12, 31)):
        past = a_slot(datetime(2026, month, 3, 15, 0, tzinfo=LONDON))
        line = making.set_line(past, item=items["RF-090"], wanted=40)
        Line.objects.filter(pk=line.pk).update(sent=40, sold=sold)
    a_session(date(2027, 2, 6))
    slot = a_slot(goods_in_at=datetime(2027, 2, 25, 10, 30, tzinfo=LONDON))
    making.set_line(slot, item=items["RF-090"], wanted=10, price_pence=1150)
    if terms:
        making.set_terms(slot, **terms)
    return items, slot


def take_it_page(client, slot):
    return client.get(reverse("production:selling_day_take_it", args=[slot.pk]))


SALE_OR_RETURN = {
    "basis": "sale-or-return",
    "carton_charge_pence": 1800,
    "paid_on": PAID_ON,
}


def test_without_terms_the_page_asks_for_them(merle):
    _, slot = an_offer()

    answer = take_it_page(merle, slot)

    assert heading(answer) == (
        "It cannot be said yet: the terms of the offer are not written."
    )
    assert reverse("production:selling_day_terms", args=[slot.pk]) in (
        answer.content.decode()
    )


def test_an_offer_is_weighed_from_record_terms_plan_and_bank(merle):
    items, slot = an_offer(**SALE_OR_RETURN)
    helper = a_person("Rufus Penhallin", "workshop")
    helper.pence_an_hour = 1400
    helper.save()
    MoneyLine.objects.create(
        text="In the bank", pence=2_000, moved_on=date(2027, 1, 31), category="opening"
    )

    page = take_it_for(slot, now=MONDAY_1_FEB)
    answer = take_it_page(merle, slot)

    # Worked by hand: all ten are sold every time, 10 x (11.50 - 2.04) = 94.60. One LG
    # sheet gives 10 A388 and 10 C200, of which 9 are good, so two sheets or LG and LB
    # are cut; nothing was ever sold by post, so there it is worth its material.
    pay = -page.day.going.steps[-1].count
    assert page.day.lines[0].asked.expected == 10
    assert page.day.going.pence == 9460 - pay
    assert pay == round(page.plan.minutes * 1400 / 60) > 0
    assert page.minutes == page.plan.minutes + 60
    assert page.cash.low_pence == 2_000 - pay
    assert page.cash.end_pence == 2_000 - pay + 11_500
    assert heading(answer) == page.sentence
    assert page.sentence.startswith("Take it: it brings about £")
    assert "Travel, packing for the day and your own pay are not counted." in (
        words_of(answer)
    )
    assert items["RF-090"].cost_mills == 2040


def test_what_the_post_would_take_in_the_same_weeks_counts_against_it(merle):
    items, slot = an_offer(**SALE_OR_RETURN)
    web = Outlet.objects.get(code="web")
    for month in range(1, 13):
        SalesDay.objects.create(
            outlet=web, item=items["RF-090"], day=date(2026, month, 20), sold=40
        )

    page = take_it_for(slot, now=MONDAY_1_FEB)

    # 480 a year is some 110 in twelve weeks, so each of ten is wanted by post:
    # 10 x (21.00 - 2.04) = 189.60 by post against 94.60.
    assert page.day.instead.pence == 18_960
    assert page.sentence == (
        "Do not take it in place of the post, where the same sets bring about £95.00 "
        "more."
    )


def test_lines_without_number_or_price_or_record_are_never_hidden(merle):
    items, slot = an_offer(**SALE_OR_RETURN)
    making.set_line(slot, item=items["SG-030"], wanted=5)
    making.set_line(slot, item=items["SG-090"], wanted=5, price_pence=1480)

    answer = take_it_page(merle, slot)

    said = words_of(answer)
    assert "Sandglass set, 3 in has no price, so it is left out." in said
    assert "Nobody knows how many of Sandglass set, 9 in will be wanted" in said
    assert heading(answer).endswith("; 1 line is left out.")
    assert reverse("production:selling_day_guesses", args=[slot.pk]) in (
        answer.content.decode()
    )


def test_a_guess_makes_an_answer_and_is_told_as_one(merle):
    items, slot = an_offer(**SALE_OR_RETURN)
    line = making.set_line(slot, item=items["SG-090"], wanted=5, price_pence=1480)
    making.set_guess(line, low=4, likely=8, high=12)

    answer = take_it_page(merle, slot)

    assert "about 5 sold by your guess" in words_of(answer)
    assert heading(answer).startswith("Take it: it brings about £")


def test_bought_outright_needs_no_guess_and_brings_nothing_home(merle):
    items, slot = an_offer(basis="firm", paid_on=PAID_ON)
    making.set_line(slot, item=items["SG-090"], wanted=5, price_pence=1480)

    answer = take_it_page(merle, slot)

    assert heading(answer).startswith("Take it: it brings about £")
    assert "All that is sent is bought: none comes home." in words_of(answer)
    assert "net of one that comes home" not in words_of(answer)


def test_a_pay_date_that_nobody_wrote_is_named_and_no_cash_is_made_up(merle):
    _, slot = an_offer(basis="sale-or-return", carton_charge_pence=1800)

    answer = take_it_page(merle, slot)

    assert "Nobody has written when the money comes" in words_of(answer)
    assert "Cash until" not in words_of(answer)


def test_bills_of_the_plan_lower_the_bank_before_the_money_comes(merle):
    items, slot = an_offer(**SALE_OR_RETURN)
    bundle = an_item("FB-01", "bundle", 0, is_sold=True, cost_mills=6100)
    a_supplier(bundle, lead=5, box=1, name="Gossamill", price_mills=6100)
    making.set_line(slot, item=bundle, wanted=4, price_pence=830)

    page = take_it_for(slot, now=MONDAY_1_FEB)

    # Worked by hand: 4 x 6.10 on the last working day before goods-in on Thursday.
    assert (date(2027, 2, 24), -2_440) in [
        (step.move.day, step.move.pence) for step in page.cash.steps
    ]
    assert items["SG-030"].pk not in {line.item_id for line in slot.lines.all()}


def test_direct_orders_are_told_before_postage_and_never_counted(merle):
    _, slot = an_offer(
        **SALE_OR_RETURN,
        direct_orders=True,
        post_within_working_days=2,
        late_fine_pence=500,
        postage_help_pence=200,
    )
    packer = a_person("Posy Oakenby", "packer")
    packer.pence_an_hour = 1300
    packer.save()

    said = words_of(take_it_page(merle, slot))

    # Worked by hand: 11.50 + 2.00 - 2.04 - 4 minutes at 13.00 an hour (0.87) = 10.59.
    assert "Ringfence set, 9 in £10.59. How many will come is not known" in said
    assert "One posted late costs £5.00." in said


def test_a_day_that_is_over_leads_to_what_was_sold(merle):
    _, slot = an_offer(**SALE_OR_RETURN)
    the_studio(clock_stands_at=datetime(2027, 3, 4, 9, 0, tzinfo=LONDON))

    answer = take_it_page(merle, slot)

    assert (answer.status_code, answer.url) == (302, slot.get_absolute_url())


@pytest.mark.parametrize("role", ["workshop", "packer"])
def test_weighing_an_offer_is_the_owners(client, db, role):
    slot = a_slot()
    client.force_login(a_person("Posy Oakenby", role))

    assert take_it_page(client, slot).status_code == 403


def test_a_page_of_many_lines_asks_no_more_than_one_of_few(
    merle, django_assert_num_queries
):
    _, slot = an_offer(**SALE_OR_RETURN)
    a_channel()
    a_session(date(2027, 2, 9), time(18), time(20))
    for rows in (range(1), range(1, 3), range(3, 60)):
        for number in rows:
            item = an_item(f"FB-{number}", "bundle", 1, is_sold=True)
            making.set_line(slot, item=item, wanted=1, price_pence=500)

        # Those of the plan, of the record, of the post, and of the bank twice.
        with django_assert_num_queries(48):
            take_it_page(merle, slot)

    assert slot.lines.count() == 61
