"""Ways back from what closes, answers or takes off something of an order."""

from __future__ import annotations

from datetime import datetime
from uuid import UUID

from django.db import transaction

from inventory import actions as stock
from inventory.models import Entry
from orders.actions.lines import claim_again, lines_of, lock, lock_open
from orders.actions.refunding import count_sale_of, owed_refunds
from orders.models import Order, OrderLine, Question
from studio.models import Person


@transaction.atomic
def ask_again(question: Question) -> Question:
    """Open a question again, unless one of its kind is open already."""
    question = Question.objects.select_for_update().get(pk=question.pk)
    is_open = question.order.questions.filter(kind=question.kind, answered_at=None)
    if question.answered_at is not None and not is_open.exists():
        question.answered_at, question.answer = None, ""
        question.save(update_fields=["answered_at", "answer"])
    return question


@transaction.atomic
def take_collection_back(
    order: Order, *, request_id: UUID, now: datetime, by: Person | None = None
) -> Order:
    """Undo a handing over: the goods return and are promised again."""
    order = lock(order)
    if order.state != Order.State.COLLECTED:
        return order
    entry = (
        Entry.objects.filter(reference=order.number, reverses=None, reversed_by=None)
        .exclude(verb=Entry.Verb.REVERSED)
        .first()
    )
    if entry is not None:
        stock.take_back_entry(
            entry, request_id=request_id, now=now, by=by, reason="not collected"
        )
        give_back(order, entry, request_id=request_id, now=now)
    order.state = Order.State.OPEN
    order.save(update_fields=["state"])
    return order


def give_back(order: Order, entry: Entry, *, request_id: UUID, now: datetime) -> None:
    """Owe again what the entry took, line by line."""
    left: dict[int, int] = {}
    for movement in entry.movements.all():
        left[movement.item_id] = left.get(movement.item_id, 0) + movement.count
    for line in reversed(lines_of(order)):
        back = min(line.gone, left.get(line.sends_id, 0))
        if back:
            left[line.sends_id] -= back
            line.gone -= back
            line.save(update_fields=["gone"])
            claim_again(line, request_id=request_id, now=now, because="not collected")


@transaction.atomic
def put_line_back(line: OrderLine, *, request_id: UUID, now: datetime) -> OrderLine:
    """Undo the taking off of a line: owed and promised again, no refund."""
    order = lock_open(line.order)
    line = OrderLine.objects.select_for_update().get(pk=line.pk)
    count = line.taken_off
    if not count:
        return line
    line.taken_off = 0
    line.save(update_fields=["taken_off"])
    claim_again(line, request_id=request_id, now=now, because="put back on the order")
    count_sale_of(order, line, count)
    owed_refunds(order).filter(text__endswith=f"{line.item.code} not sent").delete()
    return line
