"""Last days to order, worked by hand."""

from __future__ import annotations

from datetime import date

import pytest

from inventory.reorder import (
    BoxOfNothing,
    Shortage,
    boxes_for,
    first_shortage,
    last_order_day,
    order_by,
)
from studio.walk import WorkingWeek

before = WorkingWeek().working_days_before


def sheets_order(today):
    return order_by(
        "sheets",
        Shortage(date(2027, 2, 16), 4),
        box_size=5,
        lead_working_days=6,
        working_days_before=before,
        today=today,
    )


def test_six_working_days_back_from_the_session():
    # Worked by hand: ordered Mon 8, then 9, 10, 11, 12, 15, and here on Tue 16.
    assert last_order_day(date(2027, 2, 16), 6, before) == date(2027, 2, 8)


def test_a_day_the_supplier_is_closed_moves_the_order_forward():
    week = WorkingWeek(not_on=frozenset({date(2027, 2, 11)}))

    day = last_order_day(date(2027, 2, 16), 6, week.working_days_before)

    assert day == date(2027, 2, 5)


def test_the_fifteenth_sheet_is_the_first_one_lacking():
    # Worked by hand: 14 in the rack; 6, 5, 5 and 2 are cut.
    cut = [(6, -6), (9, -5), (16, -5), (20, -2)]
    changes = [(date(2027, 2, day), count) for day, count in cut]

    assert first_shortage(14, changes) == Shortage(date(2027, 2, 16), 4)
    assert first_shortage(18, changes) is None


def test_an_arrival_in_the_morning_serves_the_same_day():
    changes = [(date(2027, 3, 6), -5), (date(2027, 3, 6), 5)]

    assert first_shortage(0, changes) is None


def test_one_box_by_monday():
    order = sheets_order(today=date(2027, 2, 1))

    assert (order.boxes, order.count, order.last_day) == (1, 5, date(2027, 2, 8))
    assert order.sentence == (
        "Order 1 box of 5 of sheets by Mon 8 February at the latest, "
        "wanted on Tue 16 February."
    )


def test_the_day_after_is_too_late_and_says_what_to_do():
    assert not sheets_order(today=date(2027, 2, 8)).late
    order = sheets_order(today=date(2027, 2, 9))

    assert order.late
    assert order.sentence == (
        "1 box of 5 of sheets had to be ordered by Mon 8 February to be here on "
        "Tue 16 February. Ask for faster delivery, or move the work to a later day."
    )


@pytest.mark.parametrize(
    ("short", "size", "boxes"), [(4, 5, 1), (5, 5, 1), (6, 5, 2), (0, 5, 0), (7, 1, 7)]
)
def test_boxes_are_whole(short, size, boxes):
    assert boxes_for(short, size) == boxes


def test_a_box_holds_something():
    with pytest.raises(BoxOfNothing, match="A box cannot hold 0"):
        boxes_for(3, 0)
