"""Make up sets from pieces, and mend those that lack one."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime
from uuid import UUID

from django.db import transaction

from inventory.actions.ledger import Move, check_count, said_before, write_entry
from inventory.actions.places import home_place, outside_place
from inventory.actions.sales import note_spells
from inventory.errors import AlreadyMended, NoPartsList, PartsShort, PieceShort
from inventory.models import (
    Balance,
    Entry,
    IncompleteSet,
    Item,
    PartsList,
    Place,
    State,
)
from studio.models import Person


def taken_from_places(item: Item, count: int) -> list[tuple[Place, int]]:
    """Choose the places to take parts from, in walking order.

    What no place holds is taken from the item's home, which then goes below nought
    and is asked about.
    """
    taken: list[tuple[Place, int]] = []
    left = count
    balances = (
        Balance.objects.filter(
            item=item, state=State.SELLABLE, count__gt=0, place__counts_as_shelf=True
        )
        .select_related("place")
        .order_by("place__walk_order", "place_id")
    )
    for balance in balances:
        if left <= 0:
            break
        here = min(left, balance.count)
        taken.append((balance.place, here))
        left -= here
    if left > 0:
        taken.append((home_place(item), left))
    return taken


def sellable_here(item: Item) -> int:
    balances = Balance.objects.filter(
        item=item, state=State.SELLABLE, place__counts_as_shelf=True
    )
    return sum(balance.count for balance in balances)


def lock_items(keys: Iterable[int]) -> None:
    """Lock items in the order of their keys, so that two lockers never wait crosswise."""
    list(Item.objects.select_for_update().filter(pk__in=list(keys)).order_by("pk"))


def parts_moves(parts_list: PartsList, count: int) -> list[Move]:
    used = outside_place("used")
    moves = []
    for line in parts_list.lines.select_related("item", "item__home_place"):
        if line.gives_back:
            moves.append(
                Move(line.item, line.count * count, used, home_place(line.item))
            )
            continue
        for place, here in taken_from_places(line.item, line.count * count):
            moves.append(Move(line.item, here, place, used))
    return moves


def check_parts(item: Item, parts_list: PartsList, count: int) -> None:
    """Refuse to use up parts that are not there, naming the one that stops it.

    The parts are locked first, so that two who make up at once cannot both take the
    last piece.
    """
    lock_items(parts_list.lines.filter(gives_back=False).values_list("item", flat=True))
    possible, stops = count, ""
    for line in parts_list.lines.select_related("item"):
        if line.gives_back:
            continue
        enough_for = max(0, sellable_here(line.item)) // line.count
        if enough_for < possible:
            possible, stops = enough_for, line.item.code
    if possible < count:
        raise PartsShort(item.code, count, possible, stops)


@transaction.atomic
def make_up(
    item: Item,
    *,
    count: int,
    request_id: UUID,
    now: datetime,
    by: Person | None = None,
    parts_list: PartsList | None = None,
    overruled_because: str = "",
) -> Entry:
    """Use up the parts, put the made-up ones on their shelf, give back what is due."""
    check_count(count)
    before = said_before(request_id, verb=Entry.Verb.MADE_UP, item=item, count=count)
    if before is not None:
        return before
    chosen = parts_list or item.parts_lists.order_by("rank").first()
    if chosen is None:
        raise NoPartsList(item.code)
    if not overruled_because:
        check_parts(item, chosen, count)
    moves = [
        *parts_moves(chosen, count),
        Move(item, count, outside_place("made"), home_place(item)),
    ]
    entry = write_entry(
        moves,
        request_id=request_id,
        verb=Entry.Verb.MADE_UP,
        now=now,
        by=by,
        reason=overruled_because,
    )
    note_spells([move.item for move in moves], now=now)
    return entry


@transaction.atomic
def mend_set(
    incomplete: IncompleteSet,
    *,
    request_id: UUID,
    now: datetime,
    by: Person | None = None,
) -> Entry:
    """Put the missing pieces in, so that the set is sellable again."""
    verb = Entry.Verb.MENDED
    before = said_before(request_id, verb=verb, item=incomplete.item, count=1)
    if before is not None:
        return before
    incomplete = IncompleteSet.objects.select_for_update().get(pk=incomplete.pk)
    if incomplete.ended_at is not None:
        raise AlreadyMended(incomplete.item.code)
    moves = mending_moves(incomplete)
    entry = write_entry(moves, request_id=request_id, verb=verb, now=now, by=by)
    incomplete.ended_at = now
    incomplete.ended_by = entry
    incomplete.save(update_fields=["ended_at", "ended_by"])
    note_spells([move.item for move in moves], now=now)
    return entry


def mending_moves(incomplete: IncompleteSet) -> list[Move]:
    """Move the set to its shelf and its missing pieces into it, if they are there."""
    lacks = list(incomplete.lacks.select_related("piece", "piece__home_place"))
    lock_items(lack.piece_id for lack in lacks)
    moves = [
        Move(
            incomplete.item,
            1,
            incomplete.place,
            home_place(incomplete.item),
            State.INCOMPLETE,
            State.SELLABLE,
        )
    ]
    for lack in lacks:
        here = sellable_here(lack.piece)
        if here < lack.count:
            raise PieceShort(
                incomplete.item.code, lack.piece.code, lack.count, max(0, here)
            )
        for place, count in taken_from_places(lack.piece, lack.count):
            moves.append(Move(lack.piece, count, place, outside_place("used")))
    return moves
