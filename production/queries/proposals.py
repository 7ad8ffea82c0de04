"""What the record proposes where she has no number yet, or that it cannot say.

A repeat is no second first hour: its number follows from the first hour alone.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime
from fractions import Fraction

from django.db.models import Q

from inventory.models import Item, Outlet, OutletItem
from inventory.slot_demand import at_least_demand, service_quantity
from production.day_plan import Proposal, proposal_of
from production.models import Line, SellingDay, Terms
from production.repeat import USUAL_REPEAT_SHARE, FirstHour, repeat_wants
from studio.days import london_day
from studio.money import mills_to_pence, show_pounds

TELEVISED = (SellingDay.Kind.SLOT, SellingDay.Kind.REPEAT)
# What bringing one home from a fair costs in packing and room: a rule of the house.
FAIR_LEFT_SHARE = 10


@dataclass(frozen=True)
class LeftOver:
    """What one coming home costs, and the words for it; None when it cannot be said."""

    pence: int | None
    words: str


def proposals(
    selling_day: SellingDay, lines: Iterable[Line], *, now: datetime
) -> dict[int, Proposal | None]:
    """Return by item what earlier selling days of the same kind propose."""
    items = [line.item for line in lines]
    if not items:
        return {}
    if selling_day.kind == SellingDay.Kind.REPEAT and selling_day.repeat_of:
        return repeat_proposals(selling_day, items, now=now)
    terms = Terms.objects.filter(selling_day=selling_day).first()
    records = past_records(selling_day, items)
    prices = prices_of(selling_day, items)
    return {
        line.item.pk: propose(
            line, terms, tuple(records[line.item.pk]), prices.get(line.item.pk)
        )
        for line in lines
    }


def repeat_proposals(
    selling_day: SellingDay, items: Iterable[Item], *, now: datetime
) -> dict[int, Proposal | None]:
    """Propose from the first hour what its repeat wants: three queries."""
    items = list(items)
    first = selling_day.repeat_of
    if first is None:
        return {}
    lines = {line.item_id: line for line in first.lines.all()}
    records = past_records(first, items, kinds=(SellingDay.Kind.SLOT,))
    share = repeat_share(selling_day)
    return {
        item.pk: repeat_proposal(
            first, lines.get(item.pk), records[item.pk], share, now=now
        )
        for item in items
    }


def repeat_share(selling_day: SellingDay) -> Fraction:
    terms = Terms.objects.filter(selling_day=selling_day).first()
    if terms is None or terms.repeat_share_hundredths is None:
        return USUAL_REPEAT_SHARE
    return Fraction(terms.repeat_share_hundredths, 100)


def repeat_proposal(
    first: SellingDay,
    line: Line | None,
    records: list[tuple[int, bool]],
    share: Fraction,
    *,
    now: datetime,
) -> Proposal:
    if line is None:
        return cannot_say((), "The first hour did not offer it. Write your number.")
    if line.sold is None or (first.ends_at > now and line.sold_out_minute is None):
        return cannot_say(
            (), "Its number follows from the first hour: tally that, then look again."
        )
    lasts = int((first.ends_at - first.starts_at).total_seconds() // 60)
    hour = FirstHour(line.sold, line.sold_out_minute, lasts)
    mean = at_least_demand(records).mean_at_least if records else None
    wants = repeat_wants(hour, mean, share)
    return Proposal(
        quantity=wants.number,
        more_than=wants.number,
        records=tuple(records),
        short_pence=0,
        left_pence=0,
        sentences=wants.sentences[-1:],
        costs=wants.sentences[:-1],
    )


def past_records(
    selling_day: SellingDay, items: Iterable[Item], kinds: Sequence[str] = ()
) -> dict[int, list[tuple[int, bool]]]:
    """Return what each item sold before, and whether that is only "at least".

    Slots and repeats are one record; fairs and launches are each their own.
    """
    if not kinds:
        televised = selling_day.kind in TELEVISED
        kinds = TELEVISED if televised else (selling_day.kind,)
    found: dict[int, list[tuple[int, bool]]] = defaultdict(list)
    lines = Line.objects.filter(
        item__in=[item.pk for item in items],
        sold__isnull=False,
        selling_day__kind__in=kinds,
        selling_day__starts_at__lt=selling_day.starts_at,
    ).order_by("selling_day__starts_at")
    for line in lines:
        found[line.item_id].append((line.sold or 0, sold_out(line)))
    return found


def sold_out(line: Line) -> bool:
    """Say whether none was left, noted on air or seen from the number sent."""
    return line.sold_out_minute is not None or 0 < line.sent <= (line.sold or 0)


def prices_of(selling_day: SellingDay, items: Iterable[Item]) -> dict[int, int]:
    """Return what the outlet pays, or asks, for each item on the day: one query.

    Where she sells herself and no price of that outlet is written, it is the web's.
    """
    own = Q(outlet=selling_day.outlet_id)
    if selling_day.kind not in TELEVISED:
        own |= Q(outlet__kind=Outlet.Kind.WEB)
    rows = (
        OutletItem.objects.filter(
            own,
            item__in=[item.pk for item in items],
            valid_from__lte=london_day(selling_day.starts_at),
        )
        .annotate(is_own=Q(outlet=selling_day.outlet_id))
        .order_by("is_own", "valid_from")
    )
    return {row.item_id: row.price_pence for row in rows}


def propose(
    line: Line,
    terms: Terms | None,
    records: tuple[tuple[int, bool], ...],
    outlet_price: int | None,
) -> Proposal | None:
    """Propose a number from the record, the price and the terms."""
    price = outlet_price if line.price_pence is None else line.price_pence
    cost = mills_to_pence(line.item.cost_mills)
    if price is None:
        return cannot_say(records, "Write its price, so that a number can be proposed.")
    left = left_over(terms, price)
    if left.pence is None:
        return cannot_say(records, left.words)
    short = price - cost
    if short <= 0:
        return cannot_say(
            records,
            f"At {show_pounds(price)} each one loses money: it costs "
            f"{show_pounds(cost)}. Look at the price first.",
        )
    answer = service_quantity(at_least_demand(records), short, left.pence)
    costs = (
        f"One short loses {show_pounds(short)}: {show_pounds(price)} less "
        f"{show_pounds(cost)} of material.",
        f"One coming home costs {show_pounds(left.pence)}: {left.words}.",
    )
    return proposal_of(answer, records, short, left.pence, costs)


def cannot_say(records: tuple[tuple[int, bool], ...], sentence: str) -> Proposal:
    most = max((sold for sold, _ in records), default=0)
    return Proposal(None, most, records, 0, 0, (sentence,), ())


def left_over(terms: Terms | None, price_pence: int) -> LeftOver:
    """Say what one left over costs under these terms."""
    if terms is None:
        return LeftOver(None, "Write the terms, so that a number can be proposed.")
    if terms.left_over_pence is not None:
        return LeftOver(terms.left_over_pence, "as written in the terms")
    if terms.basis == Terms.Basis.FIRM:
        return LeftOver(None, "They buy outright and nothing comes home: ask them.")
    if terms.basis == Terms.Basis.OWN:
        return LeftOver(
            -(-price_pence // FAIR_LEFT_SHARE),
            f"a tenth of its price, a rule of the house, for {show_pounds(price_pence)}",
        )
    holds = max(1, terms.carton_holds)
    return LeftOver(
        -(-terms.carton_charge_pence // holds),
        f"{show_pounds(terms.carton_charge_pence)} a carton of {holds}",
    )
