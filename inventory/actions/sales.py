"""The summary of sales, and the days on which an item could not be bought."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date, datetime

from django.db.models import F
from django.utils import timezone

from inventory.models import Item, Outlet, SalesDay, SpellOut
from inventory.queries.promises import can_promise_by_item


def count_sale(item: Item, *, outlet: Outlet, day: date, count: int) -> None:
    """Add to the day's sales of an item at an outlet; a minus takes back."""
    row, _ = SalesDay.objects.get_or_create(item=item, outlet=outlet, day=day)
    SalesDay.objects.filter(pk=row.pk).update(sold=F("sold") + count)


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
