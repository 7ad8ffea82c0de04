"""The mix against SciPy's solver on one plain program; run with -m reference."""

import pytest

from production.mix.best import best_mix_for
from production.mix.plan import broken_rules
from tests.production.mix_problems import tiny_studio, usual_studio

pytestmark = pytest.mark.reference

bare = pytest.importorskip(
    "tests.production.mix_bare", reason="SciPy is the second solver here."
)


@pytest.mark.parametrize("seed", range(1000, 1200))
def test_tiny_studios_gain_the_same_to_the_penny(seed):
    question = tiny_studio(seed)
    other = bare.bare_model(question).solve()

    plan = best_mix_for(question)

    if other.status == 2:
        assert plan.short
    else:
        assert not plan.short
        assert plan.gain == round(-other.fun)
        assert plan.proven


@pytest.mark.parametrize("seed", range(60))
def test_studios_of_eight_lines_gain_the_same_to_the_penny(seed):
    question = usual_studio(seed, lines=8, layouts=7, sessions=3)
    other = bare.bare_model(question).solve()

    plan = best_mix_for(question, seconds=60)

    assert plan.gain == round(-other.fun)
    assert broken_rules(question, plan) == ()
