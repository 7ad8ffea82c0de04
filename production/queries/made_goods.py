"""What can be made up and from what: read once where several answers stand on it."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from inventory.models import Item
from inventory.queries.promises import Parts, parts_of


@dataclass(frozen=True)
class MadeGoods:
    """Every item that is made up, the ways to make it, and what is free of each part."""

    items: tuple[Item, ...]
    parts: Parts


def made_goods(now: datetime) -> MadeGoods:
    """Read all of it: six queries, however many items there are."""
    items = tuple(Item.objects.filter(parts_lists__isnull=False).distinct())
    return MadeGoods(items, parts_of(items, now=now))
