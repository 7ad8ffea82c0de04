"""Log pieces that turned out spoiled after their sheets were logged."""

from __future__ import annotations

from collections import Counter
from datetime import datetime
from uuid import UUID

from django.db import transaction

from inventory import actions as stock
from inventory.models import Entry, State
from production.actions.cutting import (
    Spoiled,
    check_spoiled,
    same_log,
)
from production.errors import NoSheetYet, SpoilNeedsItsSheet
from production.models import CuttingLog, Layout, SpoiledPieces
from production.queries.cut import live_logs
from production.spoil import SpoiledMoreThanCut
from studio.models import Person, WorkSession


@transaction.atomic
def log_spoiled(
    layout: Layout,
    *,
    spoiled: Spoiled,
    request_id: UUID,
    now: datetime,
    session: WorkSession | None = None,
    logged_at: datetime | None = None,
    by: Person | None = None,
) -> CuttingLog:
    """Take pieces out of their drawer again: once, as a log of no sheets.

    They belong to the sheets of this layout already logged in the session, and there
    can be no more of them than those sheets gave.
    """
    Layout.objects.select_for_update().get(pk=layout.pk)
    said_before = CuttingLog.objects.filter(request_id=request_id).first()
    if said_before is not None:
        return same_log(said_before, layout, 0, [spoiled])
    last = live_logs(layout, session).filter(sheets__gt=0).first()
    if last is None:
        raise NoSheetYet(layout.code)
    check_spoiled(
        layout, layout.gives.select_related("piece"), 1, [spoiled_kind(spoiled)]
    )
    check_room(layout, session, spoiled)
    happened_at = min(logged_at or now, now)
    entry = stock.write_entry(
        [spoil_move(spoiled)],
        request_id=request_id,
        verb=Entry.Verb.SPOILED,
        now=now,
        happened_at=happened_at,
        by=by,
        reference=f"cutting {layout.code}",
    )
    log = CuttingLog.objects.create(
        request_id=request_id,
        layout=layout,
        batch=last.batch,
        session=session,
        sheets=0,
        logged_at=happened_at,
        saved_at=now,
        by=by,
        entry=entry,
    )
    SpoiledPieces.objects.create(
        log=log,
        piece=spoiled.piece,
        count=spoiled.count,
        reason=spoiled.reason,
        where=spoiled.where,
    )
    stock.note_spells([spoiled.piece], now=now)
    return log


def spoiled_kind(spoiled: Spoiled) -> Spoiled:
    """Return one such piece: what kind it may be does not hang on how many."""
    stock.check_count(spoiled.count)
    return Spoiled(spoiled.piece, 1, spoiled.reason, spoiled.where)


def spoil_move(spoiled: Spoiled) -> stock.Move:
    drawer = stock.home_place(spoiled.piece)
    if spoiled.is_second:
        return stock.Move(
            spoiled.piece, spoiled.count, drawer, drawer, to_state=State.SECOND
        )
    outside = stock.outside_place("spoiled")
    return stock.Move(spoiled.piece, spoiled.count, drawer, outside)


def check_room(layout: Layout, session: WorkSession | None, spoiled: Spoiled) -> None:
    cut, lost = cut_and_lost(layout, session)
    piece = spoiled.piece
    total = lost[piece.pk] + spoiled.count
    if total > cut[piece.pk]:
        raise SpoiledMoreThanCut(piece.code, total, cut[piece.pk])


def cut_and_lost(
    layout: Layout, session: WorkSession | None
) -> tuple[Counter[int], Counter[int]]:
    """Count what the sheets of a layout gave in a session, and what was spoiled."""
    logs = list(live_logs(layout, session).prefetch_related("spoiled"))
    sheets = sum(log.sheets for log in logs)
    cut = Counter(
        {
            piece: count * sheets
            for piece, count in layout.gives.values_list("piece_id", "count")
        }
    )
    lost: Counter[int] = Counter()
    for log in logs:
        for row in log.spoiled.all():
            lost[row.piece_id] += row.count
    return cut, lost


def check_may_go(log: CuttingLog) -> None:
    """Refuse to take sheets back whose spoiled pieces would stay in the book."""
    cut, lost = cut_and_lost(log.layout, log.session)
    lost.subtract({row.piece_id: row.count for row in log.spoiled.all()})
    for gives in log.layout.gives.select_related("piece"):
        left = cut[gives.piece_id] - gives.count * log.sheets
        if lost[gives.piece_id] > left:
            raise SpoilNeedsItsSheet(
                log.layout.code, gives.piece.code, lost[gives.piece_id]
            )
