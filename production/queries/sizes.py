"""Which sizes to make next: sales against the days a size could be bought at all."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from django.db.models import F, Sum

from inventory import demand
from inventory.models import Design, Item
from inventory.queries.promises import can_promise_by_item
from inventory.queries.sales import SalesRecord, sales_records
from production.models import Batch

SERVICE = 0.8
YEAR = 364
# House rule: a shorter record says more of chance than of what people want.
LEAST_DAYS = 14


@dataclass(frozen=True)
class SizeLine:
    """One size of a design: its record, its rate, and how many to make."""

    item: Item
    record: SalesRecord
    rate: demand.Rate
    share: float
    free: int
    planned: int
    enough: int | None
    make: int
    reason: str

    @property
    def owed(self) -> int:
        """Count what is promised and not there."""
        return max(0, -self.free)

    @property
    def share_in_a_hundred(self) -> int:
        return round(100 * self.share)


@dataclass(frozen=True)
class DesignSizes:
    """All sizes of one design, with the sentences that compare them."""

    design: Design
    lines: tuple[SizeLine, ...]
    sentences: tuple[str, ...]

    @property
    def makes_something(self) -> bool:
        return any(line.make for line in self.lines)


def sizes_to_make(
    *, today: date, now: datetime, cover_days: int, days: int = YEAR
) -> tuple[DesignSizes, ...]:
    """Return each design with what its sizes want for the days to be covered.

    The steady trade alone makes the rate: an hour on television or a fair is an
    occasion and is shown beside it. Days on which a size could not be promised are
    not counted against it. Six queries, however many sizes there are.
    """
    items = list(
        Item.objects.filter(design__isnull=False, is_sold=True)
        .select_related("design")
        .order_by("design__name", "code")
    )
    last_day = today - timedelta(days=1)
    records = sales_records(
        items, first_day=last_day - timedelta(days=days - 1), last_day=last_day
    )
    free = can_promise_by_item(items, now=now)
    planned = planned_by_item(items)
    families: dict[int, list[Item]] = defaultdict(list)
    for item in items:
        families[item.design_id or 0].append(item)
    return tuple(
        design_sizes(sizes, records, free, planned, cover_days)
        for sizes in families.values()
    )


def planned_by_item(items: list[Item]) -> dict[int, int]:
    """Return how many of each are already in making-up batches: one query."""
    rows = (
        Batch.objects.filter(
            kind=Batch.Kind.MAKING_UP, state=Batch.State.PLANNED, item__in=items
        )
        .values_list("item_id")
        .annotate(to_do=Sum(F("count") - F("done")))
        .order_by()
    )
    return {item: max(0, to_do) for item, to_do in rows if item is not None}


def design_sizes(
    sizes: list[Item],
    records: dict[int, SalesRecord],
    free: dict[int, int],
    planned: dict[int, int],
    cover_days: int,
) -> DesignSizes:
    rates = [rate_of(records[item.pk]) for item in sizes]
    shares = demand.share(rates)
    lines = tuple(
        size_line(
            item,
            records[item.pk],
            rate,
            share,
            free[item.pk],
            planned.get(item.pk, 0),
            cover_days,
        )
        for item, rate, share in zip(sizes, rates, shares, strict=True)
    )
    design = sizes[0].design
    if design is None:
        raise LookupError(sizes[0].code)
    return DesignSizes(design, lines, compared(lines))


def rate_of(record: SalesRecord) -> demand.Rate:
    """Return its rate; where corrections bring sales below nought, none is known."""
    if record.steady < 0:
        return demand.rate_while_in_stock(0, 0)
    return demand.rate_while_in_stock(record.steady, record.days_in_stock)


def size_line(
    item: Item,
    record: SalesRecord,
    rate: demand.Rate,
    share: float,
    free: int,
    planned: int,
    cover_days: int,
) -> SizeLine:
    can_say = rate.known and record.days_in_stock >= LEAST_DAYS
    enough = demand.enough_for(rate, cover_days, SERVICE).count if can_say else None
    make = max(0, (enough or 0) - free - planned)
    return SizeLine(
        item=item,
        record=record,
        rate=rate,
        share=share,
        free=free,
        planned=planned,
        enough=enough,
        make=make,
        reason=reason_for(rate, enough, free, planned, make, cover_days),
    )


def reason_for(
    rate: demand.Rate,
    enough: int | None,
    free: int,
    planned: int,
    make: int,
    cover_days: int,
) -> str:
    if enough is None:
        return (
            f"{rate.sentence} The record cannot say how many to make; it can from "
            f"{LEAST_DAYS} days in stock on."
        )
    have = f"{free} can be promised" if free >= 0 else f"{-free} are owed"
    if planned:
        have += f" and {planned} are planned"
    wanted = f"{enough} cover {cover_days} days four times in five; {have}"
    return f"{wanted}: make {make}." if make else f"{wanted}: none are needed."


def compared(lines: tuple[SizeLine, ...]) -> tuple[str, ...]:
    """Say in words whether the strongest size is proved stronger than each other."""
    known = [line for line in lines if line.rate.known]
    if len(known) < 2:
        return ()
    best = max(known, key=lambda line: line.rate.per_week)
    return tuple(
        f"{best.item.code} against {line.item.code}, a week in stock: "
        f"{demand.proved_different(best.rate, line.rate).sentence}"
        for line in known
        if line is not best
    )
