"""How long goods have lain: what is there is the last of what came.

The count on hand is laid over the arrivals from the newest back, first in first out;
what no arrival explains came before the book. Common practice.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from enum import Enum


class Age(Enum):
    """How long money has lain in a thing."""

    FRESH = "under three months"
    QUARTER = "three to six months"
    HALF_YEAR = "six months to a year"
    YEAR = "more than a year"
    UNKNOWN = "from before the book"


_UP_TO_DAYS = ((91, Age.FRESH), (182, Age.QUARTER), (364, Age.HALF_YEAR))


@dataclass(frozen=True)
class Layer:
    """So many that came on one day; None came before the book."""

    count: int
    came_on: date | None

    def days(self, today: date) -> int | None:
        """Return for how many days they have lain."""
        return max(0, (today - self.came_on).days) if self.came_on else None


def layers(count: int, arrivals: Iterable[tuple[date, int]]) -> tuple[Layer, ...]:
    """Lay a count over its arrivals, the newest first. None, or fewer, has no layer."""
    left, found = count, []
    for day, came in sorted(arrivals, reverse=True):
        if left <= 0:
            break
        if came > 0:
            found.append(Layer(min(came, left), day))
            left -= came
    if left > 0:
        found.append(Layer(left, None))
    return tuple(found)


def age_of(layer: Layer, today: date) -> Age:
    """Return the age of a layer."""
    days = layer.days(today)
    if days is None:
        return Age.UNKNOWN
    return next((age for up_to, age in _UP_TO_DAYS if days <= up_to), Age.YEAR)
