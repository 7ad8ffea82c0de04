"""What orders sold, added up from their lines: the other side of the sales record."""

from __future__ import annotations

from datetime import date, time

from django.db.models import Case, F, Sum, When
from django.db.models.functions import TruncDate

from orders.models import Order, OrderLine
from studio.days import LONDON, at_clock


def sold_in_orders(since: date) -> dict[tuple[int, int, date], int]:
    """Return what was claimed and not taken off again, by item, outlet and day.

    The day is that of the order, in London; a cancelled order sold what had gone. One
    query, added up where the lines lie.
    """
    stayed = Case(
        When(order__state=Order.State.CANCELLED, then=F("gone")),
        default=F("count") - F("taken_off"),
    )
    rows = (
        OrderLine.objects.filter(
            order__kind=Order.Kind.SALE,
            order__placed_at__gte=at_clock(since, time(0, 0)),
        )
        .annotate(day=TruncDate("order__placed_at", tzinfo=LONDON))
        .values_list("item_id", "order__outlet_id", "day")
        .annotate(sold=Sum(stayed))
        .order_by()
    )
    return {(item, outlet, day): sold for item, outlet, day, sold in rows}
