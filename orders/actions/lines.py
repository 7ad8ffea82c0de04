"""Keep the claims of an order's lines in step with what the order still owes."""

from __future__ import annotations

from datetime import datetime
from uuid import UUID, uuid5

from inventory import actions as stock
from inventory.models import Claim
from orders.actions.taking import label_of
from orders.errors import OrderNotOpen
from orders.models import Order, OrderLine


def lock(order: Order) -> Order:
    """Read an order anew and let nobody else change it until this is done."""
    return Order.objects.select_for_update(of=("self",)).get(pk=order.pk)


def lock_open(order: Order) -> Order:
    """Lock an order that is still open, or say what it is by now."""
    locked = lock(order)
    check_open(locked)
    return locked


def check_open(order: Order) -> None:
    if order.state != Order.State.OPEN:
        raise OrderNotOpen(order.number, order.get_state_display().lower())


def lines_of(order: Order) -> list[OrderLine]:
    return list(order.lines.select_related("item", "sends", "sends__home_place"))


def live_claim(line: OrderLine) -> Claim | None:
    claim = line.claim
    return claim if claim is not None and claim.closed_at is None else None


def release_lines(order: Order, *, now: datetime) -> None:
    for line in order.lines.select_related("claim"):
        if line.claim is not None:
            stock.release_claim(line.claim, now=now)


def claim_again(
    line: OrderLine, *, request_id: UUID, now: datetime, because: str
) -> None:
    """Promise again all that a line owes, at the rank it had before."""
    claim = line.claim
    if claim is not None and claim.closed_at is None:
        stock.release_claim(claim, now=now)
    if not line.owed:
        return
    order = line.order
    awaited = order.paid == Order.Paid.AWAITED
    line.claim = stock.claim_stock(
        line.sends,
        count=line.owed,
        kind=Claim.Kind.HOLD if awaited else Claim.Kind.PAID,
        label=label_of(order),
        request_id=uuid5(request_id, f"line {line.pk}"),
        now=now,
        reference=order.number,
        outlet=order.outlet,
        ranks_at=order.paid_at or order.placed_at,
        until=order.held_until if awaited else None,
        wanted_on=order.need_by,
        overruled_because=because,
    )
    line.save(update_fields=["claim"])
