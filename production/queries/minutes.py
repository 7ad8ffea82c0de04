"""How long the sheets of layouts take by their logs, and which logs are odd."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from fractions import Fraction

from django.db.models import F, Window
from django.db.models.functions import Lag, RowNumber

from production import learning
from production.learning import Learned, Line, OddLog, TimedLog
from production.models import CuttingLog, Layout
from production.queries.cut import live_logs
from studio.days import london_day, show_day_short

LAST_LOGS = 20
# Presses that say no minutes of their own lie between those that do.
LOGS_READ = 4 * LAST_LOGS
# A press forgotten at its sheet is made up for at once with the next one.
PRESSED_TOGETHER = timedelta(minutes=2)


@dataclass(frozen=True)
class OddMinutes:
    """An odd log of which nothing was said yet, and why it is odd."""

    log: CuttingLog
    sentence: str


@dataclass(frozen=True)
class LayoutMinutes:
    """What the logs say of a layout, in a sentence, with the logs that stand apart."""

    layout: Layout
    learned: Learned
    sentence: str
    odd: tuple[OddMinutes, ...]
    left_out: tuple[CuttingLog, ...]

    @property
    def offer_minutes(self) -> int | None:
        return self.learned.offer_minutes

    def minutes_for(self, sheets: int) -> int:
        """Return the minutes that so many sheets take by the logs, rounded up."""
        if self.offer_minutes is None:
            return self.layout.minutes * sheets
        return -int(-self.learned.sheet_minutes * sheets // 1)


@dataclass(frozen=True)
class TimedRow:
    """A log with its minutes: those written, or those since the press before."""

    log: CuttingLog
    sheets: int
    minutes: Fraction

    @property
    def is_called_wrong(self) -> bool:
        return self.log.minutes_called == CuttingLog.MinutesCalled.WRONG

    @property
    def plain(self) -> TimedLog:
        return TimedLog(self.log.pk, self.sheets, self.minutes)


def minutes_learned(layout: Layout) -> LayoutMinutes:
    """Return what the logs of one layout say: one query."""
    return minutes_of([layout])[layout.pk]


def minutes_of(layouts: Iterable[Layout]) -> dict[int, LayoutMinutes]:
    """Return what the last logs of each layout say, by its key: one query for all."""
    rows: dict[int, list[TimedRow]] = defaultdict(list)
    for row in timed_rows():
        rows[row.log.layout_id].append(row)
    return {one.pk: said_of(one, rows[one.pk][-LAST_LOGS:]) for one in layouts}


def said_of(layout: Layout, rows: Sequence[TimedRow]) -> LayoutMinutes:
    good = [row for row in rows if not row.is_called_wrong]
    typed = Line(Fraction(layout.setup_minutes), Fraction(layout.minutes))
    found = learning.learned([row.plain for row in good], typed)
    logs = {row.log.pk: row.log for row in good}
    return LayoutMinutes(
        layout=layout,
        learned=found,
        sentence=learning.sentence_of(found, layout.code, who_cut(good)),
        odd=tuple(
            OddMinutes(logs[odd.log.key], odd_words(odd, logs[odd.log.key], layout))
            for odd in reversed(found.odd)
            if not logs[odd.log.key].minutes_called
        ),
        left_out=tuple(row.log for row in rows if row.is_called_wrong),
    )


def odd_words(odd: OddLog, log: CuttingLog, layout: Layout) -> str:
    return learning.odd_sentence(
        odd, layout.code, show_day_short(london_day(log.logged_at))
    )


def who_cut(rows: Sequence[TimedRow]) -> str:
    """Name whoever cut all of them; a card may be typed in by another."""
    people = {row.log.session.person if row.log.session else row.log.by for row in rows}
    person = people.pop() if len(people) == 1 else None
    return person.first_name if person else "The bench"


def timed_rows() -> list[TimedRow]:
    """Return the last logs whose minutes are known, the oldest first: one query.

    A card has its minutes written on it. A press of one sheet took the time since the
    sheet before it in its session; the first press of a session says nothing.
    """
    logs = (
        live_logs()
        .filter(sheets__gt=0)
        .select_related("by", "session__person")
        .annotate(
            before=Window(
                Lag("logged_at"),
                partition_by=F("session_id"),
                order_by=[F("logged_at").asc(), F("id").asc()],
            ),
            place=Window(
                RowNumber(),
                partition_by=F("layout_id"),
                order_by=[F("logged_at").desc(), F("id").desc()],
            ),
        )
        .filter(place__lte=LOGS_READ)
        .order_by("logged_at", "pk")
    )
    rows: list[TimedRow] = []
    for log in logs:
        add_timed(rows, log, since_before(log))
    return rows


def since_before(log: CuttingLog) -> timedelta | None:
    before: datetime | None = getattr(log, "before", None)
    if before is None or log.session_id is None or log.sheets != 1:
        return None
    return log.logged_at - before


def add_timed(rows: list[TimedRow], log: CuttingLog, since: timedelta | None) -> None:
    """Add what a log says of its minutes, or let it join the press just before it."""
    if log.minutes is not None:
        rows.append(TimedRow(log, log.sheets, Fraction(log.minutes)))
    elif since is None:
        return
    elif since >= PRESSED_TOGETHER:
        minutes = Fraction(int(since.total_seconds()), 60)
        rows.append(TimedRow(log, log.sheets, minutes))
    elif rows and joins(rows[-1].log, log):
        last = rows.pop()
        rows.append(TimedRow(last.log, last.sheets + 1, last.minutes))


def joins(before: CuttingLog, log: CuttingLog) -> bool:
    return (
        before.minutes is None
        and before.layout_id == log.layout_id
        and before.session_id == log.session_id
        and log.logged_at - before.logged_at < 2 * PRESSED_TOGETHER
    )
