"""Put items into the book: one line each is enough to begin with."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any
from uuid import UUID, uuid5

from django.db import transaction

from inventory.actions.ledger import Move, check_count, write_entry
from inventory.actions.places import home_place, outside_place
from inventory.actions.sales import note_spells
from inventory.errors import CodeTaken, PartOfItself
from inventory.models import (
    BundleContents,
    Entry,
    Item,
    Outlet,
    OutletItem,
    PartsLine,
    PartsList,
    PieceShape,
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


@dataclass(frozen=True)
class NewGoods:
    """One line of the first minutes: a name, how many, a code and a kind."""

    code: str
    name: str
    kind: str
    count: int
    is_sold: bool


@transaction.atomic
def add_goods(
    goods: Iterable[NewGoods],
    *,
    request_id: UUID,
    now: datetime,
    by: Person | None = None,
) -> list[Item]:
    """Add a whole list with its opening counts, or nothing of it."""
    return [
        add_item_with_count(
            code=one.code,
            name=one.name,
            kind=one.kind,
            count=one.count,
            is_sold=one.is_sold,
            request_id=request_id,
            now=now,
            by=by,
        )
        for one in goods
    ]


@transaction.atomic
def change_item(item: Item, *, now: datetime, **fields: Any) -> Item:
    """Write an item's particulars anew."""
    if Item.objects.filter(code=fields.get("code")).exclude(pk=item.pk).exists():
        other = Item.objects.get(code=fields["code"])
        raise CodeTaken(other.code, other.name)
    for name, value in fields.items():
        setattr(item, name, value)
    item.save(update_fields=list(fields))
    note_spells([item], now=now)
    return item


def set_shape(item: Item, **shape: Any) -> PieceShape:
    """Write the cut outline of a piece, in exact inches."""
    written, _ = PieceShape.objects.update_or_create(item=item, defaults=shape)
    return written


def set_contents(item: Item, **contents: Any) -> BundleContents:
    """Write what a bundle holds."""
    written, _ = BundleContents.objects.update_or_create(item=item, defaults=contents)
    return written


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
    refuse_circle(item, needs)
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


def refuse_circle(item: Item, needs: Iterable[Item]) -> None:
    """Refuse parts that are made up, on any level, from the item itself."""
    parts_of: dict[int, set[int]] = {}
    lines = PartsLine.objects.filter(gives_back=False)
    for made, part in lines.values_list("parts_list__item_id", "item_id"):
        parts_of.setdefault(made, set()).add(part)
    reached = {part.pk for part in needs}
    while True:
        further = reached.union(*(parts_of.get(key, set()) for key in reached))
        if item.pk in further:
            raise PartOfItself(item.code)
        if further == reached:
            return
        reached = further


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
