"""The promise number of items, from the tables: the same value for every page."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import cast

from django.db.models import Sum
from django.utils import timezone

from inventory.making_up import Mend, Way, mend_first, possible
from inventory.models import (
    Claim,
    IncompleteSet,
    Item,
    PartsLine,
    State,
)
from inventory.promise import ClaimFact, ClaimKind, Facts, Promise, promise
from inventory.queries.balances import Held, held_by_item, sellable_at_home


@dataclass(frozen=True)
class Parts:
    """Every way of making up, and what is free of each part."""

    ways: tuple[Way, ...]
    free: Mapping[str, int]


def claimed_by_item(items: Iterable[Item], *, now: datetime) -> dict[int, int]:
    """Return how many of each item live claims speak for: one query."""
    rows = (
        Claim.objects.filter(item__in=[item.pk for item in items])
        .live(on=now)
        .values_list("item_id")
        .annotate(total=Sum("count"))
        .order_by()
    )
    return dict(rows)


def can_promise_by_item(items: Iterable[Item], *, now: datetime) -> dict[int, int]:
    """Return sellable less spoken for, which may be below nought: two queries."""
    items = list(items)
    sellable = sellable_at_home(items)
    claimed = claimed_by_item(items, now=now)
    return {pk: count - claimed.get(pk, 0) for pk, count in sellable.items()}


def promise_of(item: Item, *, now: datetime) -> Promise:
    return promises_of([item], now=now)[item.pk]


def promises_of(items: Iterable[Item], *, now: datetime) -> dict[int, Promise]:
    """Return the whole promise of each item by its key: a fixed number of queries."""
    return {pk: promise(facts) for pk, facts in promise_facts(items, now=now).items()}


def promise_facts(items: Iterable[Item], *, now: datetime) -> dict[int, Facts]:
    items = list(items)
    held = held_by_item(items)
    claims = claims_by_item(items, now=now)
    mends = mends_by_item(items)
    parts = parts_of(items, now=now)
    return {
        item.pk: facts_of(
            item,
            held.get(item.pk, []),
            claims.get(item.pk, ()),
            mends.get(item.pk, ()),
            parts,
        )
        for item in items
    }


def facts_of(
    item: Item,
    held: list[Held],
    claims: tuple[ClaimFact, ...],
    mends: tuple[Mend, ...],
    parts: Parts,
) -> Facts:
    home = {
        state: sum(
            h.count for h in held if h.state == state and h.place.counts_as_shelf
        )
        for state in State.values
    }
    mended = mend_first(mends, parts.free)
    ways = tuple(way for way in parts.ways if way.product == item.code)
    made = possible(item.code, parts.ways, mended.left_over).count if ways else 0
    return Facts(
        item_code=item.code,
        sellable=home[State.SELLABLE],
        show=home[State.SHOW],
        incomplete=home[State.INCOMPLETE],
        second=home[State.SECOND],
        to_look_at_home=home[State.TO_LOOK_AT],
        elsewhere=tuple(
            (h.place.name, h.count) for h in held if not h.place.counts_as_shelf
        ),
        claims=claims,
        makeable=made,
        mendable=len(mended.mended),
    )


def claims_by_item(
    items: Iterable[Item], *, now: datetime
) -> dict[int, tuple[ClaimFact, ...]]:
    """Return the live claims of each item in the order they rank: one query."""
    found: dict[int, list[ClaimFact]] = defaultdict(list)
    claims = (
        Claim.objects.filter(item__in=[item.pk for item in items])
        .live(on=now)
        .order_by("ranks_at", "pk")
    )
    for claim in claims:
        found[claim.item_id].append(
            ClaimFact(
                kind=cast(ClaimKind, claim.kind),
                count=claim.count,
                label=claim.label,
                until=timezone.localdate(claim.until) if claim.until else None,
                rank=(claim.ranks_at, claim.pk),
            )
        )
    return {item: tuple(facts) for item, facts in found.items()}


def mends_by_item(items: Iterable[Item]) -> dict[int, tuple[Mend, ...]]:
    """Return what each incomplete set lacks: two queries."""
    found: dict[int, list[Mend]] = defaultdict(list)
    sets = (
        IncompleteSet.objects.filter(
            item__in=[item.pk for item in items], ended_at=None
        )
        .select_related("item")
        .prefetch_related("lacks__piece")
    )
    for one in sets:
        lacks = {lack.piece.code: lack.count for lack in one.lacks.all()}
        found[one.item_id].append(Mend(one.item.code, lacks))
    return {item: tuple(mends) for item, mends in found.items()}


def parts_of(items: Iterable[Item], *, now: datetime) -> Parts:
    """Return every way that can lead to these items, and what is free of each part.

    The parts lists are read whole, since a part may itself be made up.
    """
    wanted = {item.code for item in items}
    lines = list(
        PartsLine.objects.select_related("item", "parts_list__item").order_by(
            "parts_list__item__code", "parts_list__rank", "pk"
        )
    )
    needs: dict[int, dict[str, int]] = defaultdict(dict)
    gives: dict[int, dict[str, int]] = defaultdict(dict)
    products: dict[int, str] = {}
    for line in lines:
        products[line.parts_list_id] = line.parts_list.item.code
        side = gives if line.gives_back else needs
        side[line.parts_list_id][line.item.code] = line.count
    ways = tuple(
        Way(product, needs[key], gives.get(key, {}))
        for key, product in products.items()
    )
    used = leading_to(wanted, ways)
    codes = {code for way in used for code in way.needs}
    lacked = set(
        IncompleteSet.objects.filter(item__code__in=wanted, ended_at=None).values_list(
            "lacks__piece__code", flat=True
        )
    )
    items_by_code = Item.objects.filter(code__in=codes | (lacked - {None})).in_bulk(
        field_name="code"
    )
    free = can_promise_by_item(items_by_code.values(), now=now)
    return Parts(
        ways=used,
        free={code: max(0, free[item.pk]) for code, item in items_by_code.items()},
    )


def leading_to(wanted: Iterable[str], ways: tuple[Way, ...]) -> tuple[Way, ...]:
    """Keep the ways that make what is wanted, or a part of it, on every level."""
    needed = set(wanted)
    while True:
        used = tuple(way for way in ways if way.product in needed)
        grown = needed | {code for way in used for code in way.needs}
        if grown == needed:
            return used
        needed = grown
