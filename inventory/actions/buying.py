"""Order from a supplier, and take the delivery in: received, damaged, landed cost."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date, datetime
from typing import Any
from uuid import UUID, uuid5

from django.db import transaction

from inventory.actions.claims import expect_arrival
from inventory.actions.ledger import Move, check_count, write_entry
from inventory.actions.places import home_place, outside_place
from inventory.actions.sales import note_spells
from inventory.errors import NotACount
from inventory.landed import Arrived, landed_mills
from inventory.models import (
    Arrival,
    Entry,
    Item,
    Purchase,
    PurchaseLine,
    Supplier,
    SupplierItem,
)
from studio.models import Person


def add_supplier(*, name: str, **particulars: Any) -> Supplier:
    """Add a supplier, or return the one that already has the name."""
    supplier, _ = Supplier.objects.get_or_create(name=name, defaults=particulars)
    return supplier


def change_supplier(supplier: Supplier, **particulars: Any) -> Supplier:
    for name, value in particulars.items():
        setattr(supplier, name, value)
    supplier.save(update_fields=list(particulars))
    return supplier


def remember_seller(supplier: Supplier, item: Item, price_mills: int) -> None:
    """Know from an order who sells it; a price written down before is left alone."""
    SupplierItem.objects.get_or_create(
        supplier=supplier, item=item, defaults={"price_mills": price_mills}
    )


@transaction.atomic
def order_from_supplier(
    supplier: Supplier,
    lines: Sequence[tuple[Item, int, int]],
    *,
    request_id: UUID,
    ordered_on: date,
    expected_on: date | None = None,
    carriage_pence: int = 0,
    reference: str = "",
) -> Purchase:
    """Write an order of (item, count, price in mills); expect it if a day is known."""
    said_before = Purchase.objects.filter(request_id=request_id).first()
    if said_before is not None:
        return said_before
    purchase = Purchase.objects.create(
        supplier=supplier,
        ordered_on=ordered_on,
        expected_on=expected_on,
        carriage_pence=carriage_pence,
        reference=reference,
        request_id=request_id,
    )
    for number, (item, count, price_mills) in enumerate(lines):
        PurchaseLine.objects.create(
            purchase=purchase,
            item=item,
            ordered=check_count(count),
            price_mills=price_mills,
        )
        remember_seller(supplier, item, price_mills)
        if expected_on is not None:
            expect_arrival(
                item,
                count=count,
                expected_on=expected_on,
                source=supplier.name,
                reference=f"purchase {purchase.pk}",
                request_id=uuid5(request_id, f"arrival {number}"),
            )
    return purchase


@transaction.atomic
def receive_purchase(
    purchase: Purchase,
    *,
    received: Mapping[int, tuple[int, int]],
    request_id: UUID,
    now: datetime,
    by: Person | None = None,
) -> Purchase:
    """Take a delivery in, line by line as (received, damaged).

    Only good ones reach the shelf. Carriage is shared by value over what came good
    and makes the landed cost, which becomes the item's cost.
    """
    purchase = Purchase.objects.select_for_update().get(pk=purchase.pk)
    if purchase.received_at is not None:
        return purchase
    lines = list(purchase.lines.select_related("item", "item__home_place"))
    for line in lines:
        line.received, line.damaged = received.get(line.pk, (0, 0))
        check_received(line)
    spread_carriage(lines, purchase.carriage_pence)
    moves = [
        Move(line.item, good(line), outside_place("bought"), home_place(line.item))
        for line in lines
        if good(line)
    ]
    if moves:
        write_entry(
            moves,
            request_id=request_id,
            verb=Entry.Verb.BOUGHT,
            now=now,
            by=by,
            reference=f"purchase {purchase.pk}",
        )
    Arrival.objects.filter(reference=f"purchase {purchase.pk}", closed_at=None).update(
        closed_at=now
    )
    purchase.received_at = now
    purchase.save(update_fields=["received_at"])
    note_spells([line.item for line in lines], now=now)
    return purchase


def check_received(line: PurchaseLine) -> None:
    received, damaged = line.received or 0, line.damaged
    if not 0 <= damaged <= received <= 99_999:
        raise NotACount(f"{damaged} damaged of {received}")


def good(line: PurchaseLine) -> int:
    return (line.received or 0) - line.damaged


def spread_carriage(lines: Sequence[PurchaseLine], carriage_pence: int) -> None:
    """Write each line's landed cost, which becomes the cost of its item."""
    arrived = [Arrived(good(line), line.price_mills) for line in lines]
    costs = landed_mills(arrived, carriage_pence)
    for line, cost_mills in zip(lines, costs, strict=True):
        line.landed_mills = cost_mills
        line.save(update_fields=["received", "damaged", "landed_mills"])
        if cost_mills is not None:
            line.item.cost_mills = cost_mills
            line.item.save(update_fields=["cost_mills"])
