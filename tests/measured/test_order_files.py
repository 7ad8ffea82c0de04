"""A file of ten thousand orders goes in at a pace that does not fall.

The same file is cut to a tenth for comparison; each is read into a book of its own.
"""

import json
import shutil

import pytest

from tests.measured.books import run_on

pytestmark = pytest.mark.measured

FEW, MANY = 1000, 10_000
MOST_TIMES_APIECE = 1.5

TAKE_FILE = """
import csv, io, json, os, time
import django; django.setup()
from uuid import uuid4
from django.db import connection
from inventory.models import Item
from orders import actions as desk
from orders.models import FileMatch, Order
from studio import clock

count = int(os.environ["BENCH_POST_MEASURED_ROWS"])
match = FileMatch.objects.get(outlet__code="web")
codes = list(Item.objects.filter(is_sold=True).values_list("code", flat=True))
file = io.StringIO()
rows = csv.DictWriter(file, list(match.columns.values()))
rows.writeheader()
for n in range(count):
    own = {"number": f"N-{n}", "placed_at": "01/03/2027 09:00", "paid": "01/03/2027",
           "buyer": f"Buyer {n}", "address": f"{n} Rope Lane, Marrowick",
           "postcode": "ZY1 1AP", "item": codes[n % len(codes)], "count": "1",
           "price": "21.00"}
    rows.writerow({heading: own.get(word, "") for word, heading in match.columns.items()})
asked = 0
def count_asked(execute, *rest):
    global asked
    asked += 1
    return execute(*rest)
started = time.process_time()
with connection.execute_wrapper(count_asked):
    run = desk.take_file(match, file_name="long.csv", content=file.getvalue().encode(),
                         request_id=uuid4(), now=clock.now())
took = time.process_time() - started
print(json.dumps({"added": run.added, "seconds": took, "queries": asked}))
"""


@pytest.fixture
def books(demo_book, tmp_path):
    """Two copies of the demo's book that may be written into."""
    return [shutil.copytree(demo_book, tmp_path / str(count)) for count in (FEW, MANY)]


def taken(book, count):
    return json.loads(run_on(book, TAKE_FILE, BENCH_POST_MEASURED_ROWS=str(count)))


def test_ten_thousand_orders_go_in_at_the_pace_of_a_thousand(books, figures):
    few, many = (
        taken(book, count) for book, count in zip(books, (FEW, MANY), strict=True)
    )

    for count, run in ((FEW, few), (MANY, many)):
        figures.add(
            "A file of orders taken in",
            ("orders", "processor s", "ms an order", "queries an order"),
            f"{count:,}",
            f"{run['seconds']:.1f}",
            f"{1000 * run['seconds'] / count:.1f}",
            f"{run['queries'] / count:.1f}",
        )
    assert (few["added"], many["added"]) == (FEW, MANY)
    assert many["queries"] / MANY <= few["queries"] / FEW
    assert many["seconds"] / MANY <= MOST_TIMES_APIECE * few["seconds"] / FEW
