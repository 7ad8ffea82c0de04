"""The days on which a thing could be bought: promised above nought, outlet open.

    in stock at an outlet = days known - days out - days the outlet was closed
    out at an outlet      = days out - days the outlet was closed

A day is one whole day in London, written as its ordinal number. What may stand for one
size (two designs merged) takes the union: a day counts once on which any could be
bought, and is a day out only where none could.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from functools import reduce

from django.db.models import Min, OuterRef, Q, Subquery

from inventory.models import (
    ClosedSpell,
    Entry,
    Item,
    Movement,
    Outlet,
    SalesDay,
    SpellOut,
)
from studio.days import london_day

# Television hours and fairs are occasions: they are told apart from the steady trade.
OCCASIONS = (Outlet.Kind.TELEVISION, Outlet.Kind.FAIR)
NO_DAYS: frozenset[int] = frozenset()


@dataclass(frozen=True)
class ItemDays:
    """Days, as ordinals, on which an item could be promised, and could not."""

    there: frozenset[int] = NO_DAYS
    out: frozenset[int] = NO_DAYS

    def or_instead(self, other: ItemDays) -> ItemDays:
        """Return the days of two that may stand for each other."""
        there = self.there | other.there
        return ItemDays(there, (self.out | other.out) - there)

    def while_open(self, closed: frozenset[int]) -> ItemDays:
        return ItemDays(self.there - closed, self.out - closed)


def days_of_group(items: Iterable[Item], days: dict[int, ItemDays]) -> ItemDays:
    return reduce(ItemDays.or_instead, (days[item.pk] for item in items), ItemDays())


def days_by_item(
    items: Iterable[Item], *, first_day: date, last_day: date
) -> dict[int, ItemDays]:
    """Return the days of each item, both ends included: four queries for all.

    Nothing is judged by days before the book knew anything, nor by days before its
    design began or the item itself came into the book.
    """
    items = list(items)
    began = book_began() or last_day + timedelta(days=1)
    first_day = max(first_day, began)
    known = known_since(items)
    spells = spells_by_item(items, first_day, last_day)
    found = {}
    for item in items:
        start = max(first_day, known[item.pk] or first_day)
        out = days_within(spells[item.pk], start, last_day)
        found[item.pk] = ItemDays(range_of(start, last_day) - out, out)
    return found


def book_began() -> date | None:
    """Return the first day of which the book knows an act or a sale."""
    sale = SalesDay.objects.order_by("day").values_list("day", flat=True).first()
    known = [day for day in (first_act_day(), sale) if day]
    return min(known, default=None)


def first_act_day() -> date | None:
    act = Entry.objects.order_by("pk").values_list("happened_at", flat=True).first()
    return london_day(act) if act else None


def known_since(items: Sequence[Item]) -> dict[int, date | None]:
    """Return when each item came into the book, where that was after it began.

    An item without movement, sale or spell out is one whose beginning nobody wrote.
    """
    began = first_act_day()
    rows = with_first_signs(items)
    found: dict[int, date | None] = {}
    for item in items:
        first = min(rows[item.pk], default=None)
        came_later = first is not None and began is not None and first > began
        begun = item.design.begun_on if item.design else None
        starts = [day for day in (first if came_later else None, begun) if day]
        found[item.pk] = max(starts, default=None)
    return found


def with_first_signs(items: Sequence[Item]) -> dict[int, list[date]]:
    """Return the first day moved, sold and out of each item: one query."""
    first_move = Movement.objects.filter(item=OuterRef("pk")).order_by("pk")
    rows = (
        Item.objects.filter(pk__in=[item.pk for item in items])
        .annotate(
            moved=Subquery(first_move.values("entry__happened_at")[:1]),
            sold=first_of(SalesDay, "day"),
            out=first_of(SpellOut, "began_on"),
        )
        .order_by()
        .values_list("pk", "moved", "sold", "out")
    )
    return {
        pk: [day for day in (moved and london_day(moved), sold, out) if day]
        for pk, moved, sold, out in rows
    }


def first_of(model: type[SalesDay | SpellOut], field: str) -> Subquery:
    rows = model.objects.filter(item=OuterRef("pk")).order_by().values("item")
    return Subquery(rows.annotate(first=Min(field)).values("first"))


def spells_by_item(
    items: Iterable[Item], first_day: date, last_day: date
) -> dict[int, list[SpellOut]]:
    found: dict[int, list[SpellOut]] = defaultdict(list)
    spells = SpellOut.objects.filter(
        within(first_day, last_day), item__in=[item.pk for item in items]
    )
    for spell in spells:
        found[spell.item_id].append(spell)
    return found


def within(first_day: date, last_day: date) -> Q:
    return Q(began_on__lte=last_day) & (Q(ended_on=None) | Q(ended_on__gt=first_day))


def days_within(
    spells: Iterable[SpellOut | ClosedSpell], first_day: date, last_day: date
) -> frozenset[int]:
    """Return each day of the spells once, however they overlap."""
    days: set[int] = set()
    for spell in spells:
        last = spell.ended_on - timedelta(1) if spell.ended_on else last_day
        days |= range_of(max(spell.began_on, first_day), min(last, last_day))
    return frozenset(days)


def range_of(first_day: date, last_day: date) -> frozenset[int]:
    return frozenset(range(first_day.toordinal(), last_day.toordinal() + 1))


# ------------------------------------------------------------- outlets closed


def closed_days(first_day: date, last_day: date) -> dict[int, frozenset[int]]:
    """Return the days on which each outlet was closed, by its key: one query."""
    found: dict[int, list[ClosedSpell]] = defaultdict(list)
    for spell in ClosedSpell.objects.filter(within(first_day, last_day)):
        found[spell.outlet_id].append(spell)
    return {
        outlet: days_within(spells, first_day, last_day)
        for outlet, spells in found.items()
    }


def nowhere_open(
    outlets: Iterable[Outlet], closed: dict[int, frozenset[int]]
) -> frozenset[int]:
    """Return the days on which every outlet of the steady trade was closed."""
    steady = [outlet.pk for outlet in outlets if outlet.kind not in OCCASIONS]
    shut = [closed.get(outlet, NO_DAYS) for outlet in steady]
    return frozenset.intersection(*shut) if shut else NO_DAYS
