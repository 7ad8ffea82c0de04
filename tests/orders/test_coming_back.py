"""What came back, and what was refunded, comes off the day on which it was sold.

Sums worked by hand.
"""

from datetime import date, datetime, timedelta

import pytest

from inventory.errors import AlreadyTakenBack, NotACount
from inventory.models import Entry, SaleReturn, SalesDay
from inventory.queries.balances import balance_differences, held_by_item
from orders import actions as desk
from orders.errors import MoreBackThanWent, RefundTooLarge
from orders.models import Order
from studio.models import MoneyLine, StudioSettings
from tests.factories.orders import LONDON, MORNING, a_person, a_set, an_order, new_id

pytestmark = pytest.mark.django_db

PLACED = datetime(2027, 3, 1, 23, 30, tzinfo=LONDON)
SOLD_ON = date(2027, 3, 1)
NEXT_DAY = MORNING + timedelta(days=1)


def an_order_that_went(ring=None, count=3, **more):
    order = an_order((ring or a_set(), count, 2100), placed_at=PLACED, **more)
    desk.collect_order(order, request_id=new_id(), now=MORNING)
    return order


def back(order, count=1, request_id=None, now=NEXT_DAY, **more):
    return desk.take_return(
        order.lines.get(),
        count=count,
        request_id=request_id or new_id(),
        now=now,
        **more,
    )


def sales():
    return [(row.day, row.sold, row.returned) for row in SalesDay.objects.all()]


def owed():
    return [line.pence for line in MoneyLine.objects.filter(moved_on=None)]


def in_the_tray(item):
    held = held_by_item([item])[item.pk]
    return sum(one.count for one in held if one.state == "to-look-at")


def test_what_comes_back_days_later_comes_off_the_day_of_the_sale():
    ring = a_set()
    order = an_order_that_went(ring)

    back(order, 2)

    assert sales() == [(SOLD_ON, 3, 2)]
    assert (in_the_tray(ring), owed()) == (2, [-4200])
    assert balance_differences() == []


def test_the_same_return_sent_twice_counts_once():
    ring, request_id = a_set(), new_id()
    order = an_order_that_went(ring)

    for _ in range(2):
        back(order, 2, request_id)

    assert (sales(), owed()) == ([(SOLD_ON, 3, 2)], [-4200])
    assert in_the_tray(ring) == 2


def test_a_refund_the_day_after_for_what_never_went_leaves_no_sale():
    order = an_order((a_set(), 3, 2100), placed_at=PLACED)

    for _ in range(2):
        desk.refund_line(order.lines.get(), now=NEXT_DAY)

    assert (sales(), owed()) == ([(SOLD_ON, 0, 0)], [-6300])


def test_no_more_comes_back_than_went():
    order = an_order_that_went(count=3)
    back(order, 2)

    with pytest.raises(MoreBackThanWent, match=r"2 RF-090 .*: 1 are with the customer"):
        back(order, 2)
    back(order, 1)
    with pytest.raises(MoreBackThanWent, match="so none can come back"):
        back(order, 1)
    with pytest.raises(NotACount):
        back(order, 0)

    assert sales() == [(SOLD_ON, 3, 3)]


def test_nothing_comes_back_of_what_never_went():
    order = an_order((a_set(), 1))

    with pytest.raises(MoreBackThanWent):
        back(order)

    assert SaleReturn.objects.count() == 0


def test_a_refund_is_what_was_paid_unless_she_says_less():
    """Two at £21.00 less 10 in a hundred: £37.80."""
    order = an_order_that_went(count=2, discount_per_hundred=10)

    with pytest.raises(RefundTooLarge, match=r"£20\.00 .* £18\.90"):
        back(order, 1, refund_pence=2000)
    back(order, 1, refund_pence=0)
    back(order, 1)

    assert owed() == [-1890]


def test_what_was_sent_free_was_no_sale_and_owes_nothing():
    ring = a_set()
    order = an_order_that_went(
        ring, count=1, kind=Order.Kind.GOODWILL, paid=Order.Paid.FREE
    )

    back(order)

    assert (sales(), owed(), in_the_tray(ring)) == ([], [], 1)


def test_a_return_can_be_undone_once():
    ring, request_id = a_set(), new_id()
    order = an_order_that_went(ring)
    entry = back(order, 2)

    for _ in range(2):
        desk.take_return_back(order, entry, request_id=request_id, now=NEXT_DAY)
    with pytest.raises(AlreadyTakenBack):
        desk.take_return_back(order, entry, request_id=new_id(), now=NEXT_DAY)

    assert (sales(), owed(), in_the_tray(ring)) == ([(SOLD_ON, 3, 0)], [], 0)
    back(order, 3)
    assert sales() == [(SOLD_ON, 3, 3)]


def test_a_handing_over_undone_finds_its_own_entry_not_the_return():
    order = an_order_that_went(count=1)
    desk.take_return_back(order, back(order), request_id=new_id(), now=NEXT_DAY)

    desk.take_collection_back(order, request_id=new_id(), now=NEXT_DAY)

    assert order.lines.get().gone == 0
    assert Entry.objects.filter(verb="sold", reversed_by=None).count() == 0


# ------------------------------------------------------------------ the page


@pytest.fixture
def owner(client):
    StudioSettings.objects.get_or_create(
        pk=1, defaults={"name": "The loft", "clock_stands_at": MORNING}
    )
    client.force_login(a_person())
    return client


def test_the_page_takes_a_return_and_offers_the_way_back(owner):
    order = an_order_that_went(number="L-0432")
    url = "/orders/do/came-back/L-0432/"
    shown = owner.get(order.get_absolute_url()).content.decode()
    typed = {"line": order.lines.get().pk, "count": "1", "refund": "5"}

    page = owner.post(url, {"request_id": new_id(), **typed}, follow=True)

    assert f'href="{url}"' in shown
    assert "1 RF-090 lies in the tray and waits to be looked at." in (
        page.content.decode()
    )
    assert (sales(), owed()) == ([(SOLD_ON, 3, 1)], [-500])

    owner.post(page.context["undo"]["url"], {"request_id": new_id()})
    assert (sales(), owed()) == ([(SOLD_ON, 3, 0)], [])


def test_the_page_keeps_what_was_typed_where_too_many_come_back(owner):
    order = an_order_that_went(number="L-0432")
    typed = {"line": order.lines.get().pk, "count": "4", "refund": ""}

    page = owner.post(
        "/orders/do/came-back/L-0432/", {"request_id": new_id(), **typed}
    ).content.decode()

    assert "4 RF-090 cannot come back of L-0432: 3 are with the customer." in page
    assert 'value="4"' in page
    assert sales() == [(SOLD_ON, 3, 0)]
