"""What a selling day still lacks, from the tables, with the sum of each line."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import datetime

from django.db.models import Sum

from inventory.making_up import Way
from inventory.models import Claim, Item
from inventory.queries.balances import sellable_at_home
from inventory.queries.promises import can_promise_by_item
from production import needs as pure
from production.day_plan import Proposal
from production.models import Batch, Line, SellingDay
from production.queries.calendar import planned_elsewhere
from production.queries.made_goods import MadeGoods, made_goods
from production.queries.proposals import proposals
from production.queries.sending import kept_by_item, there_by_item

TO_PEOPLE = (Claim.Kind.PAID, Claim.Kind.HOLD)


@dataclass(frozen=True)
class NeedsFound:
    """The needs of a selling day, and the facts they were worked from."""

    lines: tuple[Line, ...]
    proposals: Mapping[int, Proposal | None]
    needs: pure.DayNeeds
    elsewhere: tuple[Batch, ...]

    def need_of(self, line: Line) -> pure.LineNeed:
        return next(n for n in self.needs.lines if n.code == line.item.code)


def selling_day_needs(
    selling_day: SellingDay, *, now: datetime, made: MadeGoods | None = None
) -> NeedsFound:
    """Return per line what is to be made up, and per piece what is to be cut.

    A fixed number of queries, however many lines there are.
    """
    made = made or made_goods(now)
    lines = tuple(selling_day.lines.select_related("item").order_by("pk"))
    proposed = proposals(
        selling_day, [line for line in lines if line.wanted is None], now=now
    )
    elsewhere = tuple(planned_elsewhere(selling_day))
    loose = less_spoken_for(made.parts.free, made.parts.ways, elsewhere)
    found = pure.day_needs(
        line_facts(
            selling_day, lines, proposed, {item.pk for item in made.items}, now=now
        ),
        made.parts.ways,
        loose,
        promised_short(made.items, now=now),
    )
    return NeedsFound(lines, proposed, found, elsewhere)


def line_facts(
    selling_day: SellingDay,
    lines: Iterable[Line],
    proposed: Mapping[int, Proposal | None],
    made: set[int],
    *,
    now: datetime,
) -> list[pure.LineFacts]:
    lines = list(lines)
    items = [line.item for line in lines]
    can_promise = can_promise_by_item(items, now=now)
    kept = kept_by_item(selling_day, items, now=now)
    there = there_by_item(selling_day, lines)
    return [
        pure.LineFacts(
            code=line.item.code,
            wanted=number_of(line, proposed.get(line.item.pk)),
            sent=there[line.item.pk],
            kept=kept[line.item.pk],
            can_promise=can_promise[line.item.pk],
            is_made_up=line.item.pk in made,
        )
        for line in lines
    ]


def number_of(line: Line, proposal: Proposal | None) -> int | None:
    """Return her number, or else what the record proposes, or nothing."""
    if line.wanted is not None:
        return line.wanted
    return proposal.quantity if proposal else None


def promised_short(items: Iterable[Item], *, now: datetime) -> dict[str, int]:
    """Return by code the sets that people were promised and that are not there."""
    items = list(items)
    sellable = sellable_at_home(items)
    rows = (
        Claim.objects.filter(item__in=list(sellable), kind__in=TO_PEOPLE)
        .live(on=now)
        .values_list("item_id")
        .annotate(total=Sum("count"))
        .order_by()
    )
    promised = dict(rows)
    short = {
        item.code: promised.get(item.pk, 0) - max(0, sellable[item.pk])
        for item in items
    }
    return {code: count for code, count in short.items() if count > 0}


def less_spoken_for(
    free: Mapping[str, int], ways: tuple[Way, ...], elsewhere: Iterable[Batch]
) -> dict[str, int]:
    """Leave out loose pieces that sets planned for other days will take.

    What other days' sheets will bring serves those sets first.
    """
    sets: Counter[str] = Counter()
    coming: Counter[str] = Counter()
    for batch in elsewhere:
        if batch.kind == Batch.Kind.MAKING_UP and batch.item is not None:
            sets[batch.item.code] += batch.left
        elif batch.layout is not None:
            for gives in batch.layout.gives.all():
                coming[gives.piece.code] += gives.count * batch.left
    wanted = pure.parts_of(sets, ways, free)
    return {
        part: max(0, count - max(0, wanted.get(part, 0) - coming[part]))
        for part, count in free.items()
    }
