"""What each outlet sold of a size, what came back, and the days it could be bought.

Nothing is clamped: where more came back, or was corrected, than was sold, the numbers
are below nought and whoever judges them says so.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from typing import TypeVar

from django.db.models import Sum

from inventory.models import Item, OccasionSales, Outlet, SalesDay
from inventory.queries.stock_days import (
    NO_DAYS,
    OCCASIONS,
    ItemDays,
    closed_days,
    days_by_item,
    days_of_group,
    nowhere_open,
)
from inventory.selling.rates import Occasions, SizeSales
from studio.lengths import show_inches

YEAR = 364
Key = TypeVar("Key")


@dataclass(frozen=True)
class OutletSales:
    """What one outlet sold of one size; `times` are its slots or fairs, if any."""

    outlet: Outlet
    sold: int
    returned: int
    days_in_stock: int
    days_out: int
    times: int = 0

    @property
    def kept(self) -> int:
        return self.sold - self.returned

    @property
    def is_occasion(self) -> bool:
        return self.outlet.kind in OCCASIONS

    def as_size(self, name: str, minutes: float = 0.0) -> SizeSales:
        """Return it alone, to be judged beside other sizes of the same outlet."""
        if not self.is_occasion:
            return SizeSales(
                name, self.sold, self.returned, self.days_in_stock, self.days_out
            )
        return size_of(name, ItemDays(), [self], minutes)


@dataclass(frozen=True)
class _Facts:
    """All that is read, once, for however many sizes."""

    outlets: Sequence[Outlet]
    days: dict[int, ItemDays]
    closed: dict[int, frozenset[int]]
    sums: dict[tuple[int, int], tuple[int, int]]
    occasions: dict[int, list[tuple[int, str]]]


def sales_by_outlet(
    items: Iterable[Item], *, first_day: date, last_day: date
) -> dict[int, tuple[OutletSales, ...]]:
    """Return each item's outlets by its key, however many items, in eight queries.

    An outlet of the steady trade is named though it sold none; a channel or a fair
    only where it offered the item.
    """
    groups = {item.pk: [item] for item in items}
    return group_sales_by_outlet(groups, first_day=first_day, last_day=last_day)


def group_sales_by_outlet(
    groups: Mapping[Key, Sequence[Item]], *, first_day: date, last_day: date
) -> dict[Key, tuple[OutletSales, ...]]:
    """Return the outlets of groups of items that stand for one size each."""
    facts = read_facts(groups, first_day, last_day)
    return {key: outlets_of(items, facts) for key, items in groups.items()}


def size_sales(
    items: Iterable[Item],
    *,
    today: date,
    days: int = YEAR,
    minutes_on_air: Mapping[int, float] | None = None,
) -> dict[int, SizeSales]:
    """Return what the engine judges of each item, by its key: the days before today.

    The minutes on air while there were any are known to the selling days, and passed.
    """
    groups = {item.pk: [item] for item in items}
    return group_size_sales(
        groups, today=today, days=days, minutes_on_air=minutes_on_air
    )


def group_size_sales(
    groups: Mapping[Key, Sequence[Item]],
    *,
    today: date,
    days: int = YEAR,
    minutes_on_air: Mapping[Key, float] | None = None,
) -> dict[Key, SizeSales]:
    """Return the same of groups that stand for one size: two designs merged.

    Sales are added up; a day counts once, however many of the group were there.
    """
    last_day = today - timedelta(days=1)
    facts = read_facts(groups, last_day - timedelta(days=days - 1), last_day)
    shut = nowhere_open(facts.outlets, facts.closed)
    minutes = minutes_on_air or {}
    return {
        key: size_of(
            name_of(items[0]),
            days_of_group(items, facts.days).while_open(shut),
            outlets_of(items, facts),
            minutes.get(key, 0.0),
        )
        for key, items in groups.items()
        if items
    }


def size_of(
    name: str, days: ItemDays, outlets: Iterable[OutletSales], minutes: float
) -> SizeSales:
    by_kind: dict[str, Counter[str]] = defaultdict(Counter)
    for one in outlets:
        kind = one.outlet.kind if one.is_occasion else "steady"
        by_kind[kind].update(sold=one.sold, returned=one.returned, times=one.times)
    steady, air = by_kind["steady"], by_kind[Outlet.Kind.TELEVISION]
    fairs = by_kind[Outlet.Kind.FAIR]
    return SizeSales(
        name=name,
        sold=steady["sold"],
        returned=steady["returned"],
        days_in_stock=len(days.there),
        days_out=len(days.out),
        television=Occasions(air["sold"] - air["returned"], minutes, air["times"]),
        fairs=Occasions(fairs["sold"] - fairs["returned"], times=fairs["times"]),
    )


def name_of(item: Item) -> str:
    size = item.finished_size
    return f"{show_inches(size)} in" if size is not None else item.code


# --------------------------------------------------------------------- reading


def read_facts(
    groups: Mapping[Key, Sequence[Item]], first_day: date, last_day: date
) -> _Facts:
    items = list(
        {item.pk: item for group in groups.values() for item in group}.values()
    )
    return _Facts(
        outlets=list(Outlet.objects.order_by("pk")),
        days=days_by_item(items, first_day=first_day, last_day=last_day),
        closed=closed_days(first_day, last_day),
        sums=sums_by_outlet(items, first_day, last_day),
        occasions=occasions_by_item(items, first_day, last_day),
    )


def sums_by_outlet(
    items: Sequence[Item], first_day: date, last_day: date
) -> dict[tuple[int, int], tuple[int, int]]:
    """Return sold and returned by item and outlet: one query."""
    rows = (
        SalesDay.objects.filter(
            item__in=[item.pk for item in items], day__range=(first_day, last_day)
        )
        .values_list("item_id", "outlet_id")
        .annotate(sold=Sum("sold"), returned=Sum("returned"))
        .order_by()
    )
    return {(item, outlet): (sold, back) for item, outlet, sold, back in rows}


def occasions_by_item(
    items: Sequence[Item], first_day: date, last_day: date
) -> dict[int, list[tuple[int, str]]]:
    """Return at which occasions each was offered, those that sold none too."""
    found: dict[int, list[tuple[int, str]]] = defaultdict(list)
    rows = OccasionSales.objects.filter(
        item__in=[item.pk for item in items], day__range=(first_day, last_day)
    ).values_list("item_id", "outlet_id", "reference")
    for item, outlet, reference in rows.order_by():
        found[item].append((outlet, reference))
    return found


def outlets_of(items: Sequence[Item], facts: _Facts) -> tuple[OutletSales, ...]:
    """Return each outlet's part; one occasion of two merged designs is one."""
    days = days_of_group(items, facts.days)
    occasions = {one for item in items for one in facts.occasions.get(item.pk, ())}
    times = Counter(outlet for outlet, _ in occasions)
    found = (
        outlet_sales(outlet, items, days, times[outlet.pk], facts)
        for outlet in facts.outlets
    )
    return tuple(
        one
        for one in found
        if not one.is_occasion or one.sold or one.returned or one.times
    )


def outlet_sales(
    outlet: Outlet, items: Sequence[Item], days: ItemDays, times: int, facts: _Facts
) -> OutletSales:
    sums = [facts.sums.get((item.pk, outlet.pk), (0, 0)) for item in items]
    is_occasion = outlet.kind in OCCASIONS
    bought = (
        ItemDays()
        if is_occasion
        else days.while_open(facts.closed.get(outlet.pk, NO_DAYS))
    )
    return OutletSales(
        outlet=outlet,
        sold=sum(sold for sold, _ in sums),
        returned=sum(returned for _, returned in sums),
        days_in_stock=len(bought.there),
        days_out=len(bought.out),
        times=times,
    )
