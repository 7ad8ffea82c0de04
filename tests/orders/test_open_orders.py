"""What each open order of the demo waits for; the expected answers worked by hand."""

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from orders import actions as desk
from orders.models import Order, Question
from orders.queries.open_orders import open_orders, state_of_order
from tests.orders.world import MORNING, PLANNED, build_world

pytestmark = pytest.mark.django_db


@pytest.fixture
def states():
    build_world()
    return {state.number: state for state in open_orders(MORNING, planned=PLANNED)}


def test_of_28_open_orders_21_are_ready_and_7_wait_each_for_its_own_reason(states):
    waiting = {n: s.verdict for n, s in states.items() if not s.is_ready}

    assert len(states) == 28
    assert sum(state.is_ready for state in states.values()) == 21
    assert waiting == {
        "L-0433": "short",
        "L-0440": "unpaid",
        "L-0442": "ask",
        "L-0443": "collect",
        "L-0451": "short",
        "L-0453": "short",
        "L-0454": "ask",
    }


@pytest.mark.parametrize(
    ("number", "sentence"),
    [
        (
            "L-0433",
            "1 SG-045 is not there. SG-045 is next cut on Sat 6 March. "
            "RF-090 and FB-07 stay held for it.",
        ),
        ("L-0440", "Payment is awaited; the goods are held until Fri 5 March."),
        (
            "L-0442",
            "It asks for the same as L-0441, placed at 19:02, 2 minutes before. "
            "Is it wanted twice?",
        ),
        (
            "L-0443",
            "It is collected on Sat 13 March at the Cobbleford Spring Stitch Fair: "
            "do not post it.",
        ),
        (
            "L-0453",
            "FB-07 is short: what is there belongs to L-0433. "
            "It cannot be bought again.",
        ),
        ("L-0454", "There is no house number or house name before Rope Lane."),
        ("L-0460", "Everything is there, and there is nothing to ask."),
    ],
)
def test_each_order_says_what_it_waits_for(states, number, sentence):
    assert states[number].sentence == sentence


def test_the_last_bundle_stays_held_for_who_paid_first(states):
    sending = [(line.sends.code, n) for line, n in states["L-0433"].sending]

    assert sending == [("RF-090", 1), ("FB-07", 1)]
    assert states["L-0453"].sending == ()


def test_what_she_answers_makes_the_order_ready(states):
    question = Question.objects.get(order__number="L-0442")

    from_now_on = answered(question)

    assert from_now_on.verdict == "ready"


def answered(question):
    desk.answer_question(question, answer="Wanted twice.", now=MORNING)
    return state_of_order(question.order, MORNING)


def test_an_order_sent_in_two_parts_is_ready_with_what_is_there(states):
    order = Order.objects.get(number="L-0433")
    Order.objects.filter(pk=order.pk).update(sends_part=True)

    state = state_of_order(order, MORNING, planned=PLANNED)

    assert state.verdict == "ready"
    assert [line.sends.code for line, _ in state.sending] == ["RF-090", "FB-07"]


def test_reading_all_orders_takes_as_many_questions_as_reading_three():
    build_world()
    three = Order.objects.filter(number__in=["L-0440", "L-0442", "L-0453"])

    with CaptureQueriesContext(
        connection,
    ) as few:
        open_orders(MORNING, orders=three)
    with CaptureQueriesContext(connection) as many:
        open_orders(MORNING)

    # Orders, lines with what they ask for, questions with the other orders they name,
    # what is at home, the live claims, arrivals.
    assert (len(few), len(many)) == (6, 6)
