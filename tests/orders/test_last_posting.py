"""The last useful posting before two days without post, worked by hand."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, datetime, time, timedelta

import pytest

from orders.last_posting import (
    Courier,
    NoService,
    arrival_day,
    choose_service,
    last_posting,
    last_useful,
)
from studio.days import LONDON
from studio.walk import PostCalendar
from tests.orders.price_list import loft_rules, worked

SERVICES = loft_rules().services
BY_CODE = {service.code: service for service in SERVICES}
STANDARD, NEXT_DAY = BY_CODE["standard"], BY_CODE["next-day"]
POST = PostCalendar(
    closed=frozenset({date(2027, 3, 5), date(2027, 3, 6)}),
    bank_holidays=frozenset({date(2027, 3, 26), date(2027, 3, 29)}),
    collection={**dict.fromkeys(range(5), time(16, 45)), 5: time(11, 30)},
)
COURIER = Courier(price_pence=980, latest_time=time(15, 0))
MOTHERS_DAY = date(2027, 3, 7)


def _march(day, hour=0, minute=0):
    return datetime(2027, 3, day, hour, minute, tzinfo=LONDON)


def _choose(now, need_by=MOTHERS_DAY):
    return choose_service(need_by, now, SERVICES, POST, courier=COURIER)


@pytest.mark.parametrize("row", worked("post_arrivals.csv"))
def test_a_packet_arrives_on_the_nth_delivery_day_after_posting(row):
    posted = date.fromisoformat(row["posted"])

    arrives = arrival_day(posted, BY_CODE[row["service"]], POST)

    assert arrives == date.fromisoformat(row["arrives"])


def test_today_next_day_is_the_last_useful_posting_for_sunday():
    latest = last_posting(MOTHERS_DAY, SERVICES, POST, _march(3, 8, 30))

    assert latest == {"standard": None, "next-day": _march(3, 16, 45)}


def test_standard_could_have_done_it_until_monday():
    assert last_useful(MOTHERS_DAY, STANDARD, POST) == _march(1, 16, 45)
    assert last_posting(MOTHERS_DAY, SERVICES, POST, _march(1, 16, 45)) == {
        "standard": _march(1, 16, 45),
        "next-day": _march(3, 16, 45),
    }


def test_goods_due_on_good_friday_leave_by_monday():
    # Thirty days after 24 February is Good Friday, 26 March; worked by hand.
    assert last_useful(date(2027, 3, 26), STANDARD, POST) == _march(22, 16, 45)


def test_a_last_posting_on_saturday_is_by_the_saturday_hour():
    # Delivered Monday 15 March; worked by hand.
    assert last_useful(date(2027, 3, 15), NEXT_DAY, POST) == _march(13, 11, 30)


def test_a_gift_seen_at_half_past_eight_goes_next_day_today():
    choice = _choose(_march(3, 8, 30))

    assert (choice.service, choice.posts_at) == (NEXT_DAY, _march(3, 16, 45))
    assert choice.arrives == date(2027, 3, 4)
    assert choice.alternatives == ()
    assert choice.why == (
        "Post today by 16:45, next-day: due Thu 4 March, needed by Sun 7 March. "
        "Standard would be due Tue 9 March: too late."
    )


def test_a_gift_ordered_at_ten_past_twelve_can_still_go_today():
    choice = _choose(_march(3, 12, 10))

    assert (choice.service, choice.arrives) == (NEXT_DAY, date(2027, 3, 4))


def test_a_gift_ordered_at_six_in_the_evening_cannot_be_posted_in_time():
    choice = _choose(_march(3, 18, 0))

    assert (choice.service, choice.arrives) == (None, None)
    assert choice.why == (
        "No posting arrives by Sun 7 March: posted Thu 4 March by 16:45, "
        "next-day is due Mon 8 March. "
        "The last useful posting was Wed 3 March, 16:45."
    )


def test_collection_courier_and_card_are_offered_when_the_post_is_too_late():
    collect, courier, card = _choose(_march(3, 18, 0)).alternatives

    assert [collect.kind, courier.kind, card.kind] == ["collection", "courier", "card"]
    assert courier.price_pence == 980
    assert courier.latest == _march(4, 15, 0)
    assert courier.arrives == date(2027, 3, 5)
    assert courier.sentence == (
        "Courier at £9.80: have it ready Thu 4 March before 15:00; "
        "it arrives on Fri 5 March."
    )
    assert collect.sentence == "Offer collection from the loft."
    assert card.sentence == "Print a card: “Your gift is on its way.”"


@pytest.mark.parametrize(
    ("now", "picked_up", "arrives"),
    [
        (_march(4, 14, 59), _march(4, 15, 0), 5),
        (_march(4, 15, 0), _march(5, 15, 0), 6),
        (_march(4, 17, 0), _march(5, 15, 0), 6),
    ],
)
def test_the_courier_comes_before_its_hour_even_when_the_post_stands_still(
    now, picked_up, arrives
):
    offers = {offer.kind: offer for offer in _choose(now, MOTHERS_DAY).alternatives}

    # Thursday at 14:59 the post is already too late: next-day is due Monday.
    assert offers["courier"].latest == picked_up
    assert offers["courier"].arrives == date(2027, 3, arrives)


def test_a_courier_that_arrives_on_the_very_day_is_offered():
    choice = _choose(_march(4, 14, 59), need_by=date(2027, 3, 5))

    assert [offer.arrives for offer in choice.alternatives] == [
        None,
        date(2027, 3, 5),
        None,
    ]


def test_no_courier_is_offered_when_it_is_too_late_as_well():
    kinds = [offer.kind for offer in _choose(_march(5, 16, 0)).alternatives]

    assert kinds == ["collection", "card"]


def test_no_courier_is_offered_where_there_is_none():
    choice = choose_service(MOTHERS_DAY, _march(3, 18, 0), SERVICES, POST)

    assert [offer.kind for offer in choice.alternatives] == ["collection", "card"]


def test_the_cheaper_service_is_taken_when_it_arrives_in_time():
    choice = _choose(_march(3, 8, 30), need_by=date(2027, 3, 9))

    assert (choice.service, choice.arrives) == (STANDARD, date(2027, 3, 9))
    assert choice.why == (
        "Post today by 16:45, standard: due Tue 9 March, needed by Tue 9 March."
    )


def test_an_order_without_a_day_to_meet_goes_by_the_cheapest_service():
    choice = _choose(_march(4, 17, 0), need_by=None)

    assert (choice.service, choice.posts_at) == (STANDARD, _march(8, 16, 45))
    assert choice.why == (
        "No day to be met: post Mon 8 March by 16:45, standard. It is due Thu 11 March."
    )


def test_after_a_very_long_stop_no_last_posting_is_named():
    needed = date(2027, 3, 4)
    stopped = {needed - timedelta(days=back) for back in range(400)}
    stop = replace(POST, closed=frozenset(stopped - {date(2027, 3, 3)}))

    choice = choose_service(needed, _march(3, 8), SERVICES, stop)

    assert choice.why == (
        "No posting arrives by Thu 4 March: posted today by 16:45, next-day is due "
        "Fri 5 March."
    )


def test_a_service_whose_delivery_is_never_reached_is_never_in_time():
    endless = replace(STANDARD, delivery_days=401)

    assert last_useful(MOTHERS_DAY, endless, POST) is None


def test_without_any_service_the_settings_are_named():
    with pytest.raises(NoService) as caught:
        choose_service(MOTHERS_DAY, _march(3, 8, 30), [], POST)

    assert str(caught.value) == (
        "No posting service is set up. Add one in the settings."
    )
