"""The diary of the bench: sessions, what is planned in them, what was logged last."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, timedelta
from functools import lru_cache

from django.db.models import Prefetch, QuerySet

from inventory.models import Item
from production.models import Batch, CuttingLog, Layout, MakingUpLog, SpoiledPieces
from production.queries.cut import sheets_done
from production.sheet_drawing import DrawnPiece, draw_layout
from studio.days import show_day_short
from studio.maths.sheets import keeping
from studio.maths.sheets.keeping import KeptSheet, KeptUnreadable
from studio.maths.sheets.picturing import kept_svg
from studio.models import WorkSession

ASKED_BACK_DAYS = 28
LATEST_LOGS = 8


@dataclass(frozen=True)
class SessionWork:
    """One session with the batches that stand in it."""

    session: WorkSession
    batches: tuple[Batch, ...]
    done: Counter[str]

    @property
    def cutting(self) -> tuple[Batch, ...]:
        return tuple(b for b in self.batches if b.kind == Batch.Kind.CUTTING)

    @property
    def other(self) -> tuple[Batch, ...]:
        return tuple(b for b in self.batches if b.kind != Batch.Kind.CUTTING)

    @property
    def planned_minutes(self) -> int:
        return sum(batch.minutes for batch in self.batches)

    @property
    def free_minutes(self) -> int:
        return self.session.net_minutes - self.planned_minutes

    @property
    def minutes_over(self) -> int:
        return max(0, -self.free_minutes)

    @property
    def sheets(self) -> int:
        return sum(batch.count for batch in self.cutting)


def coming_sessions(today: date) -> list[SessionWork]:
    """Return the sessions of today and later with their batches: five queries."""
    return with_work(WorkSession.objects.filter(day__gte=today))


def session_work(session: WorkSession) -> SessionWork:
    """Return one session with its batches."""
    return with_work(WorkSession.objects.filter(pk=session.pk))[0]


def with_work(sessions: QuerySet[WorkSession]) -> list[SessionWork]:
    rows = list(
        sessions.select_related("person")
        .prefetch_related(
            Prefetch("batches", queryset=standing_batches(), to_attr="standing")
        )
        .order_by("day", "starts", "pk")
    )
    done = sheets_done(rows)
    return [
        SessionWork(row, tuple(getattr(row, "standing", ())), done[row.pk])
        for row in rows
    ]


def standing_batches() -> QuerySet[Batch]:
    """Return the batches not dropped, in the order they are to be done."""
    return (
        Batch.objects.exclude(state=Batch.State.DROPPED)
        .select_related("layout__sheet", "item", "sample", "selling_day")
        .prefetch_related("layout__gives__piece__shape")
        .order_by("pk")
    )


def batches_without_session() -> list[Batch]:
    """Return planned work that no session holds."""
    return list(standing_batches().filter(session=None, state=Batch.State.PLANNED))


def batches_in_other_sessions(session: WorkSession, today: date) -> list[Batch]:
    """Return the cutting still planned for today or later, but not in this session."""
    return list(
        standing_batches()
        .filter(
            kind=Batch.Kind.CUTTING,
            state=Batch.State.PLANNED,
            session__day__gte=today,
            session__net_minutes__gt=0,
        )
        .exclude(session=session)
    )


def unanswered_sessions(today: date) -> list[WorkSession]:
    """Return past sessions for which nobody wrote the minutes worked: one query."""
    return list(
        WorkSession.objects.filter(
            day__lt=today,
            day__gte=today - timedelta(days=ASKED_BACK_DAYS),
            minutes_worked=None,
        )
        .select_related("person")
        .order_by("-day", "starts")
    )


def diary_sentence(session: WorkSession) -> str:
    """Say what the diary knows of a session that has passed."""
    day = show_day_short(session.day)
    if session.net_minutes == 0:
        return f"The diary shows {day}; no minutes were worked."
    return (
        f"{session.person.first_name} had {session.net_minutes} minutes on {day}. "
        "How many were worked?"
    )


@dataclass(frozen=True)
class LoggedWork:
    """Something that was logged: what, by whom, and whether it was taken back."""

    log: CuttingLog | MakingUpLog
    sentence: str
    is_taken_back: bool
    is_cutting: bool


def latest_logs() -> list[LoggedWork]:
    """Return the latest logs of cutting and of making up, newest first."""
    cutting = (
        CuttingLog.objects.select_related("layout", "by", "entry__reversed_by")
        .prefetch_related("spoiled__piece")
        .order_by("-saved_at", "-pk")[:LATEST_LOGS]
    )
    making = MakingUpLog.objects.select_related(
        "item", "by", "entry__reversed_by"
    ).order_by("-logged_at", "-pk")[:LATEST_LOGS]
    logs = [
        *(logged(log, cutting_sentence(log), is_cutting=True) for log in cutting),
        *(
            logged(log, f"{log.count} × {log.item.name} made up.", is_cutting=False)
            for log in making
        ),
    ]
    logs.sort(key=lambda one: (one.log.logged_at, one.log.pk), reverse=True)
    return logs[:LATEST_LOGS]


def logged(
    log: CuttingLog | MakingUpLog, sentence: str, *, is_cutting: bool
) -> LoggedWork:
    is_taken_back = hasattr(log.entry, "reversed_by")
    return LoggedWork(log, sentence, is_taken_back, is_cutting)


def cutting_sentence(log: CuttingLog) -> str:
    lost = ", ".join(spoil_words(row) for row in log.spoiled.all())
    if not log.sheets:
        return f"{log.layout.code}: {lost} found spoiled."
    sheets = "1 sheet" if log.sheets == 1 else f"{log.sheets} sheets"
    return f"{sheets} of {log.layout.code}{f', spoiled: {lost}' if lost else ''}."


def spoil_words(row: SpoiledPieces) -> str:
    where = f", {row.where}" if row.where else ""
    reason = row.get_reason_display().lower()
    return f"{row.count} {row.piece.code} ({reason}{where})"


def layout_picture(layout: Layout, width_px: int = 600) -> str:
    """Draw one sheet of a layout from rows that a list has read already."""
    if layout.kept_sheet:
        found = kept_picture(layout.code, layout.kept_sheet, width_px)
        if found:
            return found
    pieces = tuple(drawn(g.piece, g.count) for g in layout.gives.all())
    return draw_layout(layout.code, pieces, width_px)


def is_sawn(layout: Layout) -> bool:
    """Say whether the sheet was laid for the saw; what was never drawn was not."""
    try:
        return bool(layout.kept_sheet) and read_once(layout.kept_sheet).saw
    except KeptUnreadable:
        return False


@lru_cache(maxsize=64)
def read_once(text: str) -> KeptSheet:
    return keeping.read_kept(text, measured=False)


@lru_cache(maxsize=64)
def kept_picture(code: str, text: str, width_px: int) -> str:
    """Draw a sheet where its pieces were laid; nothing where it cannot be read."""
    try:
        kept = read_once(text)
    except KeptUnreadable:
        return ""
    return kept_svg(f"One sheet of {code}", kept, width_px)


def drawn(piece: Item, count: int) -> DrawnPiece:
    shape = getattr(piece, "shape", None)
    if shape is None:
        return DrawnPiece(piece.code, count)
    is_tapered = shape.outline == "tapered"
    return DrawnPiece(
        piece.code,
        count,
        shape.width_inches,
        shape.height_inches,
        shape.narrow_inches if is_tapered else None,
    )


def gives_words(layout: Layout, sheets: int = 1) -> str:
    """Say what so many sheets give: "30 A388, 30 C200, 18 SQ350"."""
    return ", ".join(
        f"{gives.count * sheets} {gives.piece.code}" for gives in layout.gives.all()
    )


def pieces_of(layouts: Iterable[Layout]) -> set[str]:
    return {gives.piece.code for layout in layouts for gives in layout.gives.all()}
