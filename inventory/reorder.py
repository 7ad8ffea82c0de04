"""The last day to order, whole boxes, and the first day a plan runs short.

    last day to order = day wanted less the supplier's working days
    boxes = pieces short / pieces in a box, rounded up

Plan dates decide, not averages: the day wanted is the first day on which what is
there and what arrives no longer covers what is used. Worked by hand.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from datetime import date

from studio.days import show_day_short
from studio.errors import StudioError

DaysBefore = Callable[[date, int], date]


class BoxOfNothing(StudioError):
    """A box size below one."""

    def __init__(self, box_size: int) -> None:
        self.box_size = box_size
        super().__init__(
            f"A box cannot hold {box_size}. Give the number in a box, at least 1."
        )


@dataclass(frozen=True)
class Shortage:
    """The first day a plan runs short, and how many it lacks in the end."""

    day: date
    count: int


@dataclass(frozen=True)
class OrderBy:
    """What to order and by when; ``late`` when that day has passed."""

    item_code: str
    short: int
    boxes: int
    box_size: int
    needed_on: date
    last_day: date
    late: bool
    sentence: str

    @property
    def count(self) -> int:
        """Return how many come in the boxes."""
        return self.boxes * self.box_size


def last_order_day(
    needed_on: date, lead_working_days: int, working_days_before: DaysBefore
) -> date:
    """Return the last day on which an order still comes on the day it is needed."""
    return working_days_before(needed_on, lead_working_days)


def boxes_for(short: int, box_size: int) -> int:
    """Round a shortage up to whole boxes."""
    if box_size < 1:
        raise BoxOfNothing(box_size)
    return -(-max(0, short) // box_size)


def first_shortage(
    on_hand: int, changes: Iterable[tuple[date, int]]
) -> Shortage | None:
    """Find when dated uses (below nought) and arrivals leave too few.

    On one day arrivals count before uses. ``count`` is the deepest lack of the plan.
    """
    first: date | None = None
    left, deepest = on_hand, 0
    for day, change in sorted(changes, key=lambda c: (c[0], -c[1])):
        left += change
        if left < 0 and first is None:
            first = day
        deepest = min(deepest, left)
    return Shortage(first, -deepest) if first else None


def order_by(
    item_code: str,
    shortage: Shortage,
    *,
    box_size: int,
    lead_working_days: int,
    working_days_before: DaysBefore,
    today: date,
) -> OrderBy:
    """Say how many boxes to order and by which day at the latest."""
    last = last_order_day(shortage.day, lead_working_days, working_days_before)
    boxes = boxes_for(shortage.count, box_size)
    late = last < today
    words = (boxes, box_size, item_code, shortage.day, last)
    return OrderBy(
        item_code=item_code,
        short=shortage.count,
        boxes=boxes,
        box_size=box_size,
        needed_on=shortage.day,
        last_day=last,
        late=late,
        sentence=_late_sentence(*words) if late else _order_sentence(*words),
    )


def _order_sentence(
    boxes: int, box_size: int, item_code: str, needed_on: date, last: date
) -> str:
    return (
        f"Order {_boxes(boxes, box_size)} of {item_code} by {show_day_short(last)} at "
        f"the latest, wanted on {show_day_short(needed_on)}."
    )


def _late_sentence(
    boxes: int, box_size: int, item_code: str, needed_on: date, last: date
) -> str:
    return (
        f"{_boxes(boxes, box_size)} of {item_code} had to be ordered by "
        f"{show_day_short(last)} to be here on {show_day_short(needed_on)}. "
        "Ask for faster delivery, or move the work to a later day."
    )


def _boxes(boxes: int, box_size: int) -> str:
    if box_size == 1:
        return str(boxes)
    return f"{boxes} {'box' if boxes == 1 else 'boxes'} of {box_size}"
