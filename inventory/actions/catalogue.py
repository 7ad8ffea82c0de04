"""Put items into the book: one line each is enough to begin with."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date, datetime
from typing import Any
from uuid import UUID, uuid5

from django.db import transaction

from inventory.actions.ledger import Move, check_count, write_entry
from inventory.actions.places import home_place, outside_place
from inventory.actions.sales import note_spells
from inventory.models import (
    Entry,
    Item,
    Outlet,
    OutletItem,
    PartsLine,
    PartsList,
)
from studio.models import Person


def add_item(*, code: str, name: str, kind: str, **more: Any) -> Item:
    """Add an item, or return the one that already has the code."""
    item, _ = Item.objects.get_or_create(
        code=code, defaults={"name": name, "kind": kind, **more}
    )
    return item


@transaction.atomic
def add_item_with_count(
    *,
    code: str,
    name: str,
    kind: str,
    count: int,
    request_id: UUID,
    now: datetime,
    by: Person | None = None,
    **more: Any,
) -> Item:
    """Add an item and its opening count in one go."""
    item = add_item(code=code, name=name, kind=kind, **more)
    if count:
        open_count(item, count=count, request_id=request_id, now=now, by=by)
    note_spells([item], now=now)
    return item


def open_count(
    item: Item, *, count: int, request_id: UUID, now: datetime, by: Person | None
) -> Entry:
    return write_entry(
        [Move(item, check_count(count), outside_place("opening"), home_place(item))],
        request_id=uuid5(request_id, item.code),
        verb=Entry.Verb.OPENED,
        now=now,
        by=by,
    )


@transaction.atomic
def set_parts_list(
    item: Item,
    *,
    needs: Mapping[Item, int],
    gives_back: Mapping[Item, int] | None = None,
    name: str = "From pieces",
    rank: int = 1,
    minutes: int = 0,
) -> PartsList:
    """Write, or write anew, one way of making an item up."""
    parts_list, _ = PartsList.objects.update_or_create(
        item=item, rank=rank, defaults={"name": name, "minutes": minutes}
    )
    parts_list.lines.all().delete()
    PartsLine.objects.bulk_create(
        [
            PartsLine(parts_list=parts_list, item=part, count=check_count(count))
            for part, count in needs.items()
        ]
        + [
            PartsLine(
                parts_list=parts_list,
                item=part,
                count=check_count(count),
                gives_back=True,
            )
            for part, count in (gives_back or {}).items()
        ]
    )
    return parts_list


def set_price(
    item: Item,
    *,
    outlet: Outlet,
    price_pence: int,
    valid_from: date,
    their_number: str = "",
) -> OutletItem:
    price, _ = OutletItem.objects.update_or_create(
        outlet=outlet,
        item=item,
        valid_from=valid_from,
        defaults={"price_pence": price_pence, "their_number": their_number},
    )
    return price
