"""An open order is paid, swapped, sent elsewhere, cancelled or collected."""

from datetime import date, datetime, timedelta

import pytest

from inventory import actions as stock
from inventory.errors import StockShort
from inventory.models import Claim, Entry, SalesDay
from inventory.queries.balances import balance_differences, sellable_at_home
from inventory.queries.promises import promise_of
from orders import actions as desk
from orders.actions.closing import leaving_moves
from orders.addresses import parse_one_line
from orders.errors import NothingOwed, OrderNotOpen, OrderNotPaid, RefundTooLarge
from orders.models import Order, PostalClaim
from orders.queries.open_orders import state_of_order
from studio.models import MoneyLine
from tests.factories.orders import (
    LONDON,
    MORNING,
    a_set,
    an_order,
    an_unpaid_order,
    new_id,
)

pytestmark = pytest.mark.django_db


def test_a_cheque_that_came_makes_the_claim_a_paid_one_from_then():
    order = an_unpaid_order((a_set(), 1))
    paid_at = MORNING - timedelta(hours=1)

    for _ in range(2):
        desk.pay_order(order, paid_at=paid_at, request_id=new_id(), now=MORNING)

    claim = Claim.objects.get()
    assert (claim.kind, claim.ranks_at, claim.until) == ("paid", paid_at, None)
    assert state_of_order(order, MORNING).verdict == "ready"


def test_a_hold_that_lapsed_comes_back_when_it_is_paid():
    ring = a_set(held=1)
    order = an_unpaid_order((ring, 1))
    two_weeks_on = MORNING + timedelta(days=14)
    lapsed = state_of_order(order, two_weeks_on)

    desk.pay_order(order, paid_at=two_weeks_on, request_id=new_id(), now=two_weeks_on)

    assert lapsed.sentence.startswith(
        "Payment has not come; the hold ended on Wed 10 March."
    )
    assert state_of_order(order, two_weeks_on).verdict == "ready"


def test_a_hold_can_be_made_to_end_on_another_day():
    order = an_unpaid_order((a_set(), 1))
    friday = datetime(2027, 3, 5, 23, 59, tzinfo=LONDON)

    desk.set_hold(order, until=friday)

    assert Claim.objects.get().until == friday


def test_an_agreed_swap_keeps_the_rank_and_owes_the_difference():
    wanted, instead = a_set("FB-05", held=0), a_set("FB-02", held=1)
    order = an_order((wanted, 1, 2450), number="L-0445")
    rank = order.lines.get().claim.ranks_at
    request_id = new_id()

    for _ in range(2):
        swap = desk.agree_swap(
            order.lines.get(),
            item=instead,
            refund_pence=50,
            request_id=request_id,
            now=MORNING,
        )

    line = order.lines.get()
    assert (line.item, line.sends, swap.ordered) == (wanted, instead, wanted)
    assert (line.claim.item, line.claim.ranks_at) == (instead, rank)
    assert [(m.pence, m.moved_on) for m in MoneyLine.objects.all()] == [(-50, None)]
    assert promise_of(wanted, now=MORNING).short == 0


def test_a_swap_to_what_is_promised_away_is_refused():
    wanted, instead = a_set("FB-05", held=0), a_set("FB-02", held=0)
    order = an_order((wanted, 1))

    with pytest.raises(StockShort):
        desk.agree_swap(
            order.lines.get(),
            item=instead,
            refund_pence=0,
            request_id=new_id(),
            now=MORNING,
        )

    assert order.lines.get().claim.closed_at is None


def test_a_refund_above_the_price_is_refused():
    order = an_order((a_set(), 1, 2450))

    with pytest.raises(RefundTooLarge):
        desk.agree_swap(
            order.lines.get(),
            item=a_set("FB-02"),
            refund_pence=2451,
            request_id=new_id(),
            now=MORNING,
        )


def test_a_refund_is_paid_once():
    order = an_order((a_set("FB-05", held=0), 1, 2450))
    swap = desk.agree_swap(
        order.lines.get(),
        item=a_set("FB-02"),
        refund_pence=50,
        request_id=new_id(),
        now=MORNING,
    )

    desk.pay_refund(swap, paid_at=MORNING)
    swap = desk.pay_refund(swap, paid_at=MORNING + timedelta(days=1))

    assert swap.refund_paid_at == MORNING
    assert MoneyLine.objects.get().moved_on == date(2027, 3, 3)


def test_a_line_taken_off_owes_its_price_and_lets_the_rest_go():
    ring, gone = a_set("RF-090"), a_set("SG-045", held=0)
    order = an_order((ring, 1), (gone, 2, 1600), discount_per_hundred=10)

    for _ in range(2):
        desk.refund_line(order.lines.get(item=gone), now=MORNING)

    assert state_of_order(order, MORNING).verdict == "ready"
    # 2 × £16.00 less a tenth is £28.80; worked by hand.
    assert MoneyLine.objects.get().pence == -2880
    assert SalesDay.objects.get(item=gone).sold == 0
    with pytest.raises(NothingOwed):
        desk.agree_swap(
            order.lines.get(item=gone),
            item=ring,
            refund_pence=0,
            request_id=new_id(),
            now=MORNING,
        )


