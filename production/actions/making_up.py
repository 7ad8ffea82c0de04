"""Log sets that were made up from pieces."""

from __future__ import annotations

from datetime import datetime
from uuid import UUID

from django.db import transaction

from inventory import actions as stock
from inventory.models import Entry, Item, PartsList
from production.actions.batches import add_to_done
from production.models import Batch, MakingUpLog
from studio.models import Person


@transaction.atomic
def log_making_up(
    item: Item,
    *,
    count: int,
    request_id: UUID,
    now: datetime,
    batch: Batch | None = None,
    by: Person | None = None,
    parts_list: PartsList | None = None,
    overruled_because: str = "",
) -> MakingUpLog:
    """Use up the parts, count the sets in, and let the batch grow: once."""
    said_before = MakingUpLog.objects.filter(request_id=request_id).first()
    if said_before is not None:
        return said_before
    entry = stock.make_up(
        item,
        count=count,
        request_id=request_id,
        now=now,
        by=by,
        parts_list=parts_list,
        overruled_because=overruled_because,
    )
    batch = batch or open_making_up(item)
    log = MakingUpLog.objects.create(
        request_id=request_id,
        item=item,
        batch=batch,
        count=count,
        logged_at=now,
        by=by,
        entry=entry,
    )
    if batch is not None:
        add_to_done(batch, count, now=now)
    return log


def open_making_up(item: Item) -> Batch | None:
    """Return the first planned batch of the item, which a log without one serves."""
    return (
        Batch.objects.filter(
            kind=Batch.Kind.MAKING_UP, item=item, state=Batch.State.PLANNED
        )
        .order_by("session__day", "pk")
        .first()
    )


@transaction.atomic
def take_back_making_up(
    log: MakingUpLog, *, request_id: UUID, now: datetime, by: Person | None = None
) -> Entry:
    said_before = Entry.objects.filter(request_id=request_id).first()
    if said_before is not None:
        return said_before
    entry = stock.take_back_entry(
        log.entry, request_id=request_id, now=now, by=by, reason="Log taken back"
    )
    moved = [move.item for move in log.entry.movements.select_related("item")]
    stock.note_spells(moved, now=now)
    if log.batch is not None:
        add_to_done(log.batch, -log.count, now=now)
    return entry
