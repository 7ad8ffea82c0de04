"""Do what a button at the bench says, once, however often it is sent."""

from __future__ import annotations

from datetime import datetime, timedelta

from production.actions.cutting import Spoiled, log_cutting, take_back_cutting
from production.actions.spoiling import check_may_go, log_spoiled
from production.errors import (
    NotAPress,
    NothingToTakeBack,
    PieceNotOnLayout,
    UnknownSession,
)
from production.models import CuttingLog, Layout
from production.presses import Press, SpoiledLine, check_still_open
from production.queries.cut import live_logs
from production.queries.layouts import layout_called
from studio.days import london_day
from studio.models import Person, WorkSession


def take_press(press: Press, *, now: datetime, by: Person | None = None) -> CuttingLog:
    """Return the log that the press wrote, or the one that it took back.

    Raises a StudioError with a sentence for a press that can never be done.
    """
    if press.kind == "take-back":
        return take_press_back(press, now=now, by=by)
    layout, session = layout_called(press.layout), session_called(press.session)
    check_may_come(press, session, now)
    happened_at = now - timedelta(seconds=press.seconds_ago)
    lost = [spoiled_on(layout, line) for line in press.spoiled]
    if press.kind == "sheet":
        return log_cutting(
            layout,
            sheets=press.sheets,
            spoiled=lost,
            session=session,
            request_id=press.request_id,
            logged_at=happened_at,
            now=now,
            by=by,
        )
    if len(lost) != 1:
        raise NotAPress("it does not say which piece was spoiled")
    return log_spoiled(
        layout,
        spoiled=lost[0],
        session=session,
        request_id=press.request_id,
        logged_at=happened_at,
        now=now,
        by=by,
    )


def check_may_come(press: Press, session: WorkSession | None, now: datetime) -> None:
    """Refuse what comes weeks too late; a press that counted once is answered again."""
    if session is None or session.day >= london_day(now):
        return
    if not CuttingLog.objects.filter(request_id=press.request_id).exists():
        check_still_open(session.day, today=london_day(now))


def take_press_back(press: Press, *, now: datetime, by: Person | None) -> CuttingLog:
    """Undo the press it names, or the last one of its session that stands."""
    log = pressed_before(press)
    take_back_log(log, press, now=now, by=by)
    return log


def pressed_before(press: Press) -> CuttingLog:
    # A press to undo that comes twice must find the log it undid the first time.
    done = CuttingLog.objects.filter(entry__reversed_by__request_id=press.request_id)
    if press.takes_back is not None:
        named = CuttingLog.objects.filter(request_id=press.takes_back)
    else:
        session = session_called(press.session)
        named = live_logs().filter(session=session) if session else live_logs().none()
    log = done.first() or named.select_related("layout", "session", "entry").first()
    if log is None:
        raise NothingToTakeBack
    return log


def take_back_log(
    log: CuttingLog, press: Press, *, now: datetime, by: Person | None
) -> None:
    if live_logs().filter(pk=log.pk).exists():
        check_may_go(log)
    take_back_cutting(log, request_id=press.request_id, now=now, by=by)


def session_called(number: int | None) -> WorkSession | None:
    if number is None:
        return None
    session = WorkSession.objects.filter(pk=number).first()
    if session is None:
        raise UnknownSession(number)
    return session


def spoiled_on(layout: Layout, line: SpoiledLine) -> Spoiled:
    gives = layout.gives.filter(piece__code=line.piece).select_related("piece").first()
    if gives is None:
        raise PieceNotOnLayout(layout.code, line.piece or "such piece")
    return Spoiled(gives.piece, line.count, line.reason, line.where)
