"""The pages of orders: what they say, what their buttons do, and who may press them."""

from datetime import timedelta

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from inventory import actions as stock
from inventory.queries.promises import promise_of
from orders import actions as desk
from orders.models import Order
from orders.queries.post_day import post_day
from studio.models import StudioSettings
from tests.factories.orders import (
    MORNING,
    YESTERDAY,
    a_person,
    a_post,
    a_set,
    an_order,
    an_outlet,
    an_unpaid_order,
    new_id,
)
from tests.orders.world import build_world

pytestmark = pytest.mark.django_db


@pytest.fixture
def owner(client):
    StudioSettings.objects.get_or_create(
        pk=1, defaults={"name": "The loft", "clock_stands_at": MORNING}
    )
    StudioSettings.objects.update(clock_stands_at=MORNING)
    client.force_login(a_person())
    return client


@pytest.fixture
def packer(client):
    client.force_login(a_person("Posy Oakenby", "packer"))
    return client


def words_of(page):
    return " ".join(page.content.decode().split())


def press(client, url, **more):
    return client.post(url, {"request_id": new_id(), **more}, follow=True)


def undo_of(page):
    return page.context["undo"]["url"]


# ------------------------------------------------------------------ the list


def test_the_list_opens_with_what_waits_for_her(owner):
    build_world()

    page = words_of(owner.get("/orders/"))

    assert "28 open orders: 21 are ready, 7 wait for you." in page
    assert "FB-07 is short: what is there belongs to L-0433." in page


@pytest.mark.parametrize(
    ("asked", "found"),
    [
        ({"q": "thornap"}, {"L-0439", "L-0447", "L-0455", "L-0459"}),
        ({"q": "ZY6 4GU"}, {"L-0454"}),
        ({"q": "0433"}, {"L-0433"}),
        ({"q": "tin roof"}, {"L-0433", "L-0453"}),
        ({"q": "nobody"}, set()),
        ({"state": "posted"}, set()),
    ],
)
def test_an_order_is_found_by_any_scrap(owner, asked, found):
    build_world()

    table = owner.get("/orders/", asked).context["table"]

    assert {row.record.number for row in table.rows} == found


@pytest.mark.parametrize("count", [1, 3, 300])
def test_the_list_takes_as_many_questions_for_one_order_as_for_many(owner, count):
    ring = a_set(held=1000)
    a_person("Posy Oakenby", "packer")
    for number in range(count):
        an_order((ring, 1), buyer=f"Buyer {number}")
    owner.get("/orders/")

    with CaptureQueriesContext(
        connection,
    ) as asked:
        page = owner.get("/orders/")

    # The studio, the session, the person; what the bench has planned; orders, lines,
    # questions, what is at home, the live claims, arrivals; how many rows, the rows,
    # their lines; the outlets of the filter.
    assert page.status_code == 200
    assert len(asked) == 14


# ------------------------------------------------------------------ one order


def test_the_page_of_a_short_order_lays_out_the_ways(owner):
    build_world()

    page = words_of(owner.get("/orders/of/L-0433/"))

    assert "L-0433, Bettina Tolliver-Nash: short." in page
    assert "RF-090 and FB-07 stay held for it." in page
    assert "Send what is there" in page
    assert "Take SG-045 off and refund it" in page


@pytest.mark.parametrize(
    ("number", "says"),
    [
        ("L-0440", "Payment is awaited; the goods are held until Fri 5 March."),
        ("L-0442", "It is a double: cancel L-0442"),
        ("L-0443", "It was handed over"),
        ("L-0445", "£0.50 is paid back"),
        ("L-0454", "Complete the address"),
        ("L-0435", "Many happy returns, with love from Skelby Quay"),
        ("L-0444", "It goes abroad and needs a customs form."),
        ("L-0449", "sent without charge"),
    ],
)
def test_each_order_of_the_demo_offers_what_it_needs(owner, number, says):
    build_world()

    assert says in words_of(owner.get(f"/orders/of/{number}/"))


def test_an_order_number_may_hold_strokes(owner):
    order = an_order((a_set(), 1), number="2027/03/1")

    page = owner.get(order.get_absolute_url())
    press(owner, "/orders/do/cancel/2027/03/1/")

    assert page.status_code == 200
    assert Order.objects.get().state == "cancelled"


