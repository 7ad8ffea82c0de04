"""The plan of a selling day, through the whole book: which sheets, when, and why."""

from datetime import date, datetime, time, timedelta

import pytest

from inventory import actions as stock
from production import actions as making
from production.queries.layouts import layout_called
from production.queries.needs import selling_day_needs
from production.queries.plans import plan_for
from tests.factories.production import (
    LONDON,
    MONDAY_1_FEB,
    a_session,
    a_slot,
    a_supplier,
    a_workshop,
    an_item,
    new_id,
)

pytestmark = pytest.mark.django_db
GOODS_IN = datetime(2027, 2, 25, 10, 30, tzinfo=LONDON)
SATURDAY_6 = date(2027, 2, 6)
TUESDAY_9 = date(2027, 2, 9)
TUESDAY_16 = date(2027, 2, 16)
SATURDAY_20 = date(2027, 2, 20)


def story_three(loose=None):
    """Lay out the sheets story: 40, 26 and 11 sets, 14 squares and 14 sheets."""
    items = a_workshop(sheets=14, loose={"SQ350": 14} if loose is None else loose)
    a_supplier(items["SHEET"])
    for day in (SATURDAY_6, SATURDAY_20):
        a_session(day, time(9), time(12))
    for day in (TUESDAY_9, TUESDAY_16):
        a_session(day, time(18, 30), time(20, 30))
    a_session(date(2027, 2, 13), None, None, net_minutes=0, note="Away.")
    slot = a_slot(goods_in_at=GOODS_IN)
    for code, wanted in (("SG-030", 40), ("RF-090", 26), ("SG-090", 11)):
        making.set_line(slot, item=items[code], wanted=wanted, price_pence=1150)
    return items, slot


def test_which_sheets_in_which_sessions():
    _, slot = story_three()

    plan = plan_for(slot, now=MONDAY_1_FEB)

    # Worked by hand: the story of which sheets, in which sessions.
    assert {piece.code: piece.good_wanted for piece in plan.pieces} == {
        "A425": 40,
        "SQ350": 52,
        "A388": 26,
        "C200": 26,
        "A1025": 11,
        "SQ950": 11,
    }
    assert {piece.code: piece.to_cut for piece in plan.pieces} == {
        "A425": 43,
        "SQ350": 55,
        "A388": 28,
        "C200": 28,
        "A1025": 12,
        "SQ950": 12,
    }
    assert plan.sheets_of == {"LA": 3, "LG": 3, "LE": 7, "LP": 5}
    assert (plan.sheets, plan.minutes) == (18, 383)
    assert [(s.day, s.net_minutes) for s in plan.cutting_sessions] == [
        (SATURDAY_6, 165),
        (TUESDAY_9, 105),
        (TUESDAY_16, 105),
        (SATURDAY_20, 165),
    ]
    assert all(s.minutes <= s.net_minutes for s in plan.sessions)
    assert plan.ends_on == SATURDAY_20
    assert plan.begin_by == SATURDAY_6
    [order] = plan.orders
    assert (order.code, order.count, order.last_day) == ("SHEET", 5, date(2027, 2, 8))


def test_the_page_opens_with_one_sentence():
    _, slot = story_three()

    plan = plan_for(slot, now=MONDAY_1_FEB)

    assert plan.opening == (
        "Four weeks to go: 18 sheets and 383 minutes of cutting, in four sessions."
    )


def test_a_missed_saturday_names_the_minutes_that_find_no_room():
    _, slot = story_three()
    session = a_session(SATURDAY_20, time(9), time(12))

    making.cancel_session(session, note="Can't do Saturday.")
    plan = plan_for(slot, now=MONDAY_1_FEB)

    # 165 + 105 + 105 = 375 minutes for 383, in whole sheets; worked by hand.
    assert [s.day for s in plan.cutting_sessions] == [SATURDAY_6, TUESDAY_9, TUESDAY_16]
    assert 383 - plan.minutes_missing == sum(s.minutes for s in plan.sessions)
    assert plan.minutes_missing >= 8
    assert plan.begin_by is None
    assert "find no session" in plan.opening


def test_a_session_over_or_after_goods_in_is_not_planned_in():
    _, slot = story_three()
    a_session(date(2027, 2, 25), time(8), time(9))

    plan = plan_for(slot, now=datetime(2027, 2, 9, 21, 0, tzinfo=LONDON))

    assert [s.day for s in plan.sessions] == [TUESDAY_16, SATURDAY_20]


