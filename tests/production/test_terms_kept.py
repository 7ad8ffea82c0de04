"""What the book refuses to keep about terms, guesses and afterwards."""

from datetime import date, time

import pytest
from django.db import IntegrityError, transaction

from inventory.models import Outlet
from production import actions as making
from production.models import FairSale, Line, Statement, StatementLine, Terms
from production.queries.calendar import sessions_before
from studio.models import WorkSession
from tests.factories.production import (
    MONDAY_1_FEB,
    a_person,
    a_session,
    a_slot,
    a_workshop,
    new_id,
)

pytestmark = pytest.mark.django_db


@pytest.mark.parametrize(
    "guess",
    [
        (None, 20, 30),
        (10, None, 30),
        (10, 20, None),
        (10, 9, 30),
        (1, 20, 19),
        (0,) * 3,
    ],
    ids=str,
)
def test_a_guess_is_three_numbers_in_order_or_none(guess):
    line = making.set_line(a_slot(), item=a_workshop()["RF-090"])
    low, likely, high = guess

    with (
        pytest.raises(IntegrityError, match="a_guess_is_in_order"),
        transaction.atomic(),
    ):
        Line.objects.update(guess_low=low, guess_likely=likely, guess_high=high)

    Line.objects.update(guess_low=0, guess_likely=20, guess_high=20)
    line.refresh_from_db()
    assert (line.guess_low, line.guess_likely, line.guess_high) == (0, 20, 20)


@pytest.mark.parametrize(
    ("column", "too_much"),
    [
        ("commission_ten_thousandths", 10_001),
        ("card_fee_ten_thousandths", 10_001),
        ("spoiled_hundredths", 101),
        ("customer_returns_hundredths", 101),
    ],
)
def test_no_share_of_the_terms_is_more_than_the_whole(column, too_much):
    making.set_terms(a_slot(), basis="sale-or-return")

    with pytest.raises(IntegrityError, match="share"), transaction.atomic():
        Terms.objects.update(**{column: too_much})

    assert Terms.objects.update(**{column: too_much - 1}) == 1


def test_a_day_and_a_price_draw_something():
    slot = a_slot()
    line = making.set_line(slot, item=a_workshop()["RF-090"])

    assert (slot.draws_hundredths, line.draws_hundredths) == (100, 100)
    with pytest.raises(IntegrityError, match="selling_day_draws"), transaction.atomic():
        making.change_selling_day(slot, draws_hundredths=0)
    with pytest.raises(IntegrityError, match="a_line_draws"), transaction.atomic():
        Line.objects.update(draws_hundredths=0)


def test_a_sale_at_the_stall_sent_twice_is_kept_once():
    line = making.set_line(a_slot(kind="fair"), item=a_workshop()["RF-090"])
    sale = {
        "request_id": new_id(),
        "line": line,
        "price_pence": 2100,
        "paid_by": FairSale.Paid.CASH,
        "sold_at": MONDAY_1_FEB,
        "saved_at": MONDAY_1_FEB,
    }
    FairSale.objects.create(**sale)

    with pytest.raises(IntegrityError, match="request_id"), transaction.atomic():
        FairSale.objects.create(**sale)
    with pytest.raises(IntegrityError, match="sold_at_least_one"), transaction.atomic():
        FairSale.objects.create(**sale | {"request_id": new_id(), "count": 0})

    assert FairSale.objects.get().count == 1


def test_a_statement_of_two_days_names_each_product_once():
    items, slot = a_workshop(), a_slot()
    statement = Statement.objects.create(
        request_id=new_id(),
        outlet=Outlet.objects.get(),
        up_to=date(2027, 3, 31),
        paid_pence=29_280,
        charges_pence=1_800,
        entered_at=MONDAY_1_FEB,
    )
    statement.selling_days.add(slot)
    statement.lines.create(item=items["SG-030"], put_back=3, damaged=1)

    with pytest.raises(IntegrityError, match="statement"), transaction.atomic():
        statement.lines.create(item=items["SG-030"], sold=42)

    kept = StatementLine.objects.get()
    assert (kept.sold, kept.put_back, kept.damaged) == (None, 3, 1)
    assert slot.statements.get() == statement


def test_no_sheet_is_planned_into_hours_for_sewing_or_packing():
    cutting = a_session(date(2027, 2, 6))
    for kind in (WorkSession.Kind.SEWING, WorkSession.Kind.PACKING):
        WorkSession.objects.create(
            kind=kind,
            person=a_person(),
            day=date(2027, 2, 6),
            starts=time(9),
            ends=time(12),
            net_minutes=180,
        )

    found = sessions_before(date(2027, 3, 3), now=MONDAY_1_FEB)

    assert found == [cutting]