def test_a_posted_order_says_when(owner):
    a_post()
    order = an_order((a_set(), 1), number="L-1")
    run = desk.make_post_run(
        MORNING.date(),
        packets=post_day(MORNING).new_figures,
        request_id=new_id(),
        now=MORNING,
    )
    desk.post_packets(run.packets.all(), request_id=new_id(), now=MORNING)

    page = words_of(owner.get(order.get_absolute_url()))

    assert "L-1, Averil Oddlestone: posted on Wed 3 March." in page
    assert "It was lost or broken in the post" in page
    assert "Cancel the order" not in page


def test_reading_one_order_takes_a_fixed_number_of_questions(owner):
    ring, glass = a_set("RF-090"), a_set("SG-030")
    small = an_order((ring, 1))
    large = an_order((ring, 1), (glass, 1), (ring, 2), buyer="Una")
    owner.get(small.get_absolute_url())

    with CaptureQueriesContext(connection) as few:
        owner.get(small.get_absolute_url())
    with CaptureQueriesContext(connection) as many:
        owner.get(large.get_absolute_url())

    assert len(few) == len(many)


# ------------------------------------------------------------------ its buttons


def test_cancelling_is_one_button_and_its_undo_another(owner):
    ring = a_set(held=1)
    order = an_order((ring, 1))

    page = press(owner, f"/orders/do/cancel/{order.number}/")
    cancelled = Order.objects.get().state
    press(owner, undo_of(page))

    assert (cancelled, Order.objects.get().state) == ("cancelled", "open")
    assert promise_of(ring, now=MORNING).can_promise == 0


def test_a_collected_order_can_come_back(owner):
    ring = a_set(held=2)
    order = an_order((ring, 2))
    desk.set_collection(order, on=MORNING.date(), at="the loft", now=MORNING)

    page = press(owner, f"/orders/do/collected/{order.number}/")
    collected = Order.objects.get().state
    press(owner, undo_of(page))

    assert (collected, Order.objects.get().state) == ("collected", "open")
    line = order.lines.get()
    assert (line.gone, line.claim.count, line.claim.closed_at) == (0, 2, None)
    assert promise_of(ring, now=MORNING).raw == 0


def test_splitting_and_taking_off_have_their_undo(owner):
    ring, glass = a_set("RF-090"), a_set("SG-045", held=0)
    order = an_order((ring, 1), (glass, 1))
    line = order.lines.get(item=glass)

    split = press(owner, f"/orders/do/split/{order.number}/")
    was_split = Order.objects.get().sends_part
    press(owner, undo_of(split))
    off = press(owner, f"/orders/do/refund-line/{line.pk}/{order.number}/")
    was_off = order.lines.get(item=glass).taken_off
    press(owner, undo_of(off))

    assert (was_split, was_off) == (True, 1)
    assert Order.objects.get().sends_part is False
    assert order.lines.get(item=glass).owed == 1
    assert promise_of(glass, now=MORNING).short == 1


def test_a_question_is_answered_and_asked_again(owner):
    order = an_order((a_set(), 1), address="Rope Lane, Orrinmouth, ZY6 4GU")
    question = order.questions.get()

    page = press(
        owner,
        f"/orders/do/answer/{question.pk}/{order.number}/",
        answer="Everybody knows it.",
    )
    answered = order.questions.get().answer
    press(owner, undo_of(page))

    assert (answered, order.questions.get().answer) == ("Everybody knows it.", "")


def test_an_empty_answer_is_no_answer(owner):
    order = an_order((a_set(), 1), address="Rope Lane, Orrinmouth, ZY6 4GU")
    question = order.questions.get()

    page = press(owner, f"/orders/do/answer/{question.pk}/{order.number}/", answer=" ")

    assert "There is no answer written." in words_of(page)
    assert order.questions.get().answered_at is None


def test_a_question_of_another_order_is_not_found(owner):
    order = an_order((a_set(), 1), address="Rope Lane, Orrinmouth, ZY6 4GU")
    other = an_order((a_set("SG-030"), 1), buyer="Una")

    page = press(
        owner,
        f"/orders/do/answer/{order.questions.get().pk}/{other.number}/",
        answer="x",
    )

    assert page.status_code == 404


def test_a_button_without_the_id_of_its_page_does_nothing(owner):
    order = an_order((a_set(), 1))

    page = owner.post(f"/orders/do/cancel/{order.number}/", follow=True)

    assert "This page cannot be sent as it is." in words_of(page)
    assert Order.objects.get().state == "open"


def test_a_refund_is_marked_paid_on_its_page(owner):
    build_world()
    order = Order.objects.get(number="L-0445")
    swap = order.lines.get().swap

    press(owner, f"/orders/do/refund-paid/{swap.pk}/L-0445/")

    swap.refresh_from_db()
    assert swap.refund_paid_at == MORNING


