"""Goods that went out come back: into the returns tray, off the sales, and refunded."""

from __future__ import annotations

from datetime import datetime
from uuid import UUID

from django.db import transaction
from django.db.models import Sum

from inventory import actions as stock
from inventory.models import Entry, Movement, Place, State
from orders.actions.lines import lock
from orders.actions.refunding import discounted, owe_refund, owed_refunds
from orders.errors import MoreBackThanWent, RefundTooLarge
from orders.models import Order, OrderLine
from studio import money
from studio.days import london_day
from studio.models import Person


@transaction.atomic
def take_return(
    line: OrderLine,
    *,
    count: int,
    request_id: UUID,
    now: datetime,
    refund_pence: int | None = None,
    by: Person | None = None,
) -> Entry:
    """Lay what came back into the returns tray, take it off the sales, owe the money.

    It comes off the day on which it was sold, whenever it comes back. Without a sum
    the price is owed, less the order's discount; nought owes nothing.
    """
    order = lock(line.order)
    said_before = Entry.objects.filter(request_id=request_id).first()
    if said_before is not None:
        return said_before
    stock.check_count(count)
    line = OrderLine.objects.select_related("order", "item", "sends").get(pk=line.pk)
    check_went(line, count)
    pence = checked_refund(line, count, refund_pence)
    entry = stock.write_entry(
        [coming_back(line, count)],
        request_id=request_id,
        verb=Entry.Verb.CAME_BACK,
        now=now,
        by=by,
        reason="Sent back by the customer.",
        reference=reference_of(order),
    )
    if order.kind == Order.Kind.SALE:
        stock.count_return(
            line.item,
            outlet=order.outlet,
            day=london_day(order.placed_at),
            count=count,
            request_id=request_id,
            now=now,
            reference=order.number,
            entry=entry,
        )
    if order.paid == Order.Paid.PAID:
        owe_refund(order, pence=pence, why=why_of(line.sends.code, count), now=now)
    return entry


def reference_of(order: Order) -> str:
    """Return the words its returns stand under; its number stands for what went."""
    return f"{order.number} came back"


def why_of(code: str, count: int) -> str:
    return f"{count} {code} came back"


def coming_back(line: OrderLine, count: int) -> stock.Move:
    way_out = "sold" if line.order.kind == Order.Kind.SALE else "given"
    return stock.Move(
        line.sends,
        count,
        stock.outside_place(way_out),
        returns_tray(),
        to_state=State.TO_LOOK_AT,
    )


def returns_tray() -> Place:
    """Return the tray for what is to be looked at; the first return makes one."""
    tray = Place.objects.filter(kind=Place.Kind.TRAY).order_by("pk").first()
    return tray or stock.ensure_place(
        "returns", "Returns tray", kind=Place.Kind.TRAY, counts_as_shelf=False
    )


def check_went(line: OrderLine, count: int) -> None:
    there = still_out(line)
    if count > there:
        raise MoreBackThanWent(line.order.number, line.sends.code, count, there)


def still_out(line: OrderLine) -> int:
    """Count what went of the item on the order and has not come back since."""
    lines = line.order.lines.filter(sends=line.sends_id)
    went = lines.aggregate(went=Sum("gone"))["went"] or 0
    came = Movement.objects.filter(
        item=line.sends_id,
        entry__reference=reference_of(line.order),
        entry__verb=Entry.Verb.CAME_BACK,
        entry__reversed_by=None,
    ).aggregate(came=Sum("count"))["came"]
    return max(0, min(line.gone, went - (came or 0)))


def checked_refund(line: OrderLine, count: int, refund_pence: int | None) -> int:
    paid = discounted(line.order, count * line.price_pence)
    if refund_pence is None:
        return paid
    if refund_pence > paid:
        raise RefundTooLarge(money.show_pounds(refund_pence), money.show_pounds(paid))
    return refund_pence


@transaction.atomic
def take_return_back(
    order: Order,
    entry: Entry,
    *,
    request_id: UUID,
    now: datetime,
    by: Person | None = None,
) -> Entry:
    """Undo a return: the goods are with the customer, sold, and no money is owed."""
    order = lock(order)
    if stock.was_said(request_id):
        return Entry.objects.get(request_id=request_id)
    mirror = stock.take_back_entry(
        entry, request_id=request_id, now=now, by=by, reason="It did not come back."
    )
    for movement in entry.movements.select_related("item"):
        words = why_of(movement.item.code, movement.count)
        owed = owed_refunds(order).filter(text__endswith=words).last()
        if owed is not None:
            owed.delete()
    return mirror
