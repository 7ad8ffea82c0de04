"""A thousand packing slips take no longer apiece than one, and no more memory than few.

Two hundred are the most that carry their reading order; a longer pile does without.
Each count runs in a process of its own, because a process never gives back its peak.
"""

import json

import pytest

from studio import printing
from tests.measured.books import run_on
from tests.measured.paper_and_table_programs import SLIPS

pytestmark = pytest.mark.measured

FEW, MANY = 200, 1000
# A process measured twice differs by a few megabytes.
NO_MORE = 1.1


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
    assert many["peak_mb"] <= NO_MORE * few["peak_mb"]
