"""Fit whole sheets into sessions so that no sheet straddles two.

First each sheet, longest first, into the first session with room. If that leaves
sheets over, an exact search over the ways to fill each session. The plan ends in
the earliest session that can be reached; ``exact`` is false when the search was cut off
before it could prove that. Method: first fit decreasing, then search with memory of
what has failed (from memory, common practice for packing bins).
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date

MOST_STEPS = 20_000


@dataclass(frozen=True)
class Session:
    """One stretch of the helper's time, set-up and cleaning already taken off."""

    day: date
    net_minutes: int


@dataclass(frozen=True)
class Run:
    """So many sheets of one layout: code, minutes for one sheet, how many."""

    code: str
    minutes: int
    sheets: int


@dataclass(frozen=True)
class Fit:
    """Runs for each session in turn, and the runs that found no room."""

    by_session: tuple[tuple[Run, ...], ...]
    left_out: tuple[Run, ...]
    exact: bool


def fit_into_sessions(runs: Sequence[Run], sessions: Sequence[Session]) -> Fit:
    """Place all sheets, ending in the earliest session possible."""
    ordered = sorted((r for r in runs if r.sheets), key=lambda run: -run.minutes)
    counts = tuple(run.sheets for run in ordered)
    minutes = tuple(run.minutes for run in ordered)
    exact = True
    for end in range(len(sessions) + 1):
        rooms = [session.net_minutes for session in sessions[:end]]
        packing = _Packing(minutes, rooms)
        placed = packing.pack(counts)
        if placed is not None:
            return _fit(ordered, placed, len(sessions), exact)
        exact = exact and not packing.gave_up
    rooms = [session.net_minutes for session in sessions]
    placed = _first_fit(minutes, counts, rooms)
    return _fit(ordered, placed, len(sessions), exact)


def _fit(
    runs: Sequence[Run], placed: Sequence[Sequence[int]], sessions: int, exact: bool
) -> Fit:
    by_session = [_runs(runs, counts) for counts in placed]
    by_session += [()] * (sessions - len(placed))
    left = [run.sheets - sum(c[i] for c in placed) for i, run in enumerate(runs)]
    return Fit(tuple(by_session), _runs(runs, left), exact)


def _runs(runs: Sequence[Run], counts: Sequence[int]) -> tuple[Run, ...]:
    return tuple(
        Run(run.code, run.minutes, count)
        for run, count in zip(runs, counts, strict=True)
        if count
    )


def _first_fit(
    minutes: Sequence[int], counts: Sequence[int], rooms: Sequence[int]
) -> list[list[int]]:
    left = list(rooms)
    placed = [[0] * len(minutes) for _ in rooms]
    for kind, (each, count) in enumerate(zip(minutes, counts, strict=True)):
        for place, room in enumerate(left):
            fitting = min(count, room // each) if each else count
            placed[place][kind] = fitting
            left[place] -= fitting * each
            count -= fitting
    return placed


class _Packing:
    def __init__(self, minutes: Sequence[int], rooms: Sequence[int]) -> None:
        self.minutes = minutes
        self.rooms = rooms
        self.failed: set[tuple[int, tuple[int, ...]]] = set()
        self.steps = 0

    @property
    def gave_up(self) -> bool:
        """Say whether the search was cut off."""
        return self.steps > MOST_STEPS

    def pack(self, counts: tuple[int, ...]) -> list[list[int]] | None:
        if self._total(counts) > sum(self.rooms):
            return None
        placed = _first_fit(self.minutes, counts, self.rooms)
        if all(sum(p[i] for p in placed) == n for i, n in enumerate(counts)):
            return placed
        return self._search(0, counts)

    def _total(self, counts: Sequence[int]) -> int:
        return sum(m * n for m, n in zip(self.minutes, counts, strict=True))

    def _search(self, place: int, counts: tuple[int, ...]) -> list[list[int]] | None:
        if not any(counts):
            return []
        if (place, counts) in self.failed:
            return None
        if self._total(counts) <= sum(self.rooms[place:]):
            for filling in self._fillings(0, self.rooms[place], counts):
                left = tuple(n - f for n, f in zip(counts, filling, strict=True))
                rest = self._search(place + 1, left)
                if rest is not None:
                    return [filling, *rest]
        self.failed.add((place, counts))
        return None

    def _fillings(
        self, kind: int, room: int, counts: tuple[int, ...]
    ) -> Iterator[list[int]]:
        """List the ways to fill one session to which no sheet can be added."""
        self.steps += 1
        if self.gave_up:
            return
        if kind == len(counts):
            yield []
            return
        each = self.minutes[kind]
        for taken in range(min(counts[kind], room // each), -1, -1):
            for rest in self._fillings(kind + 1, room - taken * each, counts):
                spare = room - taken * each - self._used(kind + 1, rest)
                if taken == counts[kind] or spare < each:
                    yield [taken, *rest]

    def _used(self, first: int, counts: Sequence[int]) -> int:
        pairs = zip(self.minutes[first:], counts, strict=True)
        return sum(minutes * count for minutes, count in pairs)