def test_completing_the_address_answers_its_question():
    order = an_order((a_set(), 1), address="Rope Lane, Orrinmouth, ZY6 4GU")
    before = state_of_order(order, MORNING).verdict

    desk.set_address(
        order,
        address=parse_one_line("9 Rope Lane, Orrinmouth, ZY6 4GU"),
        now=MORNING,
    )

    assert (before, state_of_order(order, MORNING).verdict) == ("ask", "ready")


def test_an_address_that_still_lacks_something_is_asked_about_again():
    order = an_order((a_set(), 1), address="Rope Lane, Orrinmouth, ZY6 4GU")

    desk.set_address(
        order, address=parse_one_line("9 Rope Lane, Orrinmouth"), now=MORNING
    )

    assert state_of_order(order, MORNING).sentence == (
        "There is no postcode after Orrinmouth."
    )


def test_what_is_collected_needs_no_address():
    order = an_order((a_set(), 1), address="Rope Lane, Orrinmouth, ZY6 4GU")

    desk.set_collection(order, on=date(2027, 3, 13), at="the fair", now=MORNING)

    assert state_of_order(order, MORNING).verdict == "collect"


def test_cancelling_lets_the_goods_go_and_can_be_undone():
    ring = a_set(held=1)
    order = an_order((ring, 1, 2100), postage_charged_pence=350)

    for _ in range(2):
        desk.cancel_order(order, now=MORNING)

    assert promise_of(ring, now=MORNING).can_promise == 1
    assert SalesDay.objects.get().sold == 0
    assert [line.pence for line in MoneyLine.objects.all()] == [-2450]

    request_id = new_id()
    for _ in range(2):
        desk.reopen_order(order, request_id=request_id, now=MORNING)

    assert promise_of(ring, now=MORNING).can_promise == 0
    assert (SalesDay.objects.get().sold, MoneyLine.objects.count()) == (1, 0)
    assert state_of_order(order, MORNING).verdict == "ready"


def test_cancelling_one_of_two_alike_settles_the_question_of_the_other():
    ring = a_set()
    first = an_order((ring, 1), number="L-1")
    second = an_order((ring, 1), number="L-2")
    before = state_of_order(second, MORNING).verdict

    desk.cancel_order(first, now=MORNING)

    assert (before, state_of_order(second, MORNING).verdict) == ("ask", "ready")
    assert second.questions.get().answer == "L-1 was cancelled."


def test_an_order_that_is_finished_is_left_alone():
    order = an_order((a_set(), 1))
    desk.cancel_order(order, now=MORNING)

    with pytest.raises(OrderNotOpen) as refused:
        desk.set_need_by(order, need_by=date(2027, 3, 7))

    assert "is cancelled by now" in str(refused.value)


def test_a_collected_order_leaves_the_shelf_as_sold():
    ring = a_set(held=5)
    order = an_order((ring, 2))
    request_id = new_id()

    for _ in range(2):
        desk.collect_order(order, request_id=request_id, now=MORNING)

    assert sellable_at_home([ring]) == {ring.pk: 3}
    assert Entry.objects.get(request_id=request_id).verb == "sold"
    assert Claim.objects.get().closed_how == "gone"
    assert Order.objects.get().state == "collected"
    assert balance_differences() == []


def test_a_collected_order_may_leave_from_the_fair_crate():
    ring = a_set(held=5)
    crate = stock.ensure_place("fair-crate", "Fair crate", kind="crate")
    order = an_order((ring, 2))

    desk.collect_order(order, request_id=new_id(), now=MORNING, place=crate)

    # Five at home on the shelf; the crate was never packed and is two below nought.
    assert sellable_at_home([ring]) == {ring.pk: 3}
    assert Entry.objects.filter(verb="sold").get().movements.get().from_place == crate


def a_set_in_two_places():
    """Two on the near shelf and one at home."""
    ring = a_set(held=3)
    stock.move_stock(
        ring,
        count=2,
        from_place=stock.ensure_place("shelf", "Shelf"),
        to_place=stock.ensure_place("near", "Near shelf", walk_order=1),
        request_id=new_id(),
        now=MORNING,
    )
    return ring


def test_goods_that_lie_in_two_places_leave_from_both_in_walking_order():
    ring = a_set_in_two_places()
    order = an_order((ring, 3))

    desk.collect_order(order, request_id=new_id(), now=MORNING)

    moves = Entry.objects.get(verb="sold").movements.order_by("pk")
    assert [(move.from_place.code, move.count) for move in moves] == [
        ("near", 2),
        ("shelf", 1),
    ]
    assert sellable_at_home([ring]) == {ring.pk: 0}


def test_sold_and_free_goods_in_one_packet_part_ways_and_add_up():
    ring = a_set_in_two_places()
    sold = an_order((ring, 1)).lines.get()
    free = an_order((ring, 2, 0), kind="goodwill", paid="free").lines.get()

    moves = leaving_moves([(sold, 1), (free, 2)])

    assert [(m.from_place.code, m.to_place.code, m.count) for m in moves] == [
        ("near", "sold", 1),
        ("near", "given", 1),
        ("shelf", "given", 1),
    ]


def test_an_unpaid_order_is_not_handed_over():
    order = an_unpaid_order((a_set(), 1))

    with pytest.raises(OrderNotPaid):
        desk.collect_order(order, request_id=new_id(), now=MORNING)


def test_a_postal_claim_is_opened_once_a_day():
    order = an_order((a_set(), 1))

    for _ in range(2):
        desk.open_postal_claim(order, opened_on=date(2027, 3, 2), note="broken")

    assert PostalClaim.objects.get().note == "broken"
