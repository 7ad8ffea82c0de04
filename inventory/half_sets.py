"""Loose pieces that lack a partner, the money asleep in them, what would free them.

A piece counts as having partners for as many sets as any one product could take
if every partner went to it, so the count of half sets never overstates. Money
asleep is the material cost of the pieces without a partner. Worked by hand.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from inventory.making_up import Way
from studio.money import show_pounds

_WORDS = (
    *("No", "One", "Two", "Three", "Four", "Five", "Six"),
    *("Seven", "Eight", "Nine", "Ten", "Eleven", "Twelve"),
)


@dataclass(frozen=True)
class Freeing:
    """One cheap piece that would complete sets: how many to cut, how many sets."""

    piece: str
    count: int
    product: str
    sets: int
    cost_pence: int


@dataclass(frozen=True)
class HalfSet:
    """One kind of piece without a partner."""

    piece: str
    count: int
    asleep_pence: int
    freeing: Freeing | None
    sentence: str


def half_sets(
    ways: Iterable[Way],
    loose: Mapping[str, int],
    cost_pence: Mapping[str, int],
    set_names: Mapping[str, str] | None = None,
) -> tuple[HalfSet, ...]:
    """List pieces without a partner, the most money asleep first.

    Only parts named in ``cost_pence`` count as pieces; booklets and dots do not.
    ``set_names`` gives the plain name of a product, such as "nine-inch set".
    """
    recipes = [(way.product, _pieces(way, cost_pence)) for way in ways]
    found = [
        _half_set(piece, recipes, loose, cost_pence, set_names or {})
        for piece in cost_pence
        if any(piece in needs for _, needs in recipes)
    ]
    asleep = [half for half in found if half.count]
    return tuple(sorted(asleep, key=lambda half: -half.asleep_pence))


def _pieces(way: Way, cost_pence: Mapping[str, int]) -> dict[str, int]:
    return {part: n for part, n in way.needs.items() if part in cost_pence}


def _half_set(
    piece: str,
    recipes: list[tuple[str, dict[str, int]]],
    loose: Mapping[str, int],
    cost_pence: Mapping[str, int],
    set_names: Mapping[str, str],
) -> HalfSet:
    taking = [(product, needs) for product, needs in recipes if piece in needs]
    most_used = max(_sets(needs, loose) * needs[piece] for _, needs in taking)
    count = max(0, loose.get(piece, 0)) - most_used
    offers = [
        offer
        for product, needs in taking
        for partner in needs
        if partner != piece
        and (offer := _freeing(product, needs, partner, loose, cost_pence))
    ]
    best = max(offers, key=lambda o: (o.sets, -o.cost_pence), default=None)
    asleep = count * cost_pence[piece]
    sentence = _sentence(piece, count, asleep, best, set_names)
    return HalfSet(piece, count, asleep, best, sentence)


def _sets(needs: Mapping[str, int], loose: Mapping[str, int]) -> int:
    return min(max(0, loose.get(part, 0)) // n for part, n in needs.items())


def _freeing(
    product: str,
    needs: Mapping[str, int],
    partner: str,
    loose: Mapping[str, int],
    cost_pence: Mapping[str, int],
) -> Freeing | None:
    others = {part: n for part, n in needs.items() if part != partner}
    sets = _sets(others, loose)
    more = sets - _sets(needs, loose)
    if more <= 0:
        return None
    count = sets * needs[partner] - max(0, loose.get(partner, 0))
    return Freeing(partner, count, product, more, count * cost_pence[partner])


def _sentence(
    piece: str,
    count: int,
    asleep_pence: int,
    freeing: Freeing | None,
    set_names: Mapping[str, str],
) -> str:
    has = "has" if count == 1 else "have"
    pounds = show_pounds(asleep_pence)
    start = f"{_counted(count)} {piece} {has} no partner: {pounds} asleep."
    if freeing is None:
        return f"{start} No single kind of piece would free them."
    name = set_names.get(freeing.product, f"{freeing.product} set")
    plural = name if freeing.sets == 1 else f"{name}s"
    sets = _counted(freeing.sets).lower()
    return (
        f"{start} {_counted(freeing.count)} {freeing.piece} would free {sets} {plural}."
    )


def _counted(count: int) -> str:
    return _WORDS[count] if count < len(_WORDS) else str(count)
