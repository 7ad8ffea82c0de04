"""Undo an entry by its mirror, and put back what hung on it."""

from __future__ import annotations

from datetime import datetime
from uuid import UUID

from django.db import transaction

from inventory.actions.ledger import Move, write_entry
from inventory.actions.sales import note_spells, turn_returns_of
from inventory.errors import AlreadyTakenBack
from inventory.models import Entry, IncompleteSet
from studio.models import Person


@transaction.atomic
def take_back_entry(
    entry: Entry,
    *,
    request_id: UUID,
    now: datetime,
    by: Person | None = None,
    reason: str = "",
) -> Entry:
    """Undo an entry by posting its mirror; both stay in the history.

    A set that was mended lacks its piece again, one that was marked incomplete is
    whole again, and a return that came in with the entry is no return.
    """
    said_before = Entry.objects.filter(request_id=request_id).first()
    if said_before is not None:
        return said_before
    entry = Entry.objects.select_for_update().get(pk=entry.pk)
    if Entry.objects.filter(reverses=entry).exists():
        raise AlreadyTakenBack(entry.pk)
    moves = mirrored(entry)
    mirror = write_entry(
        moves,
        request_id=request_id,
        verb=Entry.Verb.REVERSED,
        now=now,
        by=by,
        reason=reason,
        reference=entry.reference,
        reverses=entry,
    )
    put_incomplete_sets_back(entry, mirror, now=now)
    turn_returns_of(entry, now=now)
    note_spells([move.item for move in moves], now=now)
    return mirror


def mirrored(entry: Entry) -> list[Move]:
    return [
        Move(
            item=movement.item,
            count=movement.count,
            from_place=movement.to_place,
            from_state=movement.to_state,
            to_place=movement.from_place,
            to_state=movement.from_state,
        )
        for movement in entry.movements.select_related("item", "from_place", "to_place")
    ]


def put_incomplete_sets_back(entry: Entry, mirror: Entry, *, now: datetime) -> None:
    IncompleteSet.objects.filter(ended_by=entry).update(ended_at=None, ended_by=None)
    IncompleteSet.objects.filter(marked_by=entry, ended_at=None).update(
        ended_at=now, ended_by=mirror
    )
