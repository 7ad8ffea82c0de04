"""A thousand sessions sent twice and out of order by four phones: nothing is lost.

What is told of time is how it grows while the book fills, never how long it took.
"""

import json
import subprocess
import sys
from itertools import pairwise

import pytest

from studio.computer import ROOT
from tests.measured import phones
from tests.measured.books import environment, run_on

pytestmark = pytest.mark.measured

# A press costs the same work in a full book as in a young one; the rest is chance.
MOST_GROWTH = 1.5
PROGRAM = """
import json
import django; django.setup()
from tests.measured import phones
print(json.dumps(phones.{}))
"""


def all_at_once(folder):
    """Let four processes send at the same time; return what each of them says."""
    running = [
        subprocess.Popen(  # noqa: S603 - a program written here
            [sys.executable, "-c", PROGRAM.format(f"send({phone})")],
            cwd=ROOT,
            env=environment(folder),
            stdout=subprocess.PIPE,
            encoding="utf-8",
        )
        for phone in range(phones.PHONES)
    ]
    answers = [process.communicate()[0] for process in running]
    assert [process.returncode for process in running] == [0] * phones.PHONES
    return [json.loads(answer) for answer in answers]


@pytest.fixture(scope="module")
def sent(tmp_path_factory):
    folder = tmp_path_factory.mktemp("phones")
    run_on(folder, PROGRAM.format("prepare()"))
    quarters = all_at_once(folder)
    book, wrong, differences = json.loads(run_on(folder, PROGRAM.format("count()")))
    return quarters, book, wrong, differences


def test_no_piece_is_lost_or_doubled(sent):
    _, book, wrong, differences = sent

    assert book == phones.what_was_cut()
    assert (wrong, differences) == ([], 0)


def test_a_press_costs_no_more_in_a_full_book(sent, figures):
    quarters = sent[0]
    columns = list(zip(*quarters, strict=True))
    each = [
        1000 * sum(seconds for seconds, *_ in column) / sum(s + a for _, s, a in column)
        for column in columns
    ]

    for place, (column, cost) in enumerate(zip(columns, each, strict=True), start=1):
        figures.add(
            "A thousand sessions by four phones, processor ms a press",
            ("quarter", "sent", "sent again", "ms a press"),
            place,
            sum(first for _, first, _ in column),
            sum(again for *_, again in column),
            f"{cost:.1f}",
        )
    assert each[-1] <= MOST_GROWTH * each[0]
    assert all(later <= MOST_GROWTH * before for before, later in pairwise(each))
