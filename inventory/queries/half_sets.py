"""Loose pieces without a partner, from the tables."""

from __future__ import annotations

from datetime import datetime

from inventory.half_sets import HalfSet, half_sets
from inventory.models import Item
from inventory.queries.promises import parts_of
from studio import lengths, money

_SIZES = {3: "three", 6: "six", 9: "nine", 12: "twelve"}


def half_sets_now(*, now: datetime) -> tuple[HalfSet, ...]:
    """List pieces that lack a partner, the most money asleep first: six queries."""
    made = list(Item.objects.filter(parts_lists__isnull=False).distinct())
    pieces = Item.objects.filter(kind=Item.Kind.PIECE)
    cost = {piece.code: money.mills_to_pence(piece.cost_mills) for piece in pieces}
    parts = parts_of(made, now=now)
    names = {item.code: set_name(item) for item in made if item.finished_size}
    return half_sets(parts.ways, parts.free, cost, names)


def set_name(item: Item) -> str:
    """Write “nine-inch set” or “4½-inch set”, as she would say it."""
    if item.finished_size is None:
        return f"{item.code} set"
    size = _SIZES.get(int(item.finished_size), "")
    if item.finished_size.denominator != 1 or not size:
        size = lengths.show_inches(item.finished_size)
    return f"{size}-inch set"
