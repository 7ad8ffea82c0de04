"""What slots, repeats and fairs sold, from their lines."""

from __future__ import annotations

from collections import Counter
from datetime import date, time

from django.db.models import QuerySet, Sum
from django.db.models.functions import TruncDate

from production.models import Line, SellingDay
from studio.days import LONDON, at_clock


def settled_lines(since: date) -> QuerySet[Line]:
    """Return lines whose figure is known; what is launched online sells by orders."""
    return Line.objects.filter(
        sold__isnull=False, selling_day__starts_at__gte=at_clock(since, time(0, 0))
    ).exclude(selling_day__kind=SellingDay.Kind.ONLINE)


def sold_on_occasions(since: date) -> Counter[tuple[int, int, date]]:
    """Return what they sold by item, outlet and London day: one query."""
    rows = (
        settled_lines(since)
        .annotate(day=TruncDate("selling_day__starts_at", tzinfo=LONDON))
        .values_list("item_id", "selling_day__outlet_id", "day")
        .annotate(total=Sum("sold"))
        .order_by()
    )
    return Counter({(item, outlet, day): sold for item, outlet, day, sold in rows})
