"""Part a joint making-up question into ones that share no part: each alone is small.

Products hang together when a part, a part of a part, or what a way gives back is
theirs in common. Between groups nothing is shared, so the best answers of the groups
together are the best answer of all, and the work grows with the number of products,
not with its square or worse.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Protocol, TypeVar


class WayLike(Protocol):
    """What one of a product takes and gives back."""

    @property
    def product(self) -> str: ...
    @property
    def needs(self) -> Mapping[str, int]: ...
    @property
    def gives(self) -> Mapping[str, int]: ...


AnyWay = TypeVar("AnyWay", bound=WayLike)


@dataclass(frozen=True)
class Group:
    """Places in the list of products and in the list of ways that hang together."""

    products: tuple[int, ...]
    ways: tuple[int, ...]


def ways_to(product: str, ways: Sequence[AnyWay]) -> tuple[AnyWay, ...]:
    """Return the ways that can help to make a product up, in their order."""
    by_product = _by_product(ways)
    reached: set[str] = set()
    waiting = [product]
    while waiting:
        item = waiting.pop()
        if item not in reached:
            reached.add(item)
            waiting += [
                part for place in by_product[item] for part in ways[place].needs
            ]
    return tuple(way for way in ways if way.product in reached)


def groups_apart(products: Sequence[str], ways: Sequence[WayLike]) -> list[Group]:
    """Part the products, and the ways that serve them, into groups sharing nothing."""
    chief: dict[str, str] = {}
    for way in ways:
        for part in (*way.needs, *way.gives):
            chief[_chief(chief, part)] = _chief(chief, way.product)
    found: dict[str, tuple[list[int], list[int]]] = defaultdict(lambda: ([], []))
    for place, product in enumerate(products):
        found[_chief(chief, product)][0].append(place)
    for place, way in enumerate(ways):
        if (name := _chief(chief, way.product)) in found:
            found[name][1].append(place)
    return [Group(tuple(some), tuple(own)) for some, own in found.values()]


def _by_product(ways: Sequence[WayLike]) -> Mapping[str, list[int]]:
    found: dict[str, list[int]] = defaultdict(list)
    for place, way in enumerate(ways):
        found[way.product].append(place)
    return found


def _chief(chief: dict[str, str], item: str) -> str:
    """Follow an item to the one that stands for its group, and shorten the path."""
    start = item
    while chief.setdefault(item, item) != item:
        item = chief[item]
    chief[start] = item
    return item
