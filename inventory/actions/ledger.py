"""Write in the ledger: one entry, its movements and the balances, all or nothing."""

from __future__ import annotations

import hashlib
from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from django.db import transaction
from django.db.models import F

from inventory.errors import NotACount, SameRequestOtherContent
from inventory.models import Balance, Entry, Item, Movement, Place, State
from studio.models import Person

LARGEST_COUNT = 99_999


@dataclass(frozen=True)
class Move:
    """A whole number of an item going from one place and state to another."""

    item: Item
    count: int
    from_place: Place
    to_place: Place
    from_state: str = State.SELLABLE
    to_state: str = State.SELLABLE


def check_count(count: int) -> int:
    """Refuse what is not a number of goods: nought, below, parts of one, millions."""
    if isinstance(count, bool) or not isinstance(count, int):
        raise NotACount(str(count))
    if not 0 < count <= LARGEST_COUNT:
        raise NotACount(str(count))
    return count


@transaction.atomic
def write_entry(
    moves: Sequence[Move],
    *,
    request_id: UUID,
    verb: str,
    now: datetime,
    by: Person | None = None,
    happened_at: datetime | None = None,
    reason: str = "",
    reference: str = "",
    reverses: Entry | None = None,
) -> Entry:
    """Post one entry; said a second time with the same id it returns the first.

    The same id with other content is refused. Balances change in the same
    transaction, by increments, so that two writers cannot lose each other's.
    """
    for move in moves:
        check_count(move.count)
    fingerprint = fingerprint_of(verb, moves, reference)
    entry, is_new = Entry.objects.get_or_create(
        request_id=request_id,
        defaults={
            "fingerprint": fingerprint,
            "verb": verb,
            "reason": reason,
            "reference": reference,
            "by": by,
            "happened_at": happened_at or now,
            "recorded_at": now,
            "reverses": reverses,
        },
    )
    if not is_new:
        return same_entry(entry, fingerprint)
    Movement.objects.bulk_create(
        Movement(
            entry=entry,
            item=move.item,
            count=move.count,
            from_place=move.from_place,
            from_state=move.from_state,
            to_place=move.to_place,
            to_state=move.to_state,
        )
        for move in moves
    )
    change_balances(moves)
    return entry


def same_entry(entry: Entry, fingerprint: str) -> Entry:
    if entry.fingerprint != fingerprint:
        raise SameRequestOtherContent(str(entry.request_id))
    return entry


def said_before(request_id: UUID, *, verb: str, item: Item, count: int) -> Entry | None:
    """Return the entry of an act said before; the same id for another act is refused.

    For acts whose movements depend on what lies where, so that saying them again
    would not give the same movements.
    """
    entry = Entry.objects.filter(request_id=request_id).first()
    if entry is None:
        return None
    same = entry.verb == verb and entry.movements.filter(item=item, count=count)
    if not same or not same.exists():
        raise SameRequestOtherContent(str(request_id))
    return entry


def was_said(request_id: UUID) -> bool:
    """Whether an entry with this id is written: the act was done before."""
    return Entry.objects.filter(request_id=request_id).exists()


def fingerprint_of(verb: str, moves: Iterable[Move], reference: str) -> str:
    lines = sorted(
        f"{move.item.pk}|{move.count}|{move.from_place.pk}|{move.from_state}"
        f"|{move.to_place.pk}|{move.to_state}"
        for move in moves
    )
    text = "\n".join([verb, reference, *lines])
    return hashlib.sha256(text.encode()).hexdigest()


def change_balances(moves: Iterable[Move]) -> None:
    """Add each movement to both its balances, in one fixed order to avoid deadlock."""
    changes: dict[tuple[int, int, str], int] = defaultdict(int)
    for move in moves:
        changes[move.item.pk, move.from_place.pk, move.from_state] -= move.count
        changes[move.item.pk, move.to_place.pk, move.to_state] += move.count
    keys = sorted(changes)
    Balance.objects.bulk_create(
        [
            Balance(item_id=item, place_id=place, state=state)
            for item, place, state in keys
        ],
        ignore_conflicts=True,
    )
    for item, place, state in keys:
        Balance.objects.filter(item_id=item, place_id=place, state=state).update(
            count=F("count") + changes[item, place, state]
        )
