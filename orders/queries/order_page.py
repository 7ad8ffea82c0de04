"""One order with all that its page shows, and what a new order starts with."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from django.db.models import Prefetch, QuerySet

from inventory.models import Item, Outlet, OutletItem
from orders.discount import discounted
from orders.models import Order, OrderLine, Question
from studio.models import MoneyLine

_LAST_NUMBER = re.compile(r"(?P<before>.*?)(?P<digits>[0-9]{1,12})")


@dataclass(frozen=True)
class OrderSum:
    """What an order comes to, in whole pence."""

    goods_pence: int
    discount_pence: int
    postage_pence: int

    @property
    def total_pence(self) -> int:
        return self.goods_pence - self.discount_pence + self.postage_pence


def orders_to_show() -> QuerySet[Order]:
    """Return orders with lines, questions, packets, claims and messages read along."""
    lines = OrderLine.objects.select_related("item", "sends", "claim", "swap__ordered")
    return Order.objects.select_related(
        "customer", "outlet", "for_order"
    ).prefetch_related(
        Prefetch("lines", lines),
        Prefetch("questions", Question.objects.select_related("other_order")),
        "packets__run",
        "postal_claims",
        "messages",
    )


def sum_of(order: Order) -> OrderSum:
    """Add an order up as it was placed; the discount is rounded half up."""
    goods = sum(line.count * line.price_pence for line in order.lines.all())
    kept = discounted(goods, order.discount_per_hundred)
    return OrderSum(goods, goods - kept, order.postage_charged_pence)


def refunds_of(order: Order) -> list[MoneyLine]:
    return list(MoneyLine.objects.filter(category="refund", reference=order.number))


def next_number() -> str:
    """Suggest the number after the newest one typed here: its last digits and one.

    A shop's own series is the shop's to continue: its next order would be taken for
    the one that is typed.
    """
    typed = Order.objects.filter(filerow=None).order_by("-id")
    newest = typed.values_list("number", flat=True).first()
    found = _LAST_NUMBER.fullmatch(newest or "")
    if found is None:
        return "T-1" if newest is None else ""
    digits = found["digits"]
    return f"{found['before']}{int(digits) + 1:0{len(digits)}}"


def sold_items() -> QuerySet[Item]:
    return Item.objects.filter(is_sold=True).order_by("name", "code")


def prices_at(outlet: Outlet, items: Iterable[Item], *, on: date) -> dict[int, int]:
    """Return what an outlet asks for each item on a day, where it says so."""
    prices = OutletItem.objects.filter(
        outlet=outlet, item__in=[item.pk for item in items], valid_from__lte=on
    ).order_by("valid_from")
    return {price.item_id: price.price_pence for price in prices}