def test_sets_on_the_shelf_and_sets_already_there_need_no_cutting():
    items, slot = story_three()
    stock.record_count(
        items["RF-090"],
        place=stock.home_place(items["RF-090"]),
        found=30,
        counted_at=MONDAY_1_FEB,
        request_id=new_id(),
        now=MONDAY_1_FEB,
    )
    making.send_goods(
        slot, {items["RF-090"]: 10}, request_id=new_id(), now=MONDAY_1_FEB
    )

    line = line_of(plan_for(slot, now=MONDAY_1_FEB), "RF-090")

    assert (line.sent, line.from_shelf, line.to_make) == (10, 16, 0)
    assert [(step.count, step.total) for step in line.steps] == [
        (26, 26),
        (-10, 16),
        (-16, 0),
    ]
    assert line.sentence == "All 16 to come are on the shelf."


def line_of(plan, code):
    return next(line for line in plan.lines if line.code == code)


def piece_of(plan, code):
    return next(piece for piece in plan.pieces if piece.code == code)


def test_what_people_paid_for_takes_its_pieces_first():
    items, slot = story_three()
    stock.claim_stock(
        items["RF-090"],
        count=4,
        kind="paid",
        label="L-1",
        request_id=new_id(),
        now=MONDAY_1_FEB,
        overruled_because="It came in a file.",
    )

    plan = plan_for(slot, now=MONDAY_1_FEB)

    # Four promised sets take 4 of the 14 loose squares; 66 - 10 = 56, by hand.
    assert piece_of(plan, "SQ350").good_wanted == 56


def test_loose_pieces_are_counted_once_over_the_lines_that_share_them():
    _, slot = story_three(loose={"SQ350": 30, "A425": 40, "A388": 26, "C200": 26})

    found = selling_day_needs(slot, now=MONDAY_1_FEB)

    # 30 squares are enough for 30 of 66 sets, whichever; worked by hand.
    ready = {need.code: need.ready_now for need in found.needs.lines}
    assert ready["SG-030"] + ready["RF-090"] == 30
    assert ready["SG-090"] == 0


def test_work_planned_for_another_day_keeps_its_minutes_sheets_and_pieces():
    items, slot = story_three()
    session = a_session(SATURDAY_6)
    making.plan_cutting(
        layout_called("LA"),
        sheets=2,
        request_id=new_id(),
        now=MONDAY_1_FEB,
        session=session,
    )
    making.plan_making_up(
        items["RF-090"], count=5, request_id=new_id(), now=MONDAY_1_FEB
    )

    plan = plan_for(slot, now=MONDAY_1_FEB)

    assert plan.sheets_in_rack == 12
    assert plan.sessions[0].taken_minutes == 44
    assert plan.sessions[0].minutes <= 165 - 44
    assert piece_of(plan, "SQ350").good_wanted == 57


def test_sheets_on_order_are_not_ordered_again():
    items, slot = story_three()
    stock.expect_arrival(
        items["SHEET"],
        count=5,
        expected_on=TUESDAY_16,
        source="Brindlewick Sheet",
        request_id=new_id(),
    )

    plan = plan_for(slot, now=MONDAY_1_FEB)

    assert plan.orders == ()


def test_booklets_that_run_out_are_ordered_in_time_for_packing():
    items, slot = story_three()
    stock.record_count(
        items["BKLT-RF"],
        place=stock.home_place(items["BKLT-RF"]),
        found=20,
        counted_at=MONDAY_1_FEB,
        request_id=new_id(),
        now=MONDAY_1_FEB,
    )
    a_supplier(items["BKLT-RF"], name="Thrimble Print", lead=8, box=250)

    orders = {order.code: order for order in plan_for(slot, now=MONDAY_1_FEB).orders}

    # Packed Wed 24 Feb; eight working days back is Fri 12 Feb: counted on a calendar.
    booklets = orders["BKLT-RF"]
    assert (booklets.short, booklets.count) == (6, 250)
    assert (booklets.needed_on, booklets.last_day) == (
        date(2027, 2, 24),
        date(2027, 2, 12),
    )


def test_bought_goods_and_goods_out_of_print_say_what_can_be_done():
    _, slot = story_three()
    sold = an_item("FB-08", "bundle", 3, is_sold=True)
    gone = an_item("FB-07", "bundle", 0, is_sold=True, out_of_print=True)
    a_supplier(sold, name="Gossamill", lead=5, box=1)
    making.set_line(slot, item=sold, wanted=12)
    making.set_line(slot, item=gone, wanted=1)

    plan = plan_for(slot, now=MONDAY_1_FEB)

    orders = {order.code: order for order in plan.orders}
    assert orders["FB-08"].count == 9
    assert line_of(plan, "FB-08").sentence == (
        "3 come from the shelf; 9 are to be bought in."
    )
    assert orders["FB-07"].sentence == (
        "1 FB-07 is lacking by Wed 24 February and it cannot be bought any more. "
        "Take fewer of it."
    )


