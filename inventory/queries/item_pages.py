"""All that one item's page says, gathered once for screen and paper."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime

from inventory.making_up import Possible, possible
from inventory.models import Arrival, Claim, IncompleteSet, Item, PartsList, State
from inventory.pictures import with_pictures
from inventory.promise import ClaimFact, serve_in_order
from inventory.queries.balances import Held, held_by_item, sellable_at_home
from inventory.queries.promises import claims_by_item, parts_of
from studio import days


@dataclass(frozen=True)
class PartRow:
    """One part of a parts list: what one takes, what is free, how far it goes."""

    item: Item
    count: int
    gives_back: bool
    free: int
    stops: bool

    @property
    def enough_for(self) -> int:
        return self.free // self.count


@dataclass(frozen=True)
class WayRow:
    """One way of making up."""

    parts_list: PartsList
    parts: tuple[PartRow, ...]


@dataclass(frozen=True)
class ClaimRow:
    """One claim in the order of serving, and what the shelf covers of it."""

    claim: Claim
    covered: int

    @property
    def short(self) -> int:
        return self.claim.count - self.covered

    @property
    def until_day(self) -> date | None:
        return days.london_day(self.claim.until) if self.claim.until else None


@dataclass(frozen=True)
class IncompleteRow:
    """One incomplete set, and whether its missing pieces are there."""

    incomplete: IncompleteSet
    words: str
    can_be_mended: bool


@dataclass(frozen=True)
class Makeable:
    """How many can be made up now, and what the next one lacks."""

    ways: tuple[WayRow, ...]
    possible: Possible | None
    free: Mapping[str, int]


def makeable_of(item: Item, *, now: datetime) -> Makeable:
    """Return the parts lists of an item with what is free of each part."""
    parts = parts_of([item], now=now)
    lists = list(
        item.parts_lists.order_by("rank").prefetch_related(
            "lines__item__shape", "lines__item__contents"
        )
    )
    if not lists:
        return Makeable((), None, parts.free)
    answer = possible(item.code, parts.ways, parts.free)
    ways = tuple(way_row(one, parts.free, answer) for one in lists)
    return Makeable(ways, answer, parts.free)


def way_row(parts_list: PartsList, free: Mapping[str, int], answer: Possible) -> WayRow:
    return WayRow(
        parts_list,
        tuple(
            PartRow(
                line.item,
                line.count,
                line.gives_back,
                free.get(line.item.code, 0),
                line.item.code in answer.next_lacks,
            )
            for line in parts_list.lines.all()
        ),
    )


def claims_in_order(item: Item, *, now: datetime) -> list[ClaimRow]:
    """Return who is promised what, first paid first, and who is short: three queries."""
    facts = claims_by_item([item], now=now).get(item.pk, ())
    sellable = sellable_at_home([item])[item.pk]
    claims = {claim.pk: claim for claim in item.claims.live(on=now)}
    return [
        ClaimRow(claims[claim_key(served.claim)], served.covered)
        for served in serve_in_order(facts, sellable)
        if claim_key(served.claim) in claims
    ]


def claim_key(fact: ClaimFact) -> int:
    """Return the key of the claim that a fact was read from; it is in its rank."""
    return fact.rank[1] if isinstance(fact.rank, tuple) else 0


def incomplete_sets(item: Item, free: Mapping[str, int]) -> list[IncompleteRow]:
    """Return the incomplete sets of an item, the oldest first: two queries."""
    rows = (
        item.incomplete_sets.filter(ended_at=None)
        .select_related("place")
        .prefetch_related("lacks__piece")
    )
    return [
        IncompleteRow(
            one,
            ", ".join(f"{lack.count} {lack.piece.code}" for lack in one.lacks.all()),
            all(free.get(lack.piece.code, 0) >= lack.count for lack in one.lacks.all()),
        )
        for one in rows
    ]


def free_of_lacks(item: Item, *, now: datetime) -> Mapping[str, int]:
    return parts_of([item], now=now).free


def arrivals_of(item: Item) -> list[Arrival]:
    return list(item.arrivals.filter(closed_at=None))


def held_of(item: Item) -> list[Held]:
    held = held_by_item([item]).get(item.pk, [])
    return sorted(held, key=lambda one: one.state != State.SELLABLE)


def to_look_at(held: list[Held]) -> list[Held]:
    return [one for one in held if one.state == State.TO_LOOK_AT and one.count > 0]


def pictured_item(code: str) -> Item | None:
    """Return an item by its code, ready to be drawn."""
    items = Item.objects.select_related("design", "home_place")
    return with_pictures(items).filter(code=code).first()
