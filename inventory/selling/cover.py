"""Weeks of cover: how long what can be promised lasts, and how surely.

weeks = free / rate while in stock,   low and high from the ends of its range
chance that the days asked are covered = P(count over them <= free)
"""

from __future__ import annotations

from dataclasses import dataclass

from inventory.demand import DAYS_IN_A_WEEK, Rate
from inventory.selling.slow import how_long


@dataclass(frozen=True)
class Cover:
    """Weeks of cover; None where nothing is sold, and so nothing runs out."""

    free: int
    low_weeks: float
    weeks: float | None
    high_weeks: float | None
    chance: float | None
    sentence: str


def cover_of(free: int, rate: Rate | None, days: float) -> Cover:
    """Say how long a free count lasts, four times in five, and for the days asked."""
    if rate is None or not rate.belief.exposure:
        return Cover(free, 0.0, None, None, None, "Cannot say how long it lasts.")
    have = max(0, free)
    low = have / rate.high_80 if rate.high_80 else 0.0
    likely = have / rate.per_week if rate.per_week else None
    high = have / rate.low_80 if rate.low_80 else None
    coming = rate.belief.times(max(days, 1e-9) / DAYS_IN_A_WEEK)
    chance = 1 - coming.chance_of_more(have) if free >= 0 else 0.0
    sentence = _sentence(free, likely, days, chance)
    return Cover(free, low, likely, high, chance, sentence)


def _sentence(free: int, weeks: float | None, days: float, chance: float) -> str:
    if free < 0:
        return f"{-free} are owed, so nothing is covered."
    if not free:
        return "There are none to promise."
    lasts = f"{free} last {how_long(weeks)}" if weeks else f"{free} are free"
    return f"{lasts}; they cover {days:g} days {100 * chance:.0f} times in 100."
