"""Sales as they were, beside the days on which a thing could be bought at all."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, timedelta

from django.db.models import Q, Sum

from inventory.models import Entry, Item, Outlet, SalesDay, SpellOut
from studio.days import london_day

# Television hours and fairs are occasions: they are told apart from the steady trade.
OCCASIONS = (Outlet.Kind.TELEVISION, Outlet.Kind.FAIR)


@dataclass(frozen=True)
class SalesRecord:
    """What was sold of one item from the first to the last day, both included."""

    item: Item
    first_day: date
    last_day: date
    steady: int
    television: int
    fairs: int
    days_out: int

    @property
    def days(self) -> int:
        return (self.last_day - self.first_day).days + 1

    @property
    def days_in_stock(self) -> int:
        return max(0, self.days - self.days_out)

    @property
    def sold(self) -> int:
        return self.steady + self.television + self.fairs


def sales_records(
    items: Iterable[Item], *, first_day: date, last_day: date
) -> dict[int, SalesRecord]:
    """Return the record of each item by its key: four queries for all of them.

    Nothing is judged by days before the book knew anything, and a design that began
    later only from its beginning.
    """
    items = list(items)
    first_day = max(first_day, book_began() or first_day)
    sold = sold_by_kind(items, first_day, last_day)
    spells = spells_by_item(items, first_day, last_day)
    return {
        item.pk: record_of(item, sold[item.pk], spells[item.pk], first_day, last_day)
        for item in items
    }


def book_began() -> date | None:
    """Return the first day of which the book knows an act or a sale."""
    act = Entry.objects.order_by("pk").values_list("happened_at", flat=True).first()
    sale = SalesDay.objects.order_by("day").values_list("day", flat=True).first()
    known = [day for day in (london_day(act) if act else None, sale) if day]
    return min(known, default=None)


def record_of(
    item: Item,
    sold: dict[str, int],
    spells: list[SpellOut],
    first_day: date,
    last_day: date,
) -> SalesRecord:
    begun = item.design.begun_on if item.design else None
    first = min(max(first_day, begun or first_day), last_day + timedelta(days=1))
    return SalesRecord(
        item=item,
        first_day=first,
        last_day=last_day,
        steady=sum(n for kind, n in sold.items() if kind not in OCCASIONS),
        television=sold.get(Outlet.Kind.TELEVISION, 0),
        fairs=sold.get(Outlet.Kind.FAIR, 0),
        days_out=len(days_within(spells, first, last_day)),
    )


def sold_by_kind(
    items: list[Item], first_day: date, last_day: date
) -> dict[int, dict[str, int]]:
    """Return what came to stay sold: what was sent back is taken off."""
    found: dict[int, dict[str, int]] = defaultdict(dict)
    rows = (
        SalesDay.objects.filter(item__in=items, day__range=(first_day, last_day))
        .values_list("item_id", "outlet__kind")
        .annotate(sold=Sum("sold"), returned=Sum("returned"))
        .order_by()
    )
    for item, kind, sold, returned in rows:
        found[item][kind] = max(0, sold - returned)
    return found


def spells_by_item(
    items: list[Item], first_day: date, last_day: date
) -> dict[int, list[SpellOut]]:
    found: dict[int, list[SpellOut]] = defaultdict(list)
    spells = SpellOut.objects.filter(item__in=items, began_on__lte=last_day).filter(
        Q(ended_on=None) | Q(ended_on__gt=first_day)
    )
    for spell in spells:
        found[spell.item_id].append(spell)
    return found


def days_within(
    spells: Iterable[SpellOut], first_day: date, last_day: date
) -> set[date]:
    """Return each day out of stock once, however spells overlap."""
    days: set[date] = set()
    for spell in spells:
        day = max(spell.began_on, first_day)
        end = min(spell.ended_on or last_day + timedelta(1), last_day + timedelta(1))
        while day < end:
            days.add(day)
            day += timedelta(1)
    return days
