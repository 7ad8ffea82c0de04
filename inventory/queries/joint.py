"""How many of several things could be had together, from the tables.

What lies on the shelf and is free is taken first; incomplete sets are mended first;
then promises that are short, and then the mix that gains the most, are made up from
what is left of the parts.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, datetime

from inventory.making_up import Mix, MixLine, Wanted, best_mix, mend_first
from inventory.models import Item
from inventory.queries.balances import sellable_at_home
from inventory.queries.prices import gains_on
from inventory.queries.promises import (
    Parts,
    claimed_by_item,
    mends_by_item,
    parts_of,
)


@dataclass(frozen=True)
class Asked:
    """One thing that is asked about, and at most how many of it."""

    item: Item
    at_most: int


@dataclass(frozen=True)
class JointRow:
    """The answer for one thing: from the shelf, and made up."""

    item: Item
    at_most: int
    from_shelf: int
    line: MixLine
    gain_pence: int | None

    @property
    def together(self) -> int:
        return self.from_shelf + self.line.extra


@dataclass(frozen=True)
class JointAnswer:
    rows: tuple[JointRow, ...]
    mix: Mix
    mended: tuple[str, ...]
    left_over: tuple[tuple[str, int], ...]


def joint_answer(asked: Sequence[Asked], *, now: datetime, today: date) -> JointAnswer:
    """Plan jointly over shared pieces: promises first, then the most gain."""
    items = [one.item for one in asked]
    spare = spare_by_item(items, now=now)
    gains = gains_on(items, on=today)
    parts = parts_of(items, now=now)
    mends = [mend for found in mends_by_item(items).values() for mend in found]
    mended = mend_first(mends, parts.free)
    loose = dict(mended.left_over)
    for mend in mended.mended:
        spare[mend.product] += 1
    from_shelf = {
        one.item.code: min(one.at_most, max(0, spare[one.item.code])) for one in asked
    }
    for code, taken in from_shelf.items():
        loose[code] = max(0, spare[code] - taken)
    wanted = [
        Wanted(
            one.item.code,
            must=max(0, -spare[one.item.code]),
            at_most=one.at_most - from_shelf[one.item.code],
            gain_pence=max(0, gains.get(one.item.pk, 0)),
        )
        for one in asked
    ]
    mix = best_mix(wanted, parts.ways, loose)
    rows = tuple(
        JointRow(
            one.item,
            one.at_most,
            from_shelf[one.item.code],
            line,
            gains.get(one.item.pk),
        )
        for one, line in zip(asked, mix.lines, strict=True)
    )
    codes = tuple(mend.product for mend in mended.mended)
    return JointAnswer(rows, mix, codes, left_over_pieces(parts, mix))


def spare_by_item(items: Iterable[Item], *, now: datetime) -> dict[str, int]:
    """Return sellable less spoken for of each item by its code: two queries."""
    items = list(items)
    sellable = sellable_at_home(items)
    claimed = claimed_by_item(items, now=now)
    return {item.code: sellable[item.pk] - claimed.get(item.pk, 0) for item in items}


def left_over_pieces(parts: Parts, mix: Mix) -> tuple[tuple[str, int], ...]:
    """Return what is left of the loose pieces and boxes, without paper and dots."""
    needed = {code for way in parts.ways for code in way.needs}
    scarce = Item.objects.filter(code__in=needed).exclude(
        kind__in=(Item.Kind.BOOKLET, Item.Kind.CONSUMABLE)
    )
    return tuple(
        (item.code, left)
        for item in scarce.order_by("code")
        if (left := mix.left_over.get(item.code, 0)) > 0
    )
