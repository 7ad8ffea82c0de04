"""What is kept for a selling day, and what is free to go to it."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from datetime import datetime

from django.db.models import Q

from inventory.models import Balance, Claim, Item, State
from inventory.queries.promises import can_promise_by_item
from inventory.querysets import ClaimSet
from production.models import Line, SellingDay


def sending_reference(selling_day: SellingDay) -> str:
    """Return the words under which its entries and keepings stand in the book."""
    return f"selling day {selling_day.pk}"


def kept_claims(
    selling_day: SellingDay, items: Iterable[Item], *, now: datetime
) -> ClaimSet:
    """Return what is kept for this day, or for its outlet without saying which day."""
    own = Q(reference=sending_reference(selling_day))
    outlets = Q(outlet=selling_day.outlet_id, reference="")
    return (
        Claim.objects.filter(item__in=[item.pk for item in items], kind="kept")
        .live(on=now)
        .filter(own | outlets)
        .order_by("ranks_at", "pk")
    )


def kept_by_item(
    selling_day: SellingDay, items: Iterable[Item], *, now: datetime
) -> dict[int, int]:
    """Count what is kept for this day of each item: one query."""
    kept: dict[int, int] = defaultdict(int)
    for claim in kept_claims(selling_day, items, now=now):
        kept[claim.item_id] += claim.count
    return kept


def free_to_send(
    selling_day: SellingDay, items: Iterable[Item], *, now: datetime
) -> dict[int, int]:
    """Count what may go of each item: can be promised, and kept for this day.

    Below nought when more is promised than is there: three queries.
    """
    items = list(items)
    can_promise = can_promise_by_item(items, now=now)
    kept = kept_by_item(selling_day, items, now=now)
    return {pk: count + kept[pk] for pk, count in can_promise.items()}


def there_by_item(selling_day: SellingDay, lines: Iterable[Line]) -> dict[int, int]:
    """Count what is at the selling day already, of each line's item.

    At a repeat that is all the channel still holds: what went to the first hour less
    what that hour sold, which is only booked when the statement comes.
    """
    lines = list(lines)
    there = {line.item_id: line.sent for line in lines}
    is_repeat = selling_day.kind == SellingDay.Kind.REPEAT
    place = selling_day.place_id or selling_day.outlet.place_id
    if not (is_repeat and selling_day.repeat_of_id and place):
        return there
    held = Balance.objects.filter(
        place=place, state=State.SELLABLE, item__in=list(there)
    ).values_list("item_id", "count")
    sold = dict(
        Line.objects.filter(
            selling_day=selling_day.repeat_of_id, sold__isnull=False
        ).values_list("item_id", "sold")
    )
    there.update({item: max(0, count - (sold.get(item) or 0)) for item, count in held})
    return there
