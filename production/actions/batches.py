"""Plan work in sessions, let it be done or dropped, and say what it will bring."""

from __future__ import annotations

from datetime import date, datetime
from uuid import UUID, uuid5

from django.db import transaction
from django.utils import timezone

from inventory import actions as stock
from inventory.models import Arrival, Item, Sample
from production.errors import BatchClosed, NotASheetCount
from production.models import Batch, Layout, Plan, SellingDay
from studio.models import StudioSettings, WorkSession

MOST_SHEETS = 500


def check_sheets(sheets: int) -> int:
    if isinstance(sheets, bool) or not isinstance(sheets, int):
        raise NotASheetCount(str(sheets))
    if not 0 < sheets <= MOST_SHEETS:
        raise NotASheetCount(str(sheets))
    return sheets


@transaction.atomic
def plan_cutting(
    layout: Layout,
    *,
    sheets: int,
    request_id: UUID,
    now: datetime,
    session: WorkSession | None = None,
    selling_day: SellingDay | None = None,
    plan: Plan | None = None,
    reason: str = "",
) -> Batch:
    """Plan so many sheets of a layout; the good pieces hoped for are expected in."""
    said_before = Batch.objects.filter(request_id=request_id).first()
    if said_before is not None:
        return said_before
    batch = Batch.objects.create(
        kind=Batch.Kind.CUTTING,
        layout=layout,
        count=check_sheets(sheets),
        minutes=layout.minutes * sheets,
        session=session,
        selling_day=selling_day,
        plan=plan,
        made_at=now,
        reason=reason,
        request_id=request_id,
    )
    expect_what_is_left(batch, now=now)
    return batch


@transaction.atomic
def plan_making_up(
    item: Item,
    *,
    count: int,
    request_id: UUID,
    now: datetime,
    session: WorkSession | None = None,
    selling_day: SellingDay | None = None,
    plan: Plan | None = None,
    minutes: int = 0,
    reason: str = "",
) -> Batch:
    """Plan to make up so many of an item."""
    said_before = Batch.objects.filter(request_id=request_id).first()
    if said_before is not None:
        return said_before
    batch = Batch.objects.create(
        kind=Batch.Kind.MAKING_UP,
        item=item,
        count=stock.check_count(count),
        minutes=minutes,
        session=session,
        selling_day=selling_day,
        plan=plan,
        made_at=now,
        reason=reason,
        request_id=request_id,
    )
    expect_what_is_left(batch, now=now)
    return batch


@transaction.atomic
def plan_sewing(
    sample: Sample,
    *,
    request_id: UUID,
    now: datetime,
    session: WorkSession | None = None,
    selling_day: SellingDay | None = None,
    reason: str = "",
) -> Batch:
    """Plan to sew a sample."""
    batch, _ = Batch.objects.get_or_create(
        request_id=request_id,
        defaults={
            "kind": Batch.Kind.SEWING,
            "sample": sample,
            "count": 1,
            "minutes": sample.sewing_minutes,
            "session": session,
            "selling_day": selling_day,
            "made_at": now,
            "reason": reason,
        },
    )
    return batch


@transaction.atomic
def drop_batch(batch: Batch, *, now: datetime, reason: str = "") -> Batch:
    """Drop what is left of a batch; dropping twice changes nothing."""
    batch = lock_batch(batch)
    if batch.state == Batch.State.DROPPED:
        return batch
    if batch.state == Batch.State.DONE:
        raise BatchClosed(what_of(batch), batch.get_state_display())
    batch.state = Batch.State.DROPPED
    batch.reason = reason or batch.reason
    batch.save(update_fields=["state", "reason"])
    expect_what_is_left(batch, now=now)
    return batch


@transaction.atomic
def take_up_batch(batch: Batch, *, now: datetime) -> Batch:
    """Undo the dropping of a batch."""
    batch = lock_batch(batch)
    if batch.state == Batch.State.DROPPED:
        batch.state = Batch.State.DONE if batch.left == 0 else Batch.State.PLANNED
        batch.save(update_fields=["state"])
        expect_what_is_left(batch, now=now)
    return batch


@transaction.atomic
def move_batch(batch: Batch, *, session: WorkSession | None, now: datetime) -> Batch:
    """Put a batch into another session, or into none."""
    batch = lock_batch(batch)
    batch.session = session
    batch.save(update_fields=["session"])
    expect_what_is_left(batch, now=now)
    return batch


def lock_batch(batch: Batch) -> Batch:
    return Batch.objects.select_for_update().get(pk=batch.pk)


def add_to_done(batch: Batch, count: int, *, now: datetime) -> Batch:
    """Let a batch grow by what was done, or shrink by what was taken back."""
    batch = lock_batch(batch)
    batch.done = max(0, batch.done + count)
    if batch.state != Batch.State.DROPPED:
        batch.state = Batch.State.DONE if batch.left == 0 else Batch.State.PLANNED
    batch.save(update_fields=["done", "state"])
    expect_what_is_left(batch, now=now)
    return batch


def what_of(batch: Batch) -> str:
    """Name a batch in a few words: "3 sheets of LA" or "20 × RF-090"."""
    if batch.layout is not None:
        sheets = "1 sheet" if batch.count == 1 else f"{batch.count} sheets"
        return f"{sheets} of {batch.layout.code}"
    if batch.item is not None:
        return f"{batch.count} × {batch.item.code}"
    return batch.sample.name if batch.sample else str(batch)


def batch_reference(batch: Batch) -> str:
    return f"batch {batch.pk}"


def expect_what_is_left(batch: Batch, *, now: datetime) -> None:
    """Let the arrivals of a batch say what it will still bring, and when.

    Of cut pieces only the good ones count, rounded down at the usual spoil.
    """
    reference = batch_reference(batch)
    coming = coming_from(batch) if batch.state == Batch.State.PLANNED else {}
    day = batch.session.day if batch.session else None
    Arrival.objects.filter(reference=reference, closed_at=None).exclude(
        item__in=list(coming) if day else []
    ).update(closed_at=now)
    if day is None:
        return
    for item, count in coming.items():
        expect_from_batch(batch, item, count, day)


def expect_from_batch(batch: Batch, item: Item, count: int, day: date) -> None:
    reference = batch_reference(batch)
    Arrival.objects.update_or_create(
        request_id=uuid5(batch_space(batch), f"{reference} {item.code}"),
        defaults={
            "item": item,
            "count": count,
            "expected_on": day,
            "source": batch.get_kind_display(),
            "reference": reference,
            "closed_at": None,
        },
    )


def batch_space(batch: Batch) -> UUID:
    return batch.request_id or UUID(int=batch.pk)


def coming_from(batch: Batch) -> dict[Item, int]:
    if batch.layout is None:
        return {batch.item: batch.left} if batch.item else {}
    spoil = usual_spoil_per_hundred()
    good = {
        gives.piece: gives.count * batch.left * (100 - spoil) // 100
        for gives in batch.layout.gives.select_related("piece")
    }
    return {piece: count for piece, count in good.items() if count}


def usual_spoil_per_hundred() -> int:
    studio = StudioSettings.objects.filter(pk=1).first()
    return studio.usual_spoil_per_hundred if studio else 5


def session_on(moment: datetime) -> WorkSession | None:
    """Return the session of the day on which something was logged."""
    day = timezone.localdate(moment)
    return WorkSession.objects.filter(day=day).order_by("starts", "pk").first()
