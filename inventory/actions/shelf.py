"""Count, move, regrade and give away what is on the shelves."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime
from uuid import UUID

from django.db import transaction

from inventory.actions.ledger import Move, check_count, write_entry
from inventory.actions.places import home_place, outside_place
from inventory.actions.sales import note_spells
from inventory.errors import NotACount, SameRequestOtherContent
from inventory.models import (
    Count,
    Entry,
    IncompleteSet,
    Item,
    Lack,
    Place,
    State,
)
from inventory.queries.balances import balance_at
from studio.models import Person


@transaction.atomic
def record_count(
    item: Item,
    *,
    place: Place,
    found: int,
    counted_at: datetime,
    request_id: UUID,
    now: datetime,
    by: Person | None = None,
    state: str = State.SELLABLE,
    reason: str = "",
) -> Count:
    """Compare what was found with what the book said at that moment, and correct it.

    What happened between counting and saving is left alone.
    """
    if (
        isinstance(found, bool)
        or not isinstance(found, int)
        or not 0 <= found <= 99_999
    ):
        raise NotACount(str(found))
    said_before = Count.objects.filter(request_id=request_id).first()
    if said_before is not None:
        return same_count(said_before, item=item, place=place, found=found)
    expected = balance_at(item, place, state, at=counted_at)
    entry = None
    if found != expected:
        entry = write_entry(
            [count_move(item, place, state, found - expected)],
            request_id=request_id,
            verb=Entry.Verb.COUNTED,
            now=now,
            happened_at=counted_at,
            by=by,
            reason=reason,
        )
    count = Count.objects.create(
        item=item,
        place=place,
        state=state,
        found=found,
        expected=expected,
        counted_at=counted_at,
        saved_at=now,
        by=by,
        reason=reason,
        entry=entry,
        request_id=request_id,
    )
    note_spells([item], now=now)
    return count


def same_count(count: Count, *, item: Item, place: Place, found: int) -> Count:
    if (count.item_id, count.place_id, count.found) != (item.pk, place.pk, found):
        raise SameRequestOtherContent(str(count.request_id))
    return count


def count_move(item: Item, place: Place, state: str, difference: int) -> Move:
    counted = outside_place("counted")
    if difference > 0:
        return Move(item, difference, counted, place, State.SELLABLE, state)
    return Move(item, -difference, place, counted, state, State.SELLABLE)


@transaction.atomic
def move_stock(
    item: Item,
    *,
    count: int,
    from_place: Place,
    to_place: Place,
    request_id: UUID,
    now: datetime,
    by: Person | None = None,
    from_state: str = State.SELLABLE,
    to_state: str = State.SELLABLE,
    verb: str = Entry.Verb.MOVED,
    reason: str = "",
    reference: str = "",
) -> Entry:
    entry = write_entry(
        [Move(item, count, from_place, to_place, from_state, to_state)],
        request_id=request_id,
        verb=verb,
        now=now,
        by=by,
        reason=reason,
        reference=reference,
    )
    note_spells([item], now=now)
    return entry


def regrade_stock(
    item: Item,
    *,
    count: int,
    place: Place,
    from_state: str,
    to_state: str,
    request_id: UUID,
    now: datetime,
    by: Person | None = None,
    reason: str = "",
) -> Entry:
    return move_stock(
        item,
        count=count,
        from_place=place,
        to_place=place,
        from_state=from_state,
        to_state=to_state,
        request_id=request_id,
        now=now,
        by=by,
        verb=Entry.Verb.REGRADED,
        reason=reason,
    )


@transaction.atomic
def mark_incomplete(
    item: Item,
    *,
    place: Place,
    lacks: Mapping[Item, int],
    request_id: UUID,
    now: datetime,
    by: Person | None = None,
    why: str = "",
) -> IncompleteSet:
    """Take one sellable set out of the promise because pieces of it are missing."""
    said_before = IncompleteSet.objects.filter(
        marked_by__request_id=request_id, item=item
    ).first()
    if said_before is not None:
        return said_before
    for count in lacks.values():
        check_count(count)
    entry = regrade_stock(
        item,
        count=1,
        place=place,
        from_state=State.SELLABLE,
        to_state=State.INCOMPLETE,
        request_id=request_id,
        now=now,
        by=by,
        reason=why,
    )
    return write_incomplete(item, place, lacks, entry=entry, why=why)


def write_incomplete(
    item: Item, place: Place, lacks: Mapping[Item, int], *, entry: Entry, why: str
) -> IncompleteSet:
    incomplete = IncompleteSet.objects.create(
        item=item, place=place, why=why, since=entry.happened_at, marked_by=entry
    )
    Lack.objects.bulk_create(
        Lack(incomplete_set=incomplete, piece=piece, count=check_count(count))
        for piece, count in lacks.items()
    )
    return incomplete


def look_at_return(
    item: Item,
    *,
    count: int,
    tray: Place,
    to_state: str,
    request_id: UUID,
    now: datetime,
    by: Person | None = None,
    reason: str = "",
) -> Entry:
    """Grade returned goods: back to the shelf, seconds, or incomplete."""
    return move_stock(
        item,
        count=count,
        from_place=tray,
        to_place=home_place(item),
        from_state=State.TO_LOOK_AT,
        to_state=to_state,
        request_id=request_id,
        now=now,
        by=by,
        verb=Entry.Verb.REGRADED,
        reason=reason,
    )


def give_away(
    item: Item,
    *,
    count: int,
    place: Place,
    request_id: UUID,
    now: datetime,
    reason: str,
    by: Person | None = None,
) -> Entry:
    return move_stock(
        item,
        count=count,
        from_place=place,
        to_place=outside_place("given"),
        request_id=request_id,
        now=now,
        by=by,
        verb=Entry.Verb.GIVEN,
        reason=reason,
    )


def spoil_stock(
    item: Item,
    *,
    count: int,
    place: Place,
    from_state: str,
    request_id: UUID,
    now: datetime,
    by: Person | None = None,
    reason: str = "",
) -> Entry:
    """Write off what cannot be sold any more."""
    return move_stock(
        item,
        count=count,
        from_place=place,
        to_place=outside_place("spoiled"),
        from_state=from_state,
        request_id=request_id,
        now=now,
        by=by,
        verb=Entry.Verb.SPOILED,
        reason=reason,
    )


@transaction.atomic
def find_return_incomplete(
    item: Item,
    *,
    tray: Place,
    lacks: Mapping[Item, int],
    request_id: UUID,
    now: datetime,
    by: Person | None = None,
    why: str = "",
) -> IncompleteSet:
    """Grade one returned set as incomplete, and remember which piece it lacks."""
    said_before = IncompleteSet.objects.filter(
        marked_by__request_id=request_id, item=item
    ).first()
    if said_before is not None:
        return said_before
    entry = look_at_return(
        item,
        count=1,
        tray=tray,
        to_state=State.INCOMPLETE,
        request_id=request_id,
        now=now,
        by=by,
        reason=why,
    )
    return write_incomplete(item, home_place(item), lacks, entry=entry, why=why)
