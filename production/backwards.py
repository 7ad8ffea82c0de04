"""Will it be ready: load against working minutes, and the latest start of each job.

All times become working minutes from now, A(t). Jobs are taken by due time,
earliest first. Capacity: minutes due by then against A(due); everything can be
ready exactly when no slack is below nought (Jackson 1955). Latest starts, from the
last job backwards:

    finish = min(A(due), start of the next)        start = finish - minutes

A job that others wait for must be done by their latest start: its due time is
first brought forward (Lawler 1973, from memory). A job may stop at closing time
and go on in the next window. Clock times are compared in universal time, so that
the two clock changes add and lose nothing.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta

from studio.days import LONDON, show_moment
from studio.errors import StudioError


class JobsInARing(StudioError):
    """Jobs that wait for one another."""

    def __init__(self, code: str) -> None:
        self.code = code
        super().__init__(
            f"{code} waits for a job that waits for {code}. Untie the order, please."
        )


@dataclass(frozen=True)
class Window:
    """One stretch of working time."""

    start: datetime
    end: datetime


@dataclass(frozen=True)
class Job:
    """So many working minutes, due by a moment, after other jobs."""

    code: str
    minutes: int
    due: datetime
    after: tuple[str, ...] = ()


@dataclass(frozen=True)
class LoadLine:
    """Minutes to be done by a due time, minutes there, and what is to spare."""

    code: str
    due: datetime
    load_minutes: int
    available_minutes: int

    @property
    def slack_minutes(self) -> int:
        """Return the minutes to spare; below nought, the minutes missing."""
        return self.available_minutes - self.load_minutes


@dataclass(frozen=True)
class Capacity:
    """The load line by line, and the first line that names the trouble."""

    lines: tuple[LoadLine, ...]
    trouble: LoadLine | None
    sentence: str


@dataclass(frozen=True)
class Slot:
    """When a job starts and ends; a start of None lies before now."""

    code: str
    start: datetime | None
    finish: datetime | None
    start_minute: int
    finish_minute: int


class WorkingTime:
    """Turns clock times into working minutes from now, and back."""

    def __init__(self, now: datetime, windows: Iterable[Window]) -> None:
        self.now = now.astimezone(UTC)
        self.windows = _joined(self.now, windows)

    def minutes_until(self, moment: datetime) -> int:
        """Return the working minutes from now to a moment."""
        until = moment.astimezone(UTC)
        return sum(
            _minutes(start, min(end, until))
            for start, end in self.windows
            if start < until
        )

    def start_at(self, minute: int) -> datetime | None:
        """Return the clock time of a start: an edge opens the next window."""
        return None if minute < 0 else self._clock(minute, edge_opens=True)

    def finish_at(self, minute: int) -> datetime | None:
        """Return the clock time of a finish: an edge closes the earlier window."""
        return None if minute < 0 else self._clock(minute, edge_opens=False)

    def _clock(self, minute: int, *, edge_opens: bool) -> datetime | None:
        for start, end in self.windows:
            length = _minutes(start, end)
            if minute < length or (minute == length and not edge_opens):
                return (start + timedelta(minutes=minute)).astimezone(LONDON)
            minute -= length
        return None


def check_capacity(
    jobs: Iterable[Job], windows: Iterable[Window], now: datetime
) -> Capacity:
    """Compare the minutes due by each due time with the minutes there."""
    time = WorkingTime(now, windows)
    lines, load = [], 0
    for job, due_minute in _by_due(jobs, time):
        load += job.minutes
        lines.append(LoadLine(job.code, job.due, load, due_minute))
    trouble = next((line for line in lines if line.slack_minutes < 0), None)
    return Capacity(tuple(lines), trouble, _capacity_sentence(trouble))


def latest_starts(
    jobs: Iterable[Job], windows: Iterable[Window], now: datetime
) -> tuple[Slot, ...]:
    """Return for each job, earliest due first, the latest it may start and end."""
    time = WorkingTime(now, windows)
    slots: list[Slot] = []
    next_start: int | None = None
    for job, due_minute in reversed(_by_due(jobs, time)):
        finish = due_minute if next_start is None else min(due_minute, next_start)
        next_start = finish - job.minutes
        slots.append(_slot(job.code, next_start, finish, time))
    return tuple(reversed(slots))


def earliest_finishes(
    jobs: Iterable[Job], windows: Iterable[Window], now: datetime
) -> tuple[Slot, ...]:
    """Return for each job, earliest due first, when it starts and ends from now on."""
    time = WorkingTime(now, windows)
    slots, minute = [], 0
    for job, _ in _by_due(jobs, time):
        slots.append(_slot(job.code, minute, minute + job.minutes, time))
        minute += job.minutes
    return tuple(slots)


def _slot(code: str, start: int, finish: int, time: WorkingTime) -> Slot:
    return Slot(code, time.start_at(start), time.finish_at(finish), start, finish)


def _by_due(jobs: Iterable[Job], time: WorkingTime) -> list[tuple[Job, int]]:
    jobs = tuple(jobs)
    due = {job.code: _due_minute(job, jobs, time, ()) for job in jobs}
    depth = {job.code: _depth(job, jobs) for job in jobs}
    in_order = sorted(jobs, key=lambda job: (due[job.code], depth[job.code]))
    return [(job, due[job.code]) for job in in_order]


def _due_minute(
    job: Job, jobs: Sequence[Job], time: WorkingTime, seen: tuple[str, ...]
) -> int:
    if job.code in seen:
        raise JobsInARing(job.code)
    waiting = [
        _due_minute(other, jobs, time, (*seen, job.code)) - other.minutes
        for other in jobs
        if job.code in other.after
    ]
    return min([time.minutes_until(job.due), *waiting])


def _depth(job: Job, jobs: Sequence[Job]) -> int:
    first = [other for other in jobs if other.code in job.after]
    return 1 + max((_depth(other, jobs) for other in first), default=0)


def _joined(
    now: datetime, windows: Iterable[Window]
) -> tuple[tuple[datetime, datetime], ...]:
    joined: list[tuple[datetime, datetime]] = []
    clipped = (
        (max(now, w.start.astimezone(UTC)), w.end.astimezone(UTC)) for w in windows
    )
    for start, end in sorted(clipped):
        if end <= start:
            continue
        if joined and start <= joined[-1][1]:
            joined[-1] = (joined[-1][0], max(end, joined[-1][1]))
        else:
            joined.append((start, end))
    return tuple(joined)


def _minutes(start: datetime, end: datetime) -> int:
    return int((end - start).total_seconds()) // 60


def _capacity_sentence(trouble: LoadLine | None) -> str:
    if trouble is None:
        return "Everything can be ready in time."
    missing = -trouble.slack_minutes
    minutes = "1 minute is" if missing == 1 else f"{missing} minutes are"
    return (
        f"{minutes} missing for {trouble.code}: {trouble.load_minutes} are needed by "
        f"{show_moment(trouble.due)}, {trouble.available_minutes} are there. "
        "Drop or move a job, or add a session."
    )