def past_slots(item, records):
    """Write six earlier slots with what was sold, sold-out ones with a minute."""
    for number, (sold, out) in enumerate(records):
        day = a_slot(
            datetime(2026, 4, 1, 15, 0, tzinfo=LONDON) + timedelta(days=30 * number)
        )
        line = making.set_line(day, item=item, wanted=sold + (0 if out else 5))
        making.set_sold(line, sold=sold, sold_out_minute=42 if out else None)


SIX_SLOTS = [(18, False), (22, False), (24, False), (26, False), (30, True), (40, True)]


@pytest.mark.parametrize(
    ("left_pence", "quantity", "first_sentence"),
    [
        (560, 26, "Send 26: enough in 67 of 100 slots, and 60 of 100 are wanted."),
        (280, None, "The record cannot say: more than 40."),
    ],
    ids=["case A", "case B"],
)
def test_a_number_is_proposed_from_slots_that_sold_out(
    left_pence, quantity, first_sentence
):
    items, slot = story_three()
    past_slots(items["RF-090"], SIX_SLOTS)
    making.set_terms(slot, basis="sale-or-return", left_over_pence=left_pence)
    # Short by one loses 8.40: a price of 10.44 less 2.04 of material.
    making.set_line(slot, item=items["RF-090"], wanted=None, price_pence=1044)

    line = line_of(plan_for(slot, now=MONDAY_1_FEB), "RF-090")

    # Worked by hand: how many for the slot, when two past slots sold out.
    assert line.proposal.short_pence == 840
    assert line.proposal.quantity == quantity
    assert line.number == quantity
    assert line.proposal.sentences[0] == first_sentence
    assert line.proposal.sentences[-1] == (
        "In 2 of 6 slots the demand is known only as “at least”."
    )


def test_a_number_she_pinned_stays_whatever_the_record_says():
    items, slot = story_three()
    past_slots(items["RF-090"], SIX_SLOTS)
    making.set_terms(slot, basis="sale-or-return", left_over_pence=560)

    making.set_line(slot, item=items["RF-090"], wanted=33, price_pence=1044)
    line = line_of(plan_for(slot, now=MONDAY_1_FEB), "RF-090")

    assert (line.number, line.is_pinned, line.proposal) == (33, True, None)


def test_without_price_terms_or_record_the_number_is_asked_for():
    items, slot = story_three()
    line = making.set_line(slot, item=items["RF-090"])
    line.price_pence = None
    line.save(update_fields=["price_pence"])

    without_price = line_of(plan_for(slot, now=MONDAY_1_FEB), "RF-090").sentence
    making.set_line(slot, item=items["RF-090"], price_pence=1150)
    without_terms = line_of(plan_for(slot, now=MONDAY_1_FEB), "RF-090").sentence
    making.set_terms(slot, basis="sale-or-return", carton_charge_pence=1800)
    without_record = line_of(plan_for(slot, now=MONDAY_1_FEB), "RF-090").sentence

    assert without_price == "Write its price, so that a number can be proposed."
    assert without_terms == "Write the terms, so that a number can be proposed."
    assert without_record == "There is no record yet. Type your own guess, please."


def test_a_plan_is_plain_data_and_the_same_answer_has_the_same_mark():
    items, slot = story_three()

    plan = plan_for(slot, now=MONDAY_1_FEB)
    again = plan_for(slot, now=MONDAY_1_FEB + timedelta(minutes=5))
    making.set_line(slot, item=items["RF-090"], wanted=27)
    other = plan_for(slot, now=MONDAY_1_FEB)

    assert plan.as_json()["ends_on"] == "2027-02-20"
    assert plan.fingerprint == again.fingerprint
    assert plan.fingerprint != other.fingerprint


def test_a_plan_takes_as_many_questions_for_many_lines_as_for_one(
    django_assert_num_queries,
):
    items, slot = story_three()
    past_slots(items["RF-090"], SIX_SLOTS)
    a_lot = [an_item(f"FB-{n}", "bundle", 1, is_sold=True) for n in range(20, 320)]
    making.set_line(slot, item=items["RF-090"])
    with django_assert_num_queries(QUERIES_OF_A_PLAN):
        plan_for(slot, now=MONDAY_1_FEB)

    for item in a_lot:
        making.set_line(slot, item=item)

    with django_assert_num_queries(QUERIES_OF_A_PLAN):
        plan = plan_for(slot, now=MONDAY_1_FEB)
    assert len(plan.lines) == 303


# Lines; terms, past lines, prices; products, parts lists, lacks, parts, their shelf
# and claims; planned work; lines' shelf, claims, kept; short shelf and promises;
# layouts, what they give, settings, sessions, rack; items; suppliers and arrivals.
QUERIES_OF_A_PLAN = 24
