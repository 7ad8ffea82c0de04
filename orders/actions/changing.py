"""Change an open order: paid, held longer, sent elsewhere, collected, split."""

from __future__ import annotations

from datetime import date, datetime
from uuid import UUID

from django.db import transaction

from inventory import actions as stock
from orders.actions.asking import answer_all, ask_about_address
from orders.actions.lines import claim_again, live_claim, lock_open
from orders.actions.taking import columns_of
from orders.addresses import Address
from orders.errors import PlacedLater
from orders.models import Order, OrderLine, PostalClaim, Question
from studio.days import show_moment


@transaction.atomic
def pay_order(
    order: Order, *, paid_at: datetime, request_id: UUID, now: datetime
) -> Order:
    """Mark an order paid; its claims rank from then. Paid already, nothing changes."""
    order = lock_open(order)
    if order.paid != Order.Paid.AWAITED:
        return order
    if paid_at > now:
        raise PlacedLater(order.number, show_moment(paid_at))
    order.paid, order.paid_at, order.held_until = Order.Paid.PAID, paid_at, None
    order.save(update_fields=["paid", "paid_at", "held_until"])
    for line in order.lines.select_related("claim", "sends", "order__customer"):
        pay_line(line, paid_at=paid_at, request_id=request_id, now=now)
    return order


def pay_line(
    line: OrderLine, *, paid_at: datetime, request_id: UUID, now: datetime
) -> None:
    claim = live_claim(line)
    if claim is None:
        claim_again(line, request_id=request_id, now=now, because="paid order")
    else:
        stock.pay_claim(claim, paid_at=paid_at, now=now)


@transaction.atomic
def set_hold(order: Order, *, until: datetime) -> Order:
    """Let the hold of an order end at another moment."""
    order = lock_open(order)
    if order.paid != Order.Paid.AWAITED:
        return order
    order.held_until = until
    order.save(update_fields=["held_until"])
    for line in order.lines.select_related("claim"):
        claim = live_claim(line)
        if claim is not None:
            claim.until = until
            claim.save(update_fields=["until"])
    return order


@transaction.atomic
def set_need_by(order: Order, *, need_by: date | None) -> Order:
    order = lock_open(order)
    order.need_by = need_by
    order.save(update_fields=["need_by"])
    for line in order.lines.select_related("claim"):
        claim = live_claim(line)
        if claim is not None:
            claim.wanted_on = need_by
            claim.save(update_fields=["wanted_on"])
    return order


@transaction.atomic
def set_address(order: Order, *, address: Address, now: datetime) -> Order:
    """Write where it goes anew; the question of the address is answered or asked."""
    order = lock_open(order)
    write_columns(order, address)
    ask_anew_about_address(order, answer="The address was completed.", now=now)
    return order


@transaction.atomic
def set_gift(
    order: Order,
    *,
    recipient_name: str,
    address: Address,
    card_text: str = "",
    now: datetime,
) -> Order:
    """Send an order to somebody else, without prices."""
    order = lock_open(order)
    order.is_gift = True
    order.recipient_name = recipient_name
    order.card_text = card_text
    order.save(update_fields=["is_gift", "recipient_name", "card_text"])
    write_columns(order, address)
    ask_anew_about_address(order, answer="The recipient's address is given.", now=now)
    return order


def write_columns(order: Order, address: Address) -> None:
    columns = columns_of(address)
    for name, value in columns.items():
        setattr(order, name, value)
    order.save(update_fields=list(columns))


def ask_anew_about_address(order: Order, *, answer: str, now: datetime) -> None:
    answer_all(order, kinds=[Question.Kind.ADDRESS], answer=answer, now=now)
    ask_about_address(order, now=now)


@transaction.atomic
def set_collection(
    order: Order, *, on: date | None, at: str = "", now: datetime
) -> Order:
    """Say that an order is fetched and not posted; no day means post it after all."""
    order = lock_open(order)
    order.collect_on, order.collect_at = on, at if on is not None else ""
    order.save(update_fields=["collect_on", "collect_at"])
    if on is None:
        ask_about_address(order, now=now)
    else:
        answer_all(
            order, kinds=[Question.Kind.ADDRESS], answer="It is collected.", now=now
        )
    return order


@transaction.atomic
def send_part(order: Order, *, sends_part: bool = True) -> Order:
    """Send what is there now; the rest follows without another charge."""
    order = lock_open(order)
    order.sends_part = sends_part
    order.save(update_fields=["sends_part"])
    return order


@transaction.atomic
def say_why_free(order: Order, *, kind: str, for_order: Order) -> Order:
    """Say what an order without charge is for: goodwill, or a thing replaced."""
    order = lock_open(order)
    order.kind, order.for_order = kind, for_order
    order.save(update_fields=["kind", "for_order"])
    return order


def open_postal_claim(order: Order, *, opened_on: date, note: str = "") -> PostalClaim:
    """Note a claim on the carrier; one a day for an order."""
    claim, _ = PostalClaim.objects.get_or_create(
        order=order, opened_on=opened_on, defaults={"note": note}
    )
    return claim


def close_postal_claim(claim: PostalClaim, *, closed_on: date) -> PostalClaim:
    claim.closed_on = closed_on
    claim.save(update_fields=["closed_on"])
    return claim
