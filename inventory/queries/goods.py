"""The list of goods: what each can promise, what is owned, and where it is."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime

from inventory.models import Item, State
from inventory.promise import Promise
from inventory.queries.balances import Held, held_by_item
from inventory.queries.promises import can_promise_by_item, promises_of


def codes_by_name(items: Iterable[Item]) -> dict[str, list[str]]:
    """Return which codes go by each name, in small letters."""
    codes: dict[str, list[str]] = {}
    for item in items:
        codes.setdefault(item.name.casefold(), []).append(item.code)
    return codes


@dataclass
class Goods:
    """One row of the list; what takes longer to work out is filled in for one page."""

    item: Item
    can_promise_now: int
    promise: Promise | None = None
    where: str = ""

    @property
    def name(self) -> str:
        return self.item.name

    @property
    def by_tonight(self) -> int:
        return self.promise.by_tonight if self.promise else 0

    @property
    def owned(self) -> int:
        return self.promise.owned if self.promise else 0

    @property
    def short(self) -> int:
        return self.promise.short if self.promise else 0


def goods_of(items: Iterable[Item], *, now: datetime) -> list[Goods]:
    """Return a row for each item with what can be promised now: two queries."""
    items = list(items)
    counts = can_promise_by_item(items, now=now)
    return [Goods(item, max(0, counts[item.pk])) for item in items]


def fill_in(rows: list[Goods], *, now: datetime) -> None:
    """Work out the whole promise and the places of the rows of one page."""
    items = [row.item for row in rows]
    promises = promises_of(items, now=now)
    held = held_by_item(items)
    for row in rows:
        row.promise = promises[row.item.pk]
        row.where = where_words(held.get(row.item.pk, []))


def where_words(held: Iterable[Held]) -> str:
    """Say where goods are: “19 Template shelf, 2 Returns tray (to look at)”."""
    return ", ".join(
        f"{one.count} {one.place.name}"
        + (
            f" ({State(one.state).label.lower()})"
            if one.state != State.SELLABLE
            else ""
        )
        for one in sorted(held, key=lambda one: one.state != State.SELLABLE)
    )
