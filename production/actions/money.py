"""Write down money to come and to pay, and what the bank says."""

from __future__ import annotations

from datetime import date, datetime
from uuid import UUID

from django.db import transaction
from django.db.models import Sum

from production.queries.cash import OPENING, TAKEN_OFF, moved_money
from studio.days import london_day
from studio.models import MoneyLine

BILL = "bill"
REFUND = "refund"


def write_money(*, text: str, pence: int, day: date, request_id: UUID) -> MoneyLine:
    """Write money that is expected on a day; a bill is below nought. Twice is once."""
    line, _ = MoneyLine.objects.get_or_create(
        reference=reference_of(request_id),
        defaults={
            "text": text,
            "pence": pence,
            "expected_on": day,
            "category": BILL,
        },
    )
    return line


@transaction.atomic
def count_bank(*, pence: int, request_id: UUID, now: datetime) -> MoneyLine:
    """Write what the bank says today, as the difference from what the book thought."""
    today, reference = london_day(now), reference_of(request_id)
    there = MoneyLine.objects.filter(reference=reference).first()
    if there is not None:
        return there
    thought = moved_money(today).aggregate(total=Sum("pence"))["total"] or 0
    return MoneyLine.objects.create(
        text="In the bank, as read",
        pence=pence - thought,
        moved_on=today,
        category=OPENING,
        reference=reference,
    )


def note_money_moved(line: MoneyLine, *, now: datetime) -> MoneyLine:
    """Note that expected money has come or gone; a second time changes nothing."""
    if line.moved_on is None:
        line.moved_on = london_day(now)
        line.save(update_fields=["moved_on"])
    return line


def take_back_money(line: MoneyLine) -> None:
    """Let money that has moved be expected again, or take an expected line off.

    A refund stays: it is owed by its order.
    """
    if line.category == REFUND:
        return
    if line.moved_on is not None and line.expected_on is not None:
        line.moved_on = None
    else:
        line.category = TAKEN_OFF
    line.save(update_fields=["moved_on", "category"])


def put_back_money(line: MoneyLine) -> None:
    """Put a line back that was taken off; one that is there stays as it is."""
    if line.category == TAKEN_OFF:
        line.category = OPENING if line.expected_on is None else BILL
        line.save(update_fields=["category"])


def reference_of(request_id: UUID) -> str:
    return f"money {request_id}"
