"""An order comes into the book, once, with all its promises."""

from datetime import datetime, timedelta

import pytest

from inventory.errors import NotACount, SameRequestOtherContent, StockShort
from inventory.models import Claim, SalesDay
from inventory.queries.promises import promise_of
from orders import actions as desk
from orders.addresses import parse_one_line
from orders.errors import NothingOrdered, OrderKnown, PlacedLater
from orders.models import Customer, Order, Question
from tests.factories.orders import (
    LONDON,
    MORNING,
    YESTERDAY,
    a_set,
    an_order,
    an_unpaid_order,
    asked,
    new_id,
)

pytestmark = pytest.mark.django_db


def test_a_paid_order_claims_its_goods_from_the_moment_it_was_paid():
    ring = a_set(held=5)

    order = an_order((ring, 2), number="L-1", placed_at=YESTERDAY)

    claim = order.lines.get().claim
    assert (claim.kind, claim.count, claim.ranks_at) == ("paid", 2, YESTERDAY)
    assert (claim.until, claim.reference) == (None, "L-1")
    assert promise_of(ring, now=MORNING).can_promise == 3


def test_a_paid_order_goes_in_even_when_the_shelf_is_empty_and_shows_short():
    ring = a_set(held=0)

    order = an_order((ring, 1))

    assert order.lines.get().claim.overruled_because == "paid order"
    assert promise_of(ring, now=MORNING).short == 1


def test_an_unpaid_order_is_held_for_a_week_and_no_longer():
    order = an_unpaid_order((a_set(), 1))

    claim = order.lines.get().claim
    assert claim.kind == Claim.Kind.HOLD
    # From 3 March seven days on; worked by hand.
    assert claim.until == datetime(2027, 3, 10, 23, 59, tzinfo=LONDON)
    assert order.held_until == claim.until


def test_an_unpaid_order_for_more_than_can_be_promised_is_refused_whole():
    ring, glass = a_set("RF-090", held=5), a_set("SG-030", held=1)

    with pytest.raises(StockShort) as refused:
        an_unpaid_order((ring, 1), (glass, 2))

    assert (refused.value.asked, refused.value.can_promise) == (2, 1)
    assert (Order.objects.count(), Claim.objects.count()) == (0, 0)
    assert Customer.objects.count() == 0


def test_a_reason_lets_an_unpaid_order_in_all_the_same():
    order = an_unpaid_order((a_set(held=0), 1), overruled_because="cut on Saturday")

    assert order.lines.get().claim.overruled_because == "cut on Saturday"


def test_the_same_form_sent_twice_is_one_order():
    ring, request_id = a_set(held=5), new_id()
    typed = asked((ring, 2), number="L-1")

    first = desk.take_order(typed, request_id=request_id, now=MORNING)
    second = desk.take_order(typed, request_id=request_id, now=MORNING)

    assert first == second
    assert (Order.objects.count(), Claim.objects.count()) == (1, 1)
    assert SalesDay.objects.get().sold == 2


def test_the_same_form_with_another_order_on_it_is_refused():
    ring, request_id = a_set(), new_id()
    desk.take_order(asked((ring, 1), number="L-1"), request_id=request_id, now=MORNING)

    with pytest.raises(SameRequestOtherContent):
        desk.take_order(
            asked((ring, 1), number="L-2"), request_id=request_id, now=MORNING
        )


def test_a_number_that_is_in_the_book_is_not_taken_again():
    ring = a_set()
    an_order((ring, 1), number="L-1")

    with pytest.raises(OrderKnown):
        an_order((ring, 1), number="L-1")


@pytest.mark.parametrize("count", [0, -1, 1_000_000])
def test_a_count_nobody_can_mean_is_refused(count):
    with pytest.raises(NotACount):
        an_order((a_set(), count))


def test_an_order_without_lines_is_refused():
    with pytest.raises(NothingOrdered):
        desk.take_order(asked(), request_id=new_id(), now=MORNING)


def test_an_order_from_tomorrow_is_refused():
    with pytest.raises(PlacedLater) as refused:
        an_order((a_set(), 1), number="L-1", placed_at=MORNING + timedelta(days=1))

    assert str(refused.value) == (
        "L-1 is dated Thu 4 March, 08:30, which is still to come. "
        "Check the day and the year."
    )


