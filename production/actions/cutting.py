"""Log what came off the cutter: one ledger entry, once, however often it is sent."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from django.db import transaction

from inventory import actions as stock
from inventory.errors import SameRequestOtherContent
from inventory.models import Entry, Item, State
from production.actions.batches import add_to_done, check_sheets, session_on
from production.errors import PieceNotOnLayout, UnknownSpoilReason
from production.models import Batch, CuttingLog, Layout, LayoutGives, SpoiledPieces
from production.spoil import SpoiledMoreThanCut
from studio.models import Person, WorkSession


@dataclass(frozen=True)
class Spoiled:
    """Pieces of one kind that were not good, and why."""

    piece: Item
    count: int
    reason: str
    where: str = ""

    @property
    def is_second(self) -> bool:
        return self.reason == SpoiledPieces.Reason.SCRATCHED


@transaction.atomic
def log_cutting(
    layout: Layout,
    *,
    sheets: int,
    request_id: UUID,
    now: datetime,
    spoiled: Iterable[tuple[Item, int, str, str] | Spoiled] = (),
    session: WorkSession | None = None,
    batch: Batch | None = None,
    logged_at: datetime | None = None,
    by: Person | None = None,
    minutes: int | None = None,
    note: str = "",
) -> CuttingLog:
    """Take sheets off the rack and put what they gave where it belongs.

    Good pieces go to their drawer, scratched but sound ones to the seconds, the
    others to "spoiled", so that every piece cut is accounted for. A phone may send
    the same log again: it counts once. A phone whose clock runs ahead is put right.
    """
    # One writer a layout, so that two copies of a log cannot pass each other.
    Layout.objects.select_for_update().get(pk=layout.pk)
    lost = [as_spoiled(row) for row in spoiled]
    said_before = CuttingLog.objects.filter(request_id=request_id).first()
    if said_before is not None:
        return same_log(said_before, layout, sheets, lost)
    check_sheets(sheets)
    gives = list(layout.gives.select_related("piece", "piece__home_place"))
    check_spoiled(layout, gives, sheets, lost)
    happened_at = min(logged_at or now, now)
    session = session or (batch.session if batch else session_on(happened_at))
    batch = batch or open_batch(layout, session)
    entry = stock.write_entry(
        [*sheet_moves(layout, sheets), *piece_moves(gives, sheets, lost)],
        request_id=request_id,
        verb=Entry.Verb.CUT,
        now=now,
        happened_at=happened_at,
        by=by,
        reason=note,
        reference=f"cutting {layout.code}",
    )
    log = CuttingLog.objects.create(
        request_id=request_id,
        layout=layout,
        batch=batch,
        session=session,
        sheets=sheets,
        logged_at=happened_at,
        saved_at=now,
        by=by,
        minutes=minutes,
        entry=entry,
        note=note,
    )
    SpoiledPieces.objects.bulk_create(
        SpoiledPieces(
            log=log,
            piece=row.piece,
            count=row.count,
            reason=row.reason,
            where=row.where,
        )
        for row in lost
    )
    stock.note_spells([line.piece for line in gives] + [layout.sheet], now=now)
    if batch is not None:
        add_to_done(batch, sheets, now=now)
    return log


def as_spoiled(row: tuple[Item, int, str, str] | Spoiled) -> Spoiled:
    return row if isinstance(row, Spoiled) else Spoiled(*row)


def same_log(
    log: CuttingLog, layout: Layout, sheets: int, lost: Sequence[Spoiled]
) -> CuttingLog:
    kept = Counter(
        (row.piece_id, row.count, row.reason, row.where) for row in log.spoiled.all()
    )
    sent = Counter((row.piece.pk, row.count, row.reason, row.where) for row in lost)
    if (log.layout_id, log.sheets, kept) != (layout.pk, sheets, sent):
        raise SameRequestOtherContent(str(log.request_id))
    return log


def check_spoiled(
    layout: Layout, gives: Iterable[LayoutGives], sheets: int, lost: Iterable[Spoiled]
) -> None:
    cut = {line.piece.pk: line.count * sheets for line in gives}
    total: Counter[int] = Counter()
    for row in lost:
        stock.check_count(row.count)
        if row.reason not in SpoiledPieces.Reason.values:
            raise UnknownSpoilReason(row.reason)
        if row.piece.pk not in cut:
            raise PieceNotOnLayout(layout.code, row.piece.code)
        total[row.piece.pk] += row.count
        if total[row.piece.pk] > cut[row.piece.pk]:
            raise SpoiledMoreThanCut(
                row.piece.code, total[row.piece.pk], cut[row.piece.pk]
            )


def sheet_moves(layout: Layout, sheets: int) -> list[stock.Move]:
    used = stock.outside_place("used")
    return [
        stock.Move(layout.sheet, count, place, used)
        for place, count in stock.taken_from_places(layout.sheet, sheets)
    ]


def piece_moves(
    gives: Iterable[LayoutGives], sheets: int, lost: Sequence[Spoiled]
) -> list[stock.Move]:
    return [
        move
        for line in gives
        for move in moves_of_piece(
            line.piece,
            line.count * sheets,
            [row for row in lost if row.piece.pk == line.piece.pk],
        )
    ]


def moves_of_piece(item: Item, cut: int, lost: Sequence[Spoiled]) -> list[stock.Move]:
    made, drawer = stock.outside_place("made"), stock.home_place(item)
    seconds = sum(row.count for row in lost if row.is_second)
    spoiled = sum(row.count for row in lost if not row.is_second)
    moves = [
        stock.Move(item, cut - seconds - spoiled, made, drawer),
        stock.Move(item, seconds, made, drawer, to_state=State.SECOND),
        stock.Move(item, spoiled, made, stock.outside_place("spoiled")),
    ]
    return [move for move in moves if move.count]


def open_batch(layout: Layout, session: WorkSession | None) -> Batch | None:
    """Return the batch that a log without one must have meant."""
    if session is None:
        return None
    return (
        Batch.objects.filter(layout=layout, session=session, state=Batch.State.PLANNED)
        .order_by("pk")
        .first()
    )


@transaction.atomic
def take_back_cutting(
    log: CuttingLog, *, request_id: UUID, now: datetime, by: Person | None = None
) -> Entry:
    """Undo a cutting log: its goods, and what its batch counted as done."""
    said_before = Entry.objects.filter(request_id=request_id).first()
    if said_before is not None:
        return said_before
    entry = stock.take_back_entry(
        log.entry, request_id=request_id, now=now, by=by, reason="Log taken back"
    )
    pieces = [gives.piece for gives in log.layout.gives.select_related("piece")]
    stock.note_spells([*pieces, log.layout.sheet], now=now)
    if log.batch is not None:
        add_to_done(log.batch, -log.sheets, now=now)
    return entry
