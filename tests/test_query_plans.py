"""Questions that would read ten years of closed work are answered from an index.

SQLite keeps no statistics here, so that its plan on an empty table is its plan on a
million rows; PostgreSQL weighs its plan by what is there, and is not asked.
"""

import pytest
from django.db import connection

from inventory.models import Claim, Movement
from orders.models import Order, Packet
from orders.views.orders import listed_orders
from tests.conftest import MORNING

pytestmark = [
    pytest.mark.django_db,
    pytest.mark.skipif(
        connection.vendor != "sqlite", reason="PostgreSQL weighs its plans by the rows."
    ),
]


def moved(*columns):
    return Movement.objects.filter(item=1).values_list(*columns, "count").order_by()


@pytest.mark.parametrize(
    ("ask", "index"),
    [
        (lambda: Claim.objects.filter(item__in=[1, 2]).live(on=MORNING), "live_claims"),
        (lambda: Packet.objects.live(), "packets_by_state"),
        (lambda: listed_orders().filter(state="posted"), "orders_by_state"),
        (lambda: Order.objects.open(), "orders_by_state"),
        (lambda: moved("to_place", "to_state"), "COVERING INDEX moved_in"),
        (lambda: moved("from_place", "from_state"), "COVERING INDEX moved_out"),
    ],
    ids=["claims", "packets", "posted", "open", "came", "went"],
)
def test_what_grows_with_the_years_is_looked_up_by_index(ask, index):
    plan = ask().explain()

    assert index in plan


def test_a_list_of_posted_orders_comes_sorted_from_its_index():
    plan = listed_orders().filter(state=Order.State.POSTED).explain()

    assert "TEMP B-TREE" not in plan