# ------------------------------------------------------------------ its small pages


def test_it_is_paid(owner):
    order = an_unpaid_order((a_set(), 1))
    start = words_of(owner.get(f"/orders/do/pay/{order.number}/"))

    press(owner, f"/orders/do/pay/{order.number}/", paid_on="2 March")

    assert "Wed 3 March 2027" in start
    order.refresh_from_db()
    assert (order.paid, order.paid_at.date()) == ("paid", YESTERDAY.date())


def test_what_is_not_a_day_is_kept_and_said(owner):
    order = an_unpaid_order((a_set(), 1))

    page = press(owner, f"/orders/do/pay/{order.number}/", paid_on="30 February")

    assert "30 February does not exist" in words_of(page)
    assert 'value="30 February"' in words_of(page)


def test_a_payment_still_to_come_is_refused(owner):
    order = an_unpaid_order((a_set(), 1))

    page = press(owner, f"/orders/do/pay/{order.number}/", paid_on="4 March")

    assert "which is still to come" in words_of(page)
    assert Order.objects.get().paid == "awaited"


@pytest.mark.parametrize(
    ("act", "typed", "column", "value"),
    [
        ("need-by", {"need_by": "7 March"}, "need_by", "2027-03-07"),
        ("hold", {"until": "5 March"}, "held_until", "2027-03-05 23:59:00+00:00"),
        (
            "address",
            {"address": "9 Rope Lane\nOrrinmouth\nzy6 4gu"},
            "postcode",
            "ZY6 4GU",
        ),
        (
            "gift",
            {"recipient": "Fern", "address": "8 Weir Lane, Thrimble, ZY6 2FR"},
            "recipient_name",
            "Fern",
        ),
        ("collection", {"on": "13 March", "at": "the fair"}, "collect_at", "the fair"),
    ],
)
def test_each_small_page_changes_its_order(owner, act, typed, column, value):
    order = an_unpaid_order((a_set(), 1))
    address = f"/orders/do/{act}/{order.number}/"
    opened = owner.get(address).status_code

    press(owner, address, **typed)

    order.refresh_from_db()
    assert (opened, str(getattr(order, column))) == (200, value)


def test_a_swap_is_found_by_name_and_refunds_the_difference(owner):
    wanted, instead = a_set("FB-05", held=0), a_set("FB-02", name="Fog on the Fell")
    stock.set_price(
        instead, outlet=an_outlet(), price_pence=2400, valid_from=YESTERDAY.date()
    )
    order = an_order((wanted, 1, 2450))

    page = press(
        owner,
        f"/orders/do/swap/{order.number}/",
        line=order.lines.get().pk,
        item="fog on the fell",
    )

    assert "FB-02 goes instead of FB-05. £0.50 is to be paid back." in words_of(page)
    assert order.lines.get().sends == instead


def test_a_swap_to_what_is_not_there_says_so_and_keeps_what_was_typed(owner):
    order = an_order((a_set("FB-05", held=0), 1))
    a_set("FB-02", held=0)
    line = order.lines.get()

    nothing = press(
        owner, f"/orders/do/swap/{order.number}/", line=line.pk, item="FB-99"
    )
    short = press(
        owner,
        f"/orders/do/swap/{order.number}/",
        line=line.pk,
        item="FB-02",
        refund="0",
    )

    assert "There is no item like “FB-99”." in words_of(nothing)
    assert "1 of FB-02 were asked for and 0 can be promised." in words_of(short)
    assert 'value="FB-02"' in words_of(short)


# ------------------------------------------------------------------ who may


def test_the_packer_reads_and_changes_nothing(packer):
    order = an_order((a_set(), 1, 2100))

    page = words_of(packer.get(order.get_absolute_url()))
    refused = press(packer, f"/orders/do/cancel/{order.number}/")

    assert "RF-090" in page
    assert "£21.00" not in page
    assert "Cancel the order" not in page
    assert refused.status_code == 403
    assert Order.objects.get().state == "open"


@pytest.mark.parametrize(
    "address", ["/orders/add/", "/orders/files/", "/orders/do/pay/L-1/"]
)
def test_the_packer_does_not_open_what_changes_orders(packer, address):
    an_unpaid_order((a_set(), 1), number="L-1")

    assert packer.get(address).status_code == 403


# ------------------------------------------------------------------ typed in