def test_a_sale_counts_on_the_day_it_was_placed_not_typed_in():
    ring = a_set()

    an_order((ring, 2), placed_at=datetime(2027, 2, 24, 10, 12, tzinfo=LONDON))

    day = SalesDay.objects.get(item=ring)
    assert (day.day.isoformat(), day.sold) == ("2027-02-24", 2)


def test_an_order_just_before_midnight_counts_on_that_day():
    ring = a_set()

    # Ten to midnight in London in summer time is already the same day's UTC evening.
    an_order(
        (ring, 1),
        placed_at=datetime(2026, 7, 1, 23, 50, tzinfo=LONDON),
        now=datetime(2026, 7, 2, 9, 0, tzinfo=LONDON),
    )

    assert SalesDay.objects.get().day.isoformat() == "2026-07-01"


@pytest.mark.parametrize("kind", ["goodwill", "replacement"])
def test_what_is_sent_free_claims_goods_and_is_no_sale(kind):
    ring = a_set(held=5)

    an_order((ring, 1, 0), kind=kind, paid=Order.Paid.FREE)

    assert promise_of(ring, now=MORNING).can_promise == 4
    assert SalesDay.objects.count() == 0


def test_one_person_at_one_door_is_one_customer_in_any_spelling():
    ring = a_set()
    an_order((ring, 1), address="4 Weir Row, Hexwold, ZY7 4LQ")
    an_order(
        (ring, 2), buyer="AVERIL ODDLESTONE", address="4 WEIR ROW, HEXWOLD, zy74lq"
    )
    an_order((ring, 1), address="5 Weir Row, Hexwold, ZY7 4LQ")

    counted = sorted(
        (one.address, one.orders.count()) for one in Customer.objects.all()
    )

    assert counted == [
        ("4 Weir Row, Hexwold, ZY7 4LQ", 2),
        ("5 Weir Row, Hexwold, ZY7 4LQ", 1),
    ]


@pytest.mark.parametrize(("minutes", "asks"), [(2, 1), (30, 1), (31, 0)])
def test_the_same_lines_within_half_an_hour_are_asked_about(minutes, asks):
    ring = a_set()
    an_order((ring, 1), number="L-1")

    later = an_order(
        (ring, 1), number="L-2", placed_at=YESTERDAY + timedelta(minutes=minutes)
    )

    assert later.questions.filter(kind="double").count() == asks
    assert Order.objects.count() == 2


def test_other_lines_within_half_an_hour_are_no_double():
    ring = a_set()
    an_order((ring, 1))

    an_order((ring, 2), placed_at=YESTERDAY + timedelta(minutes=2))

    assert Question.objects.count() == 0


def test_the_later_one_is_asked_about_even_when_it_was_typed_in_first():
    ring = a_set()
    an_order((ring, 1), number="later", placed_at=YESTERDAY + timedelta(minutes=2))

    an_order((ring, 1), number="earlier")

    question = Question.objects.get()
    assert (question.order.number, question.other_order.number) == ("later", "earlier")


def test_an_address_without_a_house_is_asked_about():
    order = an_order((a_set(), 1), address="Rope Lane, Orrinmouth, ZY6 4GU")

    question = order.questions.get()
    assert (question.kind, question.text) == (
        "address",
        "There is no house number or house name before Rope Lane.",
    )


def test_a_gift_goes_to_the_recipient_and_the_customer_lives_at_home():
    order = an_order(
        (a_set(), 1),
        is_gift=True,
        recipient_name="Fern",
        recipient_address=parse_one_line("8 Weir Lane, Thrimble, ZY6 2FR"),
    )

    assert (order.recipient_name, order.postcode) == ("Fern", "ZY6 2FR")
    assert order.customer.address == "1 Rope Lane, Marrowick, ZY1 1AP"
    assert order.shows_prices is False


def test_what_goes_abroad_needs_a_customs_form():
    order = an_order((a_set(), 1), address="Cottage 3, Shore Road, Ballyquern, Ireland")

    assert (order.country, order.needs_customs) == ("Ireland", True)
