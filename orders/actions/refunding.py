"""Swaps that were agreed, lines taken off, and the money that goes back for them."""

from __future__ import annotations

from datetime import datetime
from uuid import UUID

from django.db import transaction
from django.db.models import QuerySet

from inventory import actions as stock
from inventory.models import Claim, Item
from orders.actions.asking import answer_all
from orders.actions.lines import check_open, lock, lock_open
from orders.discount import discounted as less_discount
from orders.errors import NothingOwed, RefundTooLarge
from orders.models import Order, OrderLine, Question, Swap
from studio import money
from studio.days import london_day
from studio.models import MoneyLine

REFUND = "refund"


@transaction.atomic
def agree_swap(
    line: OrderLine,
    *,
    item: Item,
    refund_pence: int,
    request_id: UUID,
    now: datetime,
    overruled_because: str = "",
) -> Swap:
    """Send another item by agreement, at the same rank, and owe the difference.

    Raises `StockShort` when the other item cannot be promised either. The sale stays
    counted for what was asked for.
    """
    order = lock(line.order)
    said_before = Claim.objects.filter(request_id=request_id).first()
    if said_before is not None:
        return Swap.objects.get(line__claim=said_before)
    check_open(order)
    line.refresh_from_db()
    check_refund(line, refund_pence)
    line.claim = swapped_claim(line, item, request_id, now, overruled_because)
    line.sends = item
    line.save(update_fields=["claim", "sends"])
    swap, _ = Swap.objects.update_or_create(
        line=line,
        defaults={
            "ordered": line.item,
            "agreed_at": now,
            "refund_pence": refund_pence,
            "refund_paid_at": None,
        },
    )
    owe_refund(order, pence=refund_pence, why=f"{item.code} instead", now=now)
    answer_all(order, kinds=[Question.Kind.OTHER], answer="Swapped.", now=now)
    return swap


def swapped_claim(
    line: OrderLine, item: Item, request_id: UUID, now: datetime, because: str
) -> Claim:
    claim = line.claim
    if claim is None or claim.closed_at is not None:
        raise NothingOwed(line.order.number, line.sends.code)
    return stock.swap_claim(
        claim, item=item, request_id=request_id, now=now, because=because
    )


def check_refund(line: OrderLine, refund_pence: int) -> None:
    total = line.count * line.price_pence
    if not 0 <= refund_pence <= total:
        raise RefundTooLarge(money.show_pounds(refund_pence), money.show_pounds(total))


def owe_refund(order: Order, *, pence: int, why: str, now: datetime) -> None:
    if not pence:
        return
    MoneyLine.objects.create(
        text=f"Refund to {order.customer.name}, {order.number}: {why}"[:160],
        pence=-pence,
        expected_on=london_day(now),
        category=REFUND,
        reference=order.number,
    )


@transaction.atomic
def pay_refund(swap: Swap, *, paid_at: datetime) -> Swap:
    """Mark the difference of a swap as paid back; a second time changes nothing."""
    swap = (
        Swap.objects.select_for_update().select_related("line__order").get(pk=swap.pk)
    )
    if swap.refund_paid_at is not None:
        return swap
    swap.refund_paid_at = paid_at
    swap.save(update_fields=["refund_paid_at"])
    settle_refund(swap.line.order, pence=swap.refund_pence, paid_at=paid_at)
    return swap


def settle_refund(order: Order, *, pence: int, paid_at: datetime) -> None:
    owed = owed_refunds(order).filter(pence=-pence).first()
    if owed is not None:
        owed.moved_on = london_day(paid_at)
        owed.save(update_fields=["moved_on"])


def owed_refunds(order: Order) -> QuerySet[MoneyLine]:
    return MoneyLine.objects.filter(
        category=REFUND, reference=order.number, moved_on=None
    )


@transaction.atomic
def refund_line(line: OrderLine, *, now: datetime) -> OrderLine:
    """Take what a line still owes off the order, and owe the money for it.

    A second time nothing is owed any more, so that nothing changes.
    """
    order = lock_open(line.order)
    line = OrderLine.objects.select_for_update().get(pk=line.pk)
    count = line.owed
    if not count:
        return line
    if line.claim is not None:
        stock.release_claim(line.claim, now=now)
    line.taken_off += count
    line.save(update_fields=["taken_off"])
    take_back_sale(order, line, count)
    if order.paid == Order.Paid.PAID:
        pence = discounted(order, count * line.price_pence)
        owe_refund(order, pence=pence, why=f"{line.item.code} not sent", now=now)
    answer_all(order, kinds=[Question.Kind.OTHER], answer="Taken off.", now=now)
    return line


def take_back_sale(order: Order, line: OrderLine, count: int) -> None:
    count_sale_of(order, line, -count)


def count_sale_of(order: Order, line: OrderLine, count: int) -> None:
    """Count on the day the order was placed; what is sent free is no sale."""
    if order.kind == Order.Kind.SALE and count:
        stock.count_sale(
            line.item,
            outlet=order.outlet,
            day=london_day(order.placed_at),
            count=count,
        )


def discounted(order: Order, pence: int) -> int:
    """Take the order's discount off a sum, rounded half up to the penny."""
    return less_discount(pence, order.discount_per_hundred)
