"""How much whole sheets can make of a session, so that bounds are not too hopeful.

A sheet is finished in the session it starts, so a session of 165 minutes with sheets
of 22 and 30 minutes holds at most 164 = 2 x 22 + 4 x 30 of them. For every length t of
a sheet, sheets at least that long number at most net / t, rounded down, in a session.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache

from production.mix.question import MixLayout, MixSession


def fillable_minutes(session: MixSession, layouts: Sequence[MixLayout]) -> int:
    """Return the most minutes of a session that whole sheets can fill."""
    kinds = frozenset((layout.minutes, layout.set_up_minutes) for layout in layouts)
    return _fillable(session.net_minutes, kinds)


@lru_cache(maxsize=512)
def _fillable(net: int, kinds: frozenset[tuple[int, int]]) -> int:
    reached = {0}
    for minutes, set_up in kinds:
        if minutes:
            reached |= {
                start + set_up + minutes * count
                for start in reached
                for count in range(1, (net - start - set_up) // minutes + 1)
            }
    return max(reached)


def most_of_length(sessions: Sequence[MixSession], minutes: int) -> int:
    """Return how many sheets of at least this length all sessions hold together."""
    return sum(session.net_minutes // minutes for session in sessions)


def most_in_one(layout: MixLayout, sessions: Sequence[MixSession]) -> int:
    """Return how many sheets of a layout the longest session holds."""
    longest = max((session.net_minutes for session in sessions), default=0)
    return max(0, longest - layout.set_up_minutes) // max(1, layout.minutes)


def most_sheets(layout: MixLayout, sessions: Sequence[MixSession]) -> int:
    """Return how many sheets of a layout alone all sessions hold together."""
    each = max(1, layout.minutes)
    return sum(
        max(0, session.net_minutes - layout.set_up_minutes) // each
        for session in sessions
    )
