"""A thousand packing slips take no longer apiece than one, and stay in bounds.

Laying out is level in memory; joining the stacks is not, because the structure tree of
the whole paper is held while it is put together. So the memory is bounded by the slip.
Each count runs in a process of its own, because a process never gives back its peak.
"""

import json

import pytest

from studio import printing
from tests.measured.books import run_on
from tests.measured.paper_and_table_programs import SLIPS

pytestmark = pytest.mark.measured

FEW, MANY = 200, 1000
MOST_MEGABYTES_A_SLIP = 1


@pytest.fixture
def pdf_can_be_made():
    possible, why_not = printing.pdf_available()
    if not possible:
        pytest.skip(why_not)


def slips(book, count):
    return json.loads(run_on(book, SLIPS, BENCH_POST_MEASURED_SLIPS=str(count)))


def test_a_thousand_slips_cost_no_more_apiece_than_one_alone(
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
    more_mb = many["peak_mb"] - few["peak_mb"]
    assert more_mb <= MOST_MEGABYTES_A_SLIP * (MANY - FEW)
