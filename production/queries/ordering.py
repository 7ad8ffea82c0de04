"""What must be ordered for a selling day, how many boxes, and by which day."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from inventory import reorder
from inventory.models import Arrival, Item, SupplierItem
from production.day_plan import PlanOrder, order_of
from studio.days import show_day_short
from studio.walk import WorkingWeek


@dataclass(frozen=True)
class Uses:
    """How many of an item there are, and what takes them on which days."""

    item: Item
    on_hand: int
    taken: tuple[tuple[date, int], ...]


def orders_for(
    uses: Sequence[Uses], *, week: WorkingWeek, today: date
) -> tuple[PlanOrder, ...]:
    """Return an order for each item that runs short: two queries for all of them."""
    items = [use.item for use in uses]
    suppliers = cheapest_suppliers(items)
    coming = arrivals_of(items)
    orders = []
    for use in uses:
        changes = [(day, -count) for day, count in use.taken if count]
        shortage = reorder.first_shortage(
            use.on_hand, [*changes, *coming.get(use.item.pk, ())]
        )
        if shortage is not None:
            source = suppliers.get(use.item.pk)
            orders.append(order(use.item, shortage, source, week=week, today=today))
    return tuple(
        sorted(orders, key=lambda order: (order.last_day or today, order.code))
    )


def cheapest_suppliers(items: Iterable[Item]) -> dict[int, SupplierItem]:
    rows = (
        SupplierItem.objects.filter(
            item__in=[item.pk for item in items], can_be_bought=True
        )
        .select_related("supplier")
        .order_by("-price_mills", "-pk")
    )
    return {row.item_id: row for row in rows}


def arrivals_of(items: Iterable[Item]) -> Mapping[int, list[tuple[date, int]]]:
    """Return what is on order by item: batches are left out, they are planned here."""
    coming: dict[int, list[tuple[date, int]]] = {}
    rows = Arrival.objects.filter(
        item__in=[item.pk for item in items], closed_at=None
    ).exclude(reference__startswith="batch ")
    for row in rows:
        coming.setdefault(row.item_id, []).append((row.expected_on, row.count))
    return coming


def order(
    item: Item,
    shortage: reorder.Shortage,
    source: SupplierItem | None,
    *,
    week: WorkingWeek,
    today: date,
) -> PlanOrder:
    if source is None:
        return cannot_order(item, shortage)
    answer = reorder.order_by(
        item.code,
        shortage,
        box_size=source.box_size,
        lead_working_days=source.supplier.lead_working_days,
        working_days_before=week.working_days_before,
        today=today,
    )
    return order_of(answer, item.name, source.supplier.name)


def cannot_order(item: Item, shortage: reorder.Shortage) -> PlanOrder:
    what = "is" if shortage.count == 1 else "are"
    many = (
        f"{shortage.count} {item.code} {what} lacking by {show_day_short(shortage.day)}"
    )
    why = (
        f"{many} and it cannot be bought any more. Take fewer of it."
        if item.out_of_print
        else f"{many} and no supplier is known for it. "
        "Write an order for it among the deliveries: who sells it is kept from there."
    )
    return PlanOrder(
        item.code, item.name, "", shortage.count, 0, shortage.day, None, True, why
    )
