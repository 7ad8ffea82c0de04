"""Close an order: cancelled, with a way back, or collected."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from datetime import datetime
from uuid import UUID

from django.db import transaction

from inventory import actions as stock
from inventory.actions.making_up import taken_from_places
from inventory.models import Entry, Item, Place
from orders.actions.asking import (
    answer_all,
    ask_about_address,
    ask_about_doubles,
)
from orders.actions.lines import (
    check_open,
    claim_again,
    lines_of,
    lock,
    release_lines,
)
from orders.actions.refunding import (
    count_sale_of,
    discounted,
    owe_refund,
    owed_refunds,
    take_back_sale,
)
from orders.errors import OrderNotPaid
from orders.models import Order, OrderLine, Packet, Question
from studio.models import Person

CANCELLED = "order cancelled"


@transaction.atomic
def cancel_order(order: Order, *, now: datetime) -> Order:
    """Let an order's goods go, take its sale back and owe the money that was paid."""
    order = lock(order)
    if order.state == Order.State.CANCELLED:
        return order
    check_open(order)
    release_lines(order, now=now)
    for line in lines_of(order):
        take_back_sale(order, line, line.owed)
    order.packets.filter(state__in=["to-pack", "packed"]).update(
        state=Packet.State.UNDONE
    )
    if order.paid == Order.Paid.PAID:
        owe_refund(order, pence=owed_pence(order), why=CANCELLED, now=now)
    answer_all(order, kinds=list(Question.Kind), answer="Cancelled.", now=now)
    Question.objects.filter(other_order=order, answered_at=None).update(
        answered_at=now, answer=f"{order.number} was cancelled."
    )
    order.state = Order.State.CANCELLED
    order.save(update_fields=["state"])
    return order


def owed_pence(order: Order) -> int:
    """Add up what is still owed in goods, and the postage if nothing went yet."""
    lines = lines_of(order)
    goods = sum(line.owed * line.price_pence for line in lines)
    nothing_went = not any(line.gone for line in lines)
    postage = order.postage_charged_pence if nothing_went else 0
    return discounted(order, goods) + postage


@transaction.atomic
def reopen_order(order: Order, *, request_id: UUID, now: datetime) -> Order:
    """Undo a cancelling: promise the goods again at the old rank, count the sale."""
    order = lock(order)
    if order.state != Order.State.CANCELLED:
        return order
    order.state = Order.State.OPEN
    order.save(update_fields=["state"])
    for line in lines_of(order):
        claim_again(line, request_id=request_id, now=now, because="cancelling undone")
        count_sale_of(order, line, line.owed)
    owed_refunds(order).filter(text__endswith=CANCELLED).delete()
    ask_about_address(order, now=now)
    ask_about_doubles(order, now=now)
    return order


@transaction.atomic
def collect_order(
    order: Order,
    *,
    request_id: UUID,
    now: datetime,
    by: Person | None = None,
    place: Place | None = None,
) -> Order:
    """Hand an order over: its goods leave the shelf, or the place named, as sold."""
    order = lock(order)
    if Entry.objects.filter(request_id=request_id).exists():
        return order
    check_open(order)
    if order.paid == Order.Paid.AWAITED:
        raise OrderNotPaid(order.number)
    owed = [(line, line.owed) for line in lines_of(order) if line.owed]
    stock.write_entry(
        leaving_moves(owed, place=place),
        request_id=request_id,
        verb=verb_of(order),
        now=now,
        by=by,
        reference=order.number,
    )
    for line, count in owed:
        let_go(line, count, now=now)
    order.state = Order.State.COLLECTED
    order.posted_on = None
    order.save(update_fields=["state", "posted_on"])
    return order


def verb_of(order: Order) -> str:
    return Entry.Verb.SOLD if order.kind == Order.Kind.SALE else Entry.Verb.GIVEN


def leaving_moves(
    lines: Iterable[tuple[OrderLine, int]], *, place: Place | None = None
) -> list[stock.Move]:
    """Return the movements of goods going out: sold, or given when sent free."""
    wanted: Counter[tuple[Item, str]] = Counter()
    for line, count in lines:
        is_sale = line.order.kind == Order.Kind.SALE
        wanted[line.sends, "sold" if is_sale else "given"] += count
    totals: Counter[Item] = Counter()
    for (item, _), count in wanted.items():
        totals[item] += count
    moves = []
    for item, total in totals.items():
        here = [(place, total)] if place else taken_from_places(item, total)
        moves += moves_from(item, here, wanted)
    return moves


def moves_from(
    item: Item,
    places: Iterable[tuple[Place, int]],
    wanted: Counter[tuple[Item, str]],
) -> list[stock.Move]:
    """Take the sold ones first, then the given ones, from the places in order."""
    moves = []
    for place, here in places:
        for way_out in ("sold", "given"):
            taken = min(here, wanted[item, way_out])
            if taken:
                outside = stock.outside_place(way_out)
                moves.append(stock.Move(item, taken, place, outside))
                wanted[item, way_out] -= taken
                here -= taken
    return moves


def let_go(line: OrderLine, count: int, *, now: datetime) -> None:
    """Note that goods of a line went, and close that much of its claim."""
    line.gone += count
    line.save(update_fields=["gone"])
    if line.claim is not None:
        stock.close_claim(line.claim, now=now, gone=count)
