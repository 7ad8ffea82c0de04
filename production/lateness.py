"""When not everything can be ready: the fewest late, or the least money lost.

All in working minutes from now. Work by due time, earliest first, makes the largest
lateness as small as it can be (Jackson 1955). The fewest late: take work by due time
and, whenever one is late, leave out the longest so far (Moore and Hodgson 1968). The
least money lost: for every number of minutes worked on what is in time, the most worth
saved (Lawler and Moore 1969). What is left out goes last. Years from memory.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from studio.money import show_pounds


@dataclass(frozen=True)
class Work:
    """So many minutes, wanted by a minute, and what being late loses."""

    code: str
    minutes: int
    due_minute: int
    loss_pence: int = 0


@dataclass(frozen=True)
class Choice:
    """What to do in which order to be in time, and what is late then."""

    in_time: tuple[Work, ...]
    late: tuple[Work, ...]

    @property
    def loss_pence(self) -> int:
        """Add up what the late ones lose."""
        return sum(work.loss_pence for work in self.late)

    @property
    def sentence(self) -> str:
        """Name what is late, and what that loses."""
        if not self.late:
            return "Everything can be ready in time."
        codes = " and ".join(work.code for work in self.late)
        return f"{codes} would be late; that loses {show_pounds(self.loss_pence)}."


def by_due(works: Sequence[Work]) -> list[Work]:
    """Return the work by due time, the order of the list on a tie."""
    return sorted(works, key=lambda work: work.due_minute)


def largest_lateness(works: Sequence[Work]) -> int:
    """Return by how many minutes the latest is late at best; below nought is to spare."""
    done, lateness = 0, []
    for work in by_due(works):
        done += work.minutes
        lateness.append(done - work.due_minute)
    return max(lateness, default=0)


def fewest_late(works: Sequence[Work]) -> Choice:
    """Leave out as few as can be, so that all others are in time."""
    kept: list[Work] = []
    for work in by_due(works):
        kept.append(work)
        if sum(one.minutes for one in kept) > work.due_minute:
            kept.remove(max(kept, key=lambda one: one.minutes))
    return _choice(works, kept)


def least_lost(works: Sequence[Work]) -> Choice:
    """Leave out what loses the least money, so that all others are in time."""
    # By minutes worked: the most that is saved, and the works that save it.
    best: dict[int, tuple[int, tuple[Work, ...]]] = {0: (0, ())}
    for work in by_due(works):
        for minutes in sorted(best, reverse=True):
            after = minutes + work.minutes
            saved = best[minutes][0] + work.loss_pence
            if after <= work.due_minute and saved > best.get(after, (-1, ()))[0]:
                best[after] = saved, (*best[minutes][1], work)
    _, kept = max(best.values(), key=lambda one: one[0])
    return _choice(works, kept)


def _choice(works: Sequence[Work], kept: Sequence[Work]) -> Choice:
    return Choice(tuple(kept), tuple(work for work in works if work not in kept))
