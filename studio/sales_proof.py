"""Prove the record of sales: each day against its orders, selling days and returns.

    sold = claimed by orders - taken off again + sold by slots, repeats and fairs

Days up to the one on which the book began are left out: years typed in have no
orders behind them.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from datetime import date, timedelta

from django.db import transaction
from django.db.models import Sum

from inventory.models import Item, Outlet, SaleReturn, SalesDay
from inventory.queries.stock_days import first_act_day
from orders.queries.sold import sold_in_orders
from production.actions.tallies import count_line
from production.queries.sold import settled_lines, sold_on_occasions
from studio.days import show_day

WHAT_TO_DO = (
    "The record of sales says what sells, and which sizes to make. Make a copy of the "
    "book as it is, then run the same line with --sales: it writes each day above as "
    "its orders, selling days and returns add up."
)
Key = tuple[int, int, date]


@dataclass(frozen=True)
class SalesDifference:
    """A day whose sales are not what its orders, selling days and returns say."""

    key: Key
    item_code: str
    outlet_name: str
    kept: tuple[int, int]
    added_up: tuple[int, int]

    def __str__(self) -> str:
        return (
            f"{self.item_code}, {self.outlet_name}, {show_day(self.key[2])}: the "
            f"record says {_words(self.kept)}; orders, selling days and returns add up "
            f"to {_words(self.added_up)}."
        )


def _words(figures: tuple[int, int]) -> str:
    sold, returned = figures
    return f"{sold} sold and {returned} back" if returned else f"{sold} sold"


def sales_differences(since: date | None = None) -> list[SalesDifference]:
    """Return each day, outlet and item on which the record is not borne out.

    Four sums are made where the rows lie, however long the book; none is the promise.
    """
    since = since or first_whole_day()
    if since is None:
        return []
    kept, added = kept_figures(since), added_up(since)
    nothing = (0, 0)
    wrong = sorted(
        (
            key
            for key in kept.keys() | added.keys()
            if kept.get(key, nothing) != added.get(key, nothing)
        ),
        key=lambda key: (key[2], key),
    )
    codes = dict(Item.objects.values_list("pk", "code")) if wrong else {}
    names = dict(Outlet.objects.values_list("pk", "name")) if wrong else {}
    return [
        SalesDifference(
            key,
            codes[key[0]],
            names[key[1]],
            kept.get(key, nothing),
            added.get(key, nothing),
        )
        for key in wrong
    ]


def first_whole_day() -> date | None:
    """Return the day after the one on which the book began."""
    began = first_act_day()
    return began + timedelta(days=1) if began else None


def kept_figures(since: date) -> dict[Key, tuple[int, int]]:
    rows = SalesDay.objects.filter(day__gte=since).order_by()
    return {
        (item, outlet, day): (sold, returned)
        for item, outlet, day, sold, returned in rows.values_list(
            "item_id", "outlet_id", "day", "sold", "returned"
        )
    }


def added_up(since: date) -> dict[Key, tuple[int, int]]:
    sold = Counter(sold_in_orders(since))
    # Counter.update adds, and keeps what is below nought.
    sold.update(sold_on_occasions(since))
    returned = returned_by_day(since)
    return {key: (sold[key], returned[key]) for key in sold.keys() | returned.keys()}


def returned_by_day(since: date) -> Counter[Key]:
    rows = (
        SaleReturn.objects.filter(day__gte=since, taken_back_at=None)
        .values_list("item_id", "outlet_id", "day")
        .annotate(total=Sum("count"))
        .order_by()
    )
    return Counter({(item, outlet, day): count for item, outlet, day, count in rows})


@transaction.atomic
def mend_sales() -> int:
    """Write each day of the record as it adds up, and return how many were wrong.

    What each selling day has in the record is said again first, so that its next
    correction goes on from there.
    """
    wrong = sales_differences()
    if not wrong:
        return 0
    since = min(one.key[2] for one in wrong)
    lines = settled_lines(since).select_related("item", "selling_day__outlet")
    for line in lines:
        count_line(line, line.sold)
    for one in sales_differences():
        write_day(one)
    return len(wrong)


def write_day(one: SalesDifference) -> None:
    item, outlet, day = one.key
    sold, returned = one.added_up
    SalesDay.objects.update_or_create(
        item_id=item,
        outlet_id=outlet,
        day=day,
        defaults={"sold": sold, "returned": returned},
    )
