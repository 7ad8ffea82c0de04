"""The best mix of a selling day: seconds, gap, and beside one bare general solver.

The bare solver is HiGHS with every sheet in its session from the start, in the same
run. Seconds are those of the processor, so that a busy computer changes little.
"""

from statistics import median
from time import process_time

import pytest

from production.mix.best import best_mix_for
from production.mix.model import MixModel
from production.mix.plan import broken_rules
from tests.production.mix_problems import usual_studio

SECONDS = 60.0
BARE_SECONDS = 20.0
pytestmark = pytest.mark.measured

STUDIOS = (
    # lines, layouts, sessions, how many, most seconds in the middle, most gap in 100
    pytest.param(8, 11, 4, 5, 1, 0, id="eight lines"),
    pytest.param(30, 25, 12, 5, 3, 0.1, id="thirty lines"),
    pytest.param(100, 80, 60, 1, 30, 0.5, id="a hundred lines"),
)


@pytest.mark.parametrize(
    ("lines", "layouts", "sessions", "many", "most_seconds", "most_gap"), STUDIOS
)
def test_the_best_mix_of_a_studio(
    lines, layouts, sessions, many, most_seconds, most_gap, figures
):
    taken, bare, gaps = [], [], []
    for seed in range(many):
        question = usual_studio(seed, lines, layouts, sessions)
        seconds, plan = timed(lambda question=question: best_mix_for(question, SECONDS))
        assert broken_rules(question, plan) == ()
        taken.append(seconds)
        gaps.append(100 * (plan.bound - plan.gain) / max(1, plan.bound))
        bare.append(bare_seconds(question))

    figures.add(
        "The best mix of a selling day",
        ("lines", "layouts", "sessions", "seconds", "gap in 100", "bare", "ratio"),
        lines,
        layouts,
        sessions,
        f"{median(taken):.2f}",
        f"{max(gaps):.3f}",
        f"{median(bare):.2f}",
        f"{median(bare) / max(0.01, median(taken)):.1f}",
    )
    assert median(taken) <= most_seconds
    assert max(gaps) <= most_gap


def timed(work):
    began = process_time()
    answer = work()
    return process_time() - began, answer


def bare_seconds(question):
    program = MixModel(question, by_session=True).program
    return timed(lambda: program.most(BARE_SECONDS))[0]
