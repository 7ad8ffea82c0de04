"""The summary of sales, and the days on which an item could not be bought."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date, datetime
from uuid import UUID

from django.db import transaction
from django.db.models import F
from django.utils import timezone

from inventory.actions.ledger import check_count
from inventory.errors import SameRequestOtherContent
from inventory.models import (
    Entry,
    Item,
    OccasionSales,
    Outlet,
    SaleReturn,
    SalesDay,
    SpellOut,
)
from inventory.queries.promises import can_promise_by_item


def count_sale(item: Item, *, outlet: Outlet, day: date, count: int) -> None:
    """Add to the day's sales of an item at an outlet; a minus takes back."""
    row, _ = SalesDay.objects.get_or_create(item=item, outlet=outlet, day=day)
    SalesDay.objects.filter(pk=row.pk).update(sold=F("sold") + count)


# ------------------------------------------------------------ what came back


@transaction.atomic
def count_return(
    item: Item,
    *,
    outlet: Outlet,
    day: date,
    count: int,
    request_id: UUID,
    now: datetime,
    reference: str = "",
    entry: Entry | None = None,
) -> SaleReturn:
    """Take goods that came back off the day of their sale; said twice counts once.

    More may come back than the book knows as sold: the day then reads below nought,
    and whoever reads it says so. Taken back with its `entry`.
    """
    check_count(count)
    found, is_new = SaleReturn.objects.get_or_create(
        request_id=request_id,
        defaults={
            "item": item,
            "outlet": outlet,
            "day": day,
            "count": count,
            "reference": reference,
            "entry": entry,
            "came_at": now,
        },
    )
    if is_new:
        add_returned(found, count)
        return found
    was = (found.item_id, found.outlet_id, found.day, found.count)
    if was != (item.pk, outlet.pk, day, count):
        raise SameRequestOtherContent(str(request_id))
    return found


@transaction.atomic
def take_back_return(sale_return: SaleReturn, *, now: datetime) -> SaleReturn:
    """Count a return no longer; taken back twice it is taken back once."""
    found = SaleReturn.objects.select_for_update().get(pk=sale_return.pk)
    if found.taken_back_at is None:
        turn_return(found, now=now)
    return found


def turn_returns_of(entry: Entry, *, now: datetime) -> None:
    """Let returns follow their entry: taken back with it, and counted again.

    The mirror of a mirror brings the goods back once more.
    """
    first = entry
    while first.reverses is not None:
        first = first.reverses
    for found in SaleReturn.objects.select_for_update().filter(entry=first):
        turn_return(found, now=now)


def turn_return(sale_return: SaleReturn, *, now: datetime) -> None:
    is_live = sale_return.taken_back_at is None
    sale_return.taken_back_at = now if is_live else None
    sale_return.save(update_fields=["taken_back_at"])
    add_returned(sale_return, -sale_return.count if is_live else sale_return.count)


def add_returned(sale_return: SaleReturn, count: int) -> None:
    row, _ = SalesDay.objects.get_or_create(
        item_id=sale_return.item_id,
        outlet_id=sale_return.outlet_id,
        day=sale_return.day,
    )
    SalesDay.objects.filter(pk=row.pk).update(returned=F("returned") + count)


# ----------------------------------------------------------------- occasions


@transaction.atomic
def count_occasion(
    item: Item,
    *,
    outlet: Outlet,
    day: date,
    reference: str,
    sold: int | None,
    already: int = 0,
) -> None:
    """Let the sales of a day hold what a slot or a fair sold, by the difference.

    Said again, corrected either way, or moved to another day, the sales follow; None
    says that it is not known any more. `already` is what they held of it before it
    was first said: years typed in.
    """
    occasions = OccasionSales.objects.select_for_update()
    known = occasions.filter(reference=reference, item=item).first()
    if known is None and sold is not None:
        known = OccasionSales.objects.create(
            reference=reference,
            item=item,
            outlet=outlet,
            day=day,
            sold=already,
            already=already,
        )
    if known is None:
        return
    move_occasion(known, outlet, day, sold or 0)
    if sold is None:
        known.delete()


def move_occasion(known: OccasionSales, outlet: Outlet, day: date, sold: int) -> None:
    if (known.outlet_id, known.day) != (outlet.pk, day):
        count_sale(known.item, outlet=known.outlet, day=known.day, count=-known.sold)
        known.outlet, known.day, known.sold = outlet, day, 0
    if sold != known.sold:
        count_sale(known.item, outlet=outlet, day=day, count=sold - known.sold)
    known.sold = sold
    known.save(update_fields=["outlet", "day", "sold"])


# -------------------------------------------------------------- days it was out


def note_spells(items: Iterable[Item], *, now: datetime) -> None:
    """Open or end the spell during which a sold item could not be promised.

    Spells are whole days: one that opens and ends on the same day is no spell.
    """
    sold = {item.pk: item for item in items if item.is_sold}
    if not sold:
        return
    today = timezone.localdate(now)
    spells = {
        spell.item_id: spell
        for spell in SpellOut.objects.filter(item__in=sold, ended_on=None)
    }
    for item_pk, can_promise in can_promise_by_item(sold.values(), now=now).items():
        open_or_end(sold[item_pk], spells.get(item_pk), can_promise, today)


def open_or_end(
    item: Item, spell: SpellOut | None, can_promise: int, today: date
) -> None:
    if can_promise <= 0 and spell is None:
        SpellOut.objects.create(item=item, began_on=today)
    elif can_promise > 0 and spell is not None and spell.began_on >= today:
        spell.delete()
    elif can_promise > 0 and spell is not None:
        spell.ended_on = today
        spell.save(update_fields=["ended_on"])
