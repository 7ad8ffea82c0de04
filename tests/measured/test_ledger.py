"""The ledger of a million movements: what a write, a proof and a stock list cost."""

import json

import pytest

from tests.measured.books import run_on

pytestmark = pytest.mark.measured

# A family's shelf is not written to faster than this; ten a second would be plenty.
WRITES_A_SECOND_AT_LEAST = 50
# The sums are asked for by hand, and she waits. SQLite's own look at every page of a
# file of 400 MB is said beside them: it is as slow as the disk.
SUMS_SECONDS_AT_MOST = 20
# Of the processor: what a busy computer does besides is no part of it.
SALES_SECONDS_AT_MOST = 10

WRITE = """
import json, time
import django; django.setup()
from uuid import uuid4
from django.utils import timezone
from inventory import actions as stock
from inventory.models import Item, Place
item = Item.objects.get(code="SG-090")
shelf = item.home_place
away = Place.objects.get(code="fair-crate")
def write(one, other):
    move = stock.Move(item, 1, one, other)
    stock.write_entry([move], request_id=uuid4(), verb="moved", now=timezone.now())
for _ in range(20):
    write(shelf, away); write(away, shelf)
started = time.perf_counter()
for _ in range(100):
    write(shelf, away); write(away, shelf)
print(json.dumps(200 / (time.perf_counter() - started)))
"""
PROVE = """
import json, time
import django; django.setup()
from inventory.queries.balances import balance_differences
from studio.proof import prove_book
started = time.perf_counter()
balance_differences()
sums = time.perf_counter() - started
proof = prove_book()
whole = time.perf_counter() - started - sums
print(json.dumps([sums, whole, proof.movements, proof.faults]))
"""
PLANS = """
import json
import django; django.setup()
from inventory.models import Movement
def plan(*columns):
    rows = Movement.objects.filter(item=1).values_list(*columns, "count").order_by()
    return rows.explain()
print(json.dumps([plan("to_place", "to_state"), plan("from_place", "from_state")]))
"""
HEAD = ("work", "demo", "ten years")
PROVE_SALES = """
import json, time
from datetime import date
import django; django.setup()
from studio.sales_proof import sales_differences
started = time.process_time()
found = sales_differences(since=date(2000, 1, 1))
print(json.dumps([time.process_time() - started, len(found)]))
"""
TITLE = "The ledger"


def answers(program, *folders):
    return [json.loads(run_on(folder, program)) for folder in folders]


def test_an_entry_is_written_as_quickly_into_a_long_ledger(
    demo_book, long_book, figures
):
    demo, long = answers(WRITE, demo_book, long_book)

    figures.add(TITLE, HEAD, "entries written a second", f"{demo:.0f}", f"{long:.0f}")
    assert long >= WRITES_A_SECOND_AT_LEAST
    assert long >= demo / 1.5


def test_a_million_movements_are_added_up_while_she_waits(
    demo_book, long_book, figures
):
    demo, long = answers(PROVE, demo_book, long_book)

    for place, work in enumerate(
        ["seconds to add the ledger up", "seconds for the whole of verify"]
    ):
        figures.add(TITLE, HEAD, work, f"{demo[place]:.2f}", f"{long[place]:.2f}")
    figures.add(TITLE, HEAD, "movements", f"{demo[2]:,}", f"{long[2]:,}")
    assert long[3] == []
    assert long[0] <= SUMS_SECONDS_AT_MOST


def test_ten_years_of_sales_are_proved_while_she_waits(demo_book, long_book, figures):
    """What differs is the demo's year typed in, which has no orders, and no more."""
    demo, long = answers(PROVE_SALES, demo_book, long_book)

    work = "processor seconds to prove the sales"
    figures.add(TITLE, HEAD, work, f"{demo[0]:.2f}", f"{long[0]:.2f}")
    assert long[1] == demo[1]
    assert long[0] <= SALES_SECONDS_AT_MOST


def test_what_lies_where_is_added_up_from_the_index_alone(long_book):
    [(came, went)] = answers(PLANS, long_book)

    assert "COVERING INDEX moved_in" in came
    assert "COVERING INDEX moved_out" in went
