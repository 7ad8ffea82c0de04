"""Two slots within a day: the second follows from what the first one showed."""

from datetime import timedelta
from fractions import Fraction

import pytest

from production import actions as making
from production.queries.plans import plan_for
from production.repeat import FirstHour, repeat_wants, share_seen
from tests.factories.production import MONDAY_1_FEB, a_slot, a_workshop, new_id

SHARE = Fraction(55, 100)


@pytest.mark.parametrize(
    ("sold", "minute", "first_hour", "expected", "spread", "number"),
    [(48, 42, 57.3, 31.5, 7.1, 43), (31, None, 32.0, 17.6, 5.1, 26)],
    ids=["sold out at minute 42", "31 sold with stock left"],
)
def test_a_repeat_follows_from_the_first_hour(
    sold, minute, first_hour, expected, spread, number
):
    wants = repeat_wants(FirstHour(sold, minute), Fraction(40), SHARE)

    # Worked by hand: the story of two slots within a day.
    assert round(wants.first_hour, 1) == first_hour
    assert round(wants.expected, 1) == expected
    assert round(wants.spread, 1) == spread
    assert wants.number == number
    assert round(wants.chance_of_more, 2) <= 0.05


@pytest.mark.parametrize(
    ("minute", "hundredths"),
    [(0, 0), (10, 22), (15, Fraction(67, 2)), (42, 80), (60, 100), (75, 100)],
)
def test_the_share_seen_runs_straight_between_the_minutes_of_the_shape(
    minute, hundredths
):
    # The shape of an hour as the studio was told it; between minutes by rule of three.
    assert share_seen(minute) == Fraction(hundredths) / 100


def test_a_day_of_two_hours_is_drawn_to_the_same_shape():
    assert share_seen(84, lasts_minutes=120) == Fraction(80, 100)


def test_without_an_earlier_slot_the_first_hour_speaks_alone():
    wants = repeat_wants(FirstHour(20, None), None, Fraction(1))

    # Half a sale is added before the first count: 20.5 in one hour; by hand.
    assert round(wants.first_hour, 1) == 20.5


def two_slots():
    items = a_workshop(sets={"RF-090": 48})
    earlier = a_slot(MONDAY_1_FEB - timedelta(days=100, hours=-6))
    making.set_sold(making.set_line(earlier, item=items["RF-090"], wanted=50), sold=40)
    first = a_slot()
    making.send_goods(
        first, {items["RF-090"]: 48}, request_id=new_id(), now=MONDAY_1_FEB
    )
    repeat = a_slot(first.starts_at + timedelta(hours=20), kind="repeat")
    making.change_selling_day(repeat, repeat_of=first)
    making.set_line(repeat, item=items["RF-090"], price_pence=1150)
    return items, first, repeat


def line_of(repeat, now):
    [line] = plan_for(repeat, now=now).lines
    return line


@pytest.mark.django_db
def test_before_the_first_hour_is_over_no_number_is_made_up():
    _, first, repeat = two_slots()

    line = line_of(repeat, first.starts_at)

    assert line.number is None
    assert line.sentence == (
        "Its number follows from the first hour: tally that, then look again."
    )


@pytest.mark.django_db
def test_what_the_channel_still_holds_is_taken_off_what_the_repeat_wants():
    _, first, repeat = two_slots()
    making.set_sold(first.lines.get(), sold=31)

    line = line_of(repeat, first.ends_at)

    # Worked by hand: 26 wanted, 17 of the 48 are still there, so 9 more.
    assert (line.number, line.sent, line.to_make) == (26, 17, 9)


@pytest.mark.django_db
def test_a_first_hour_that_sold_out_is_told_before_it_ends():
    _, first, repeat = two_slots()
    making.note_sold_out(first.lines.get(), minute=42)

    line = line_of(repeat, first.starts_at + timedelta(minutes=45))

    assert (line.number, line.sent, line.to_make) == (43, 0, 43)
    assert line.proposal.costs == (
        "The first hour sold 48 by minute 42, when 80 in 100 of the demand is seen: "
        "about 57.3 in a whole hour.",
        "A repeat draws 55 in 100 of that: about 31.5, give or take 7.1.",
    )


@pytest.mark.django_db
def test_the_terms_say_how_much_a_repeat_draws():
    _, first, repeat = two_slots()
    making.set_sold(first.lines.get(), sold=31)
    making.set_terms(repeat, basis="sale-or-return", repeat_share_hundredths=100)

    # 32.0 expected in an equal hour; 45 leave a chance of 0.050 (exact fractions).
    assert line_of(repeat, first.ends_at).number == 45


@pytest.mark.django_db
def test_the_page_of_a_repeat_opens_with_its_weekday():
    _, first, repeat = two_slots()
    making.set_sold(first.lines.get(), sold=31)

    opening = plan_for(repeat, now=first.ends_at).opening

    assert opening.startswith("Thursday’s repeat needs ")
