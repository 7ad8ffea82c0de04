"""Sales as they were, beside the days on which a thing could be bought at all."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from django.db.models import Sum

from inventory.models import Item, Outlet, SalesDay
from inventory.queries.stock_days import (
    OCCASIONS,
    ItemDays,
    book_began,
    closed_days,
    days_by_item,
    nowhere_open,
)

__all__ = ["OCCASIONS", "SalesRecord", "book_began", "sales_records"]


@dataclass(frozen=True)
class SalesRecord:
    """What was sold of one item from the first to the last day, both included.

    What came back is taken off; a correction may bring a number below nought.
    """

    item: Item
    first_day: date
    last_day: date
    steady: int
    television: int
    fairs: int
    days_in_stock: int
    days_out: int

    @property
    def days(self) -> int:
        """Count the days on which somebody could have bought, were it there."""
        return self.days_in_stock + self.days_out

    @property
    def sold(self) -> int:
        return self.steady + self.television + self.fairs


def sales_records(
    items: Iterable[Item], *, first_day: date, last_day: date
) -> dict[int, SalesRecord]:
    """Return the record of each item by its key: seven queries for all of them.

    Nothing is judged by days before the book knew anything, and a design or an item
    that began later only from its beginning.
    """
    items = list(items)
    sold = sold_by_kind(items, first_day, last_day)
    days = days_by_item(items, first_day=first_day, last_day=last_day)
    closed = closed_days(first_day, last_day)
    shut = nowhere_open(Outlet.objects.all(), closed) if closed else frozenset()
    return {
        item.pk: record_of(
            item, sold[item.pk], days[item.pk].while_open(shut), last_day
        )
        for item in items
    }


def record_of(
    item: Item, sold: dict[str, int], days: ItemDays, last_day: date
) -> SalesRecord:
    first = min(days.there | days.out, default=last_day.toordinal() + 1)
    return SalesRecord(
        item=item,
        first_day=date.fromordinal(first),
        last_day=last_day,
        steady=sum(n for kind, n in sold.items() if kind not in OCCASIONS),
        television=sold.get(Outlet.Kind.TELEVISION, 0),
        fairs=sold.get(Outlet.Kind.FAIR, 0),
        days_in_stock=len(days.there),
        days_out=len(days.out),
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
        found[item][kind] = sold - returned
    return found
