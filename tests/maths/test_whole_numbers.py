"""The whole-number planner against every plan there is, and against a textbook."""

from __future__ import annotations

from itertools import product

from hypothesis import given
from hypothesis import strategies as st

from studio.maths.whole_numbers import Best, Limit, maximise

COUNT = 4


@st.composite
def small_problems(draw):
    amounts = st.integers(-2, 4)
    gains = [draw(st.integers(-5, 9)) for _ in range(COUNT)]
    most = [draw(st.integers(0, 4)) for _ in range(COUNT)]
    limits = [
        Limit(dict(enumerate(draw(st.tuples(*[amounts] * COUNT)))), at_most)
        for at_most in draw(st.lists(st.integers(0, 12), max_size=4))
    ]
    return gains, limits, most


def best_of_all(gains, limits, most):
    def allowed(plan):
        return all(
            sum(use * plan[j] for j, use in limit.uses.items()) <= limit.at_most
            for limit in limits
        )

    plans = product(*(range(top + 1) for top in most))
    return max(
        sum(g * x for g, x in zip(gains, plan, strict=True))
        for plan in plans
        if allowed(plan)
    )


@given(small_problems())
def test_nothing_beats_the_plan_among_all_plans(problem):
    gains, limits, most = problem

    best = maximise(gains, limits, most)

    assert best.proven
    assert best.total == best_of_all(gains, limits, most)
    assert all(0 <= x <= top for x, top in zip(best.values, most, strict=True))
    for limit in limits:
        used = sum(use * best.values[j] for j, use in limit.uses.items())
        assert used <= limit.at_most


def test_the_textbook_knapsack_is_one_and_two():
    # Winston, Operations Research, knapsack example (from memory).
    best = maximise([11, 7, 12], [Limit({0: 4, 1: 3, 2: 5}, 10)], [9, 9, 9])

    assert best == Best((1, 2, 0), 25, proven=True)


def test_parts_that_share_no_limit_are_planned_apart():
    limits = [Limit({0: 2, 2: 3}, 7), Limit({1: 1}, 5), Limit({}, 3)]

    best = maximise([2, 1, 4], limits, [9, 9, 9])

    assert best.values == (2, 5, 1)


def test_a_search_cut_off_early_does_not_claim_a_proof():
    limits = [Limit({0: 4, 1: 3, 2: 5}, 10)]

    best = maximise([11, 7, 12], limits, [9, 9, 9], most_branches=1)

    assert not best.proven


def test_a_gain_of_one_is_worth_having():
    assert maximise([1], [], [1]) == Best((1,), 1, proven=True)
