"""A thousand packing slips take no longer apiece than one, in level memory.

Each count runs in a process of its own, because a process never gives back its peak.
"""

import json

import pytest

from studio import printing
from tests.measured.books import run_on
from tests.measured.paper_and_table_programs import SLIPS

pytestmark = pytest.mark.measured

FEW, MANY = 200, 1000
# Five times the slips: what may still grow is the finished PDF itself.
MOST_TIMES_THE_MEMORY = 1.5


@pytest.fixture
def pdf_can_be_made():
    possible, why_not = printing.pdf_available()
    if not possible:
        pytest.skip(why_not)


def slips(book, count):
    return json.loads(run_on(book, SLIPS, BENCH_POST_MEASURED_SLIPS=str(count)))


def test_a_thousand_slips_cost_no_more_apiece_and_no_more_memory(
    pdf_can_be_made, demo_book, figures
):
    few, many = (slips(demo_book, count) for count in (FEW, MANY))

    for count, run in ((FEW, few), (MANY, many)):
        figures.add(
            "Packing slips in one PDF",
            ("slips", "ms for one alone", "ms each", "peak MB", "PDF kB"),
            count,
            f"{1000 * run['one']:.0f}",
            f"{1000 * run['each']:.0f}",
            f"{run['peak_mb']:.0f}",
            f"{run['pdf_kb']:.0f}",
        )
    assert many["each"] <= many["one"]
    assert many["peak_mb"] <= MOST_TIMES_THE_MEMORY * few["peak_mb"]