TYPED = {
    "number": "T-1",
    "placed_on": "2 March 2027",
    "placed_time": "14:30",
    "buyer": "Hilde Kettleby-Ash",
    "address": "5 Mill Row\nHexwold\nZY8 8JQ",
    "paid": "paid",
    "lines": "4",
    "line0-item": "RF-090 Set RF-090",
    "line0-count": "2",
    "line0-price": "21.00",
}


def type_in(client, **changed):
    typed = TYPED | {"outlet": an_outlet().pk, "request_id": new_id()} | changed
    return client.post("/orders/add/", typed, follow=True)


def test_an_order_is_typed_in(owner):
    a_set(held=5)
    opened = words_of(owner.get("/orders/add/"))

    type_in(owner)

    order = Order.objects.get()
    line = order.lines.get()
    assert "Take the order in" in opened
    assert (order.number, order.postcode, order.paid_at) == (
        "T-1",
        "ZY8 8JQ",
        YESTERDAY + timedelta(hours=4, minutes=30),
    )
    assert (line.item.code, line.count, line.price_pence) == ("RF-090", 2, 2100)


def test_an_empty_price_is_the_usual_price_of_the_day(owner):
    ring = a_set(held=5)
    for pence, day in ((1900, YESTERDAY - timedelta(days=9)), (2300, MORNING)):
        stock.set_price(
            ring, outlet=an_outlet(), price_pence=pence, valid_from=day.date()
        )

    type_in(owner, **{"line0-price": ""})

    assert Order.objects.get().lines.get().price_pence == 1900


@pytest.mark.parametrize(
    ("changed", "says"),
    [
        ({"number": ""}, "Order number is empty. Fill it in, please."),
        ({"buyer": ""}, "Name is empty."),
        ({"address": ""}, "Address is empty."),
        ({"placed_on": "31/02/2027"}, "31 February does not exist"),
        ({"placed_on": "5 March 2027"}, "which is still to come"),
        ({"line0-count": "1.5"}, "1.5 is not a number of goods"),
        ({"line0-count": "-1"}, "-1 is not a number of goods"),
        ({"line0-count": "1000000"}, "1000000 is not a number of goods"),
        ({"line0-item": "QX-9"}, "There is no item like “QX-9”."),
        ({"line0-item": ""}, "It does not say what of."),
        ({"line0-price": "1.005"}, "goes beyond whole pence"),
        ({"line0-price": ""}, "RF-090 has no price here yet."),
        ({"discount": "120"}, "Write a whole number from 0 to 100."),
        (
            {"line0-item": "", "line0-count": "", "line0-price": ""},
            "T-1 has no lines.",
        ),
        ({"recipient": "Fern"}, "there is no address for them"),
        ({"paid": "awaited", "line0-count": "6"}, "5 can be promised"),
    ],
)
def test_what_cannot_be_right_is_said_and_what_was_typed_is_kept(owner, changed, says):
    a_set(held=5)

    page = words_of(type_in(owner, **changed))

    assert says in page
    kept = (TYPED | changed)["buyer"] or TYPED["placed_time"]
    assert kept in page
    assert Order.objects.count() == 0


def test_a_scrap_of_a_name_is_answered_with_what_it_may_mean(owner):
    a_set(held=5)

    page = words_of(type_in(owner, **{"line0-item": "set 090"}))

    assert not Order.objects.exists()
    said = "There is no item like “set 090”. Did you mean RF-090 (Set RF-090)?"
    assert page.count(said) == 2
    assert f'<a class="alone" href="#id_line0-item">Line 1: {said}</a>' in page


def test_an_order_number_known_already_is_refused_at_its_box(owner):
    an_order((a_set(held=5), 1), number="T-1")

    page = type_in(owner)

    assert page.context["form"].errors["number"] == [
        "T-1 is in the book already. Give this order another number."
    ]


def test_the_same_form_sent_twice_is_one_order(owner):
    a_set(held=5)
    request_id = new_id()

    for _ in range(2):
        type_in(owner, request_id=request_id)

    assert Order.objects.count() == 1


def test_more_lines_keeps_what_was_typed(owner):
    a_set(held=5)

    page = type_in(owner, more_lines="yes", buyer="")

    assert len(page.context["lines"]) == 8
    assert "Fill it in, please." not in words_of(page)
    assert "RF-090 Set RF-090" in words_of(page)


def test_the_next_number_follows_the_newest_order(owner):
    an_order((a_set(), 1), number="L-0099")

    assert 'value="L-0100"' in words_of(owner.get("/orders/add/"))
