"""Exposure of earlier days and the shape of an hour. Source: worked by hand."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from inventory.past_days import (
    HOUSE_HOUR,
    DayThatDrawsNothing,
    PastDay,
    Tallied,
    learned_shape,
)


@pytest.mark.parametrize(
    ("minute", "share"), [(0, 0), (10, 22), (26, 55.2), (42, 80), (55, 95.5), (70, 100)]
)
def test_the_house_hour_runs_straight_between_its_minutes(minute, share):
    assert HOUSE_HOUR.share_seen(minute) == Fraction(str(share)) / 100


def test_a_day_of_two_hours_is_drawn_to_the_same_shape():
    assert HOUSE_HOUR.share_seen(84, 120) == Fraction(80, 100)


@pytest.mark.parametrize(
    ("day", "exposure"),
    [
        (PastDay(31), 1),
        (PastDay(48, True, Fraction(4, 5)), Fraction(4, 5)),
        (PastDay(48, True, None), None),
        (PastDay(31, False, None), 1),
        (PastDay(20, True, Fraction(1, 2), Fraction(55, 100)), Fraction(11, 40)),
        (PastDay(9, True, Fraction(0)), Fraction(1, 100)),
    ],
)
def test_exposure_is_the_share_seen_of_what_the_day_draws(day, exposure):
    assert day.exposure == exposure


def test_a_day_that_draws_nothing_is_refused():
    with pytest.raises(DayThatDrawsNothing, match="0 of an ordinary one"):
        PastDay(3, draws=Fraction(0))


def test_what_went_is_carried_over_to_a_day_that_draws_less():
    # 26 x 0.55 = 14.3 and 30 x 0.55 = 16.5, rounded half up.
    assert PastDay(26).as_on(Fraction(55, 100)) == 14
    assert PastDay(30).as_on(Fraction(55, 100)) == 17


def test_her_tallies_and_the_house_share_the_shape_by_what_they_are_worth():
    # 60 x 0.45 + 40 of 60 + 60 in all by minute 20: 67 / 120.
    hour = Tallied(((20, 40), (60, 60)))

    shape = learned_shape([hour])

    assert shape.share_seen(20) == Fraction(67, 120)
    assert shape.share_seen(60) == 1


def test_a_tally_between_two_minutes_is_read_on_the_straight_line():
    hour = Tallied(((10, 6), (30, 16), (60, 20)))

    assert hour.gone(Fraction(20)) == 11
    assert hour.gone(Fraction(5)) == 3


@given(st.lists(st.integers(0, 30), min_size=6, max_size=6))
def test_a_learned_shape_never_falls_and_ends_at_one(parts):
    minutes = (10, 20, 30, 42, 50, 60)
    gone = [sum(parts[: k + 1]) for k in range(6)]

    shape = learned_shape([Tallied(tuple(zip(minutes, gone, strict=True)))])

    shares = [shape.share_seen(minute) for minute in range(61)]
    assert shares == sorted(shares)
    assert shares[-1] == 1
