"""Take an order into the book: its customer, its lines, a claim for each."""

from __future__ import annotations

from datetime import datetime, time, timedelta
from uuid import UUID, uuid5

from django.db import transaction

from inventory import actions as stock
from inventory.actions.ledger import check_count
from inventory.errors import SameRequestOtherContent
from inventory.models import Claim, Outlet
from orders.actions.asked import AskedLine, AskedOrder, Buyer
from orders.actions.asking import ask_about_address, ask_about_doubles
from orders.addresses import Address, doorstep, show_one_line
from orders.errors import NothingOrdered, OrderKnown, PlacedLater
from orders.models import Customer, Order, OrderLine
from studio.days import at_clock, london_day, show_moment
from studio.models import Person

HOLD_DAYS = 7
LAST_MINUTE = time(23, 59)
WHY_ALWAYS_TAKEN = {
    Order.Paid.PAID.value: "paid order",
    Order.Paid.FREE.value: "sent free",
}


@transaction.atomic
def take_order(
    asked: AskedOrder,
    *,
    request_id: UUID,
    now: datetime,
    by: Person | None = None,
) -> Order:
    """Write an order down and promise its goods.

    A paid order is always taken in and shows as short; one whose payment is awaited
    is a hold with an end, and raises `StockShort` when it asks for more than can be
    promised, unless a reason overrules that.
    """
    # One order at a time for each outlet, so that a double tap meets its first.
    Outlet.objects.select_for_update().get(pk=asked.outlet.pk)
    said_before = Order.objects.filter(request_id=request_id).first()
    if said_before is not None:
        return same_order(said_before, asked)
    check(asked, now)
    order = write_order(asked, request_id=request_id, now=now)
    for place, line in enumerate(asked.lines):
        write_line(order, line, asked, request_id=uuid5(request_id, str(place)))
    ask_about_address(order, now=now)
    ask_about_doubles(order, now=now)
    return order


def same_order(order: Order, asked: AskedOrder) -> Order:
    if order.number != asked.number:
        raise SameRequestOtherContent(str(order.request_id))
    return order


def check(asked: AskedOrder, now: datetime) -> None:
    if not asked.lines:
        raise NothingOrdered(asked.number)
    for moment in (asked.placed_at, asked.paid_at):
        if moment is not None and moment > now:
            raise PlacedLater(asked.number, show_moment(moment))
    for line in asked.lines:
        check_count(line.count)
    if Order.objects.filter(number=asked.number).exists():
        raise OrderKnown(asked.number)


def write_order(asked: AskedOrder, *, request_id: UUID, now: datetime) -> Order:
    awaited = asked.paid == Order.Paid.AWAITED
    return Order.objects.create(
        number=asked.number,
        kind=asked.kind,
        outlet=asked.outlet,
        customer=customer_of(asked.buyer, now=asked.placed_at),
        placed_at=asked.placed_at,
        typed_in_at=now,
        paid=asked.paid,
        paid_at=paid_at(asked),
        held_until=(asked.held_until or hold_end(now)) if awaited else None,
        postage_charged_pence=asked.postage_charged_pence,
        discount_per_hundred=asked.discount_per_hundred,
        recipient_name=asked.recipient_name or asked.buyer.name,
        **columns_of(asked.goes_to),
        is_gift=asked.is_gift,
        card_text=asked.card_text,
        need_by=asked.need_by,
        collect_on=asked.collect_on,
        collect_at=asked.collect_at,
        for_order=asked.for_order,
        customer_note=asked.customer_note,
        request_id=request_id,
    )


def columns_of(address: Address) -> dict[str, str | bool]:
    """Return an order's columns of where it goes; abroad needs a customs form."""
    return {
        "address_lines": "\n".join(address.lines),
        "town": address.town,
        "postcode": address.postcode,
        "country": address.country_abroad,
        "doorstep": doorstep(address),
        "needs_customs": address.is_abroad,
    }


def hold_end(now: datetime) -> datetime:
    """Let a hold end with the seventh day from now: none is without an end."""
    return at_clock(london_day(now) + timedelta(days=HOLD_DAYS), LAST_MINUTE)


def paid_at(asked: AskedOrder) -> datetime | None:
    if asked.paid != Order.Paid.PAID:
        return None
    return asked.paid_at or asked.placed_at


def customer_of(buyer: Buyer, *, now: datetime) -> Customer:
    """Find the customer of this name at this door, or write a new one down."""
    door = doorstep(buyer.address)
    found = Customer.objects.filter(
        name__iexact=buyer.name, doorstep=door, blanked_at=None
    ).first()
    if found is None:
        return Customer.objects.create(
            name=buyer.name,
            doorstep=door,
            address=show_one_line(buyer.address),
            email=buyer.email,
            phone=buyer.phone,
            first_seen_at=now,
        )
    learn(found, buyer)
    return found


def learn(customer: Customer, buyer: Buyer) -> None:
    """Keep an e-mail address or telephone number given since."""
    new = {
        name: value
        for name, value in (("email", buyer.email), ("phone", buyer.phone))
        if value and value != getattr(customer, name)
    }
    if new:
        Customer.objects.filter(pk=customer.pk).update(**new)


def write_line(
    order: Order, line: AskedLine, asked: AskedOrder, *, request_id: UUID
) -> OrderLine:
    claim = claim_for(
        order,
        line,
        request_id=request_id,
        because=asked.overruled_because or WHY_ALWAYS_TAKEN.get(order.paid, ""),
    )
    if order.kind == Order.Kind.SALE:
        stock.count_sale(
            line.item,
            outlet=order.outlet,
            day=london_day(order.placed_at),
            count=line.count,
        )
    return OrderLine.objects.create(
        order=order,
        item=line.item,
        sends=line.item,
        count=line.count,
        price_pence=line.price_pence,
        claim=claim,
    )


def claim_for(
    order: Order, line: AskedLine, *, request_id: UUID, because: str
) -> Claim:
    """Promise a line's goods: paid ones rank from when they were paid."""
    awaited = order.paid == Order.Paid.AWAITED
    return stock.claim_stock(
        line.item,
        count=line.count,
        kind=Claim.Kind.HOLD if awaited else Claim.Kind.PAID,
        label=label_of(order),
        request_id=request_id,
        now=order.typed_in_at,
        reference=order.number,
        outlet=order.outlet,
        ranks_at=order.paid_at or order.placed_at,
        until=order.held_until,
        wanted_on=order.need_by,
        overruled_because=because,
    )


def label_of(order: Order) -> str:
    return f"{order.number}, {order.customer.name}"[:120]
