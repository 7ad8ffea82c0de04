"""A first small batch that can tell a flop from a keeper."""

import random
from datetime import date
from math import exp

import pytest
from hypothesis import given
from hypothesis import strategies as st

from inventory.demand import Belief
from inventory.selling.trial import (
    ChanceOutOfRange,
    Decision,
    RatesOutOfOrder,
    TrialCannotTell,
    judge_trial,
    plan_trial,
    rate_that_repays,
)
from studio.maths.binomials import likely_hits
from studio.maths.chances import gamma_quantile
from tests.inventory.selling import worked

MARCH = date(2027, 3, 1)


def a_trial(**asked):
    return plan_trial(
        **{"begins_on": MARCH, "flop_per_week": 0.3, "keep_per_week": 1.0} | asked
    )


@pytest.mark.parametrize(
    "row", worked.rows("selling_trials.csv"), ids=lambda row: row["accepted"]
)
def test_a_rule_tells_two_rates_apart_as_printed_plans_do(row):
    """A flop is taken by mistake 5 times in 100, a keeper sent away 10 in 100.

    A printed plan that accepts up to c defects keeps at c + 1 sales, and the two rates
    it can tell apart stand in the printed ratio. A hair more of a ratio is enough; a
    hundredth less of it needs one sale more.
    """
    keep_at, flop = int(row["accepted"]) + 1, float(row["mean_at_95"])
    chances = {"keeps_a_flop": 0.05, "stops_a_keeper": 0.1, "most_weeks": 100_000}
    slow = {"flop_per_week": flop / 10_000}
    keep = flop / 10_000 * float(row["ratio"])

    just = a_trial(**slow, keep_per_week=keep * 1.003, **chances)
    too_close = a_trial(**slow, keep_per_week=keep * 0.99, **chances)

    assert (just.keep_at, too_close.keep_at) == (keep_at, keep_at + 1)
    assert just.weeks == pytest.approx(10_000, rel=0.015)


def test_the_rule_is_written_down_before():
    # Worked by hand with Poisson tables: 2.4 and 8 expected in eight weeks,
    # P(X >= 5 | 2.4) = .0959 and P(X <= 4 | 8) = .0996; with 4 no week will do.
    trial = a_trial(made_in=3, cost_pence=500)

    assert (trial.keep_at, trial.weeks, trial.quantity) == (5, 8, 6)
    assert trial.review_on == date(2027, 4, 26)
    assert trial.keeps_a_flop == pytest.approx(0.0959, abs=5e-5)
    assert trial.stops_a_keeper == pytest.approx(0.0996, abs=5e-5)
    assert trial.rule == (
        "Make 6. Keep the size if 5 or more are sold in 8 weeks in stock, or as soon as "
        "they are; stop it if fewer are. Decide on Mon 26 April 2027, later by each day "
        "it is out of stock. Television, fairs and what comes back do not count."
    )


def test_a_flop_leaves_money_in_what_it_did_not_sell():
    # Closed form for one piece: 1 - exp(-0.1) are sold; exp(-0.1) x 1000p are stuck.
    trial = a_trial(flop_per_week=0.01, keep_per_week=0.3, cost_pence=1000)

    assert (trial.quantity, trial.weeks) == (1, 8)
    assert trial.stuck_pence == round(1000 * exp(-0.08))


def test_how_likely_it_is_kept_by_what_is_believed():
    # Closed form: Gamma(1, 1) over 8 weeks is geometric with p = 1 / 9; 5 or more.
    trial = a_trial(belief=Belief(1, 1))

    assert trial.likely_kept == pytest.approx((8 / 9) ** 5)
    assert trial.sentences[2] == "By the sizes made it is kept 55 times in 100."


@pytest.mark.parametrize(
    ("sold", "weeks", "decision", "sentence"),
    [
        (5, 3.0, "KEEP", "5 sold, 5 are needed to keep it: keep it."),
        (4, 8.0, "STOP", "4 sold, 5 are needed to keep it: stop it."),
        (0, 9.5, "STOP", "None sold, 5 are needed to keep it: stop it."),
        (
            4,
            6.5,
            "WAIT",
            "4 sold, 5 are needed to keep it, and it has to be in stock 1.5 weeks more: "
            "wait.",
        ),
        (
            -1,
            9.0,
            "CANNOT_SAY",
            "More came back than was sold. Look at the corrections before deciding.",
        ),
    ],
)
def test_the_rule_decides(sold, weeks, decision, sentence):
    verdict = judge_trial(a_trial(), sold, weeks)

    assert (verdict.decision, verdict.sentence) == (Decision[decision], sentence)


@pytest.mark.parametrize(("flop", "keep"), [(1, 1), (2, 1), (-0.1, 1), (0, 0)])
def test_a_flop_that_sells_like_a_keeper_is_refused(flop, keep):
    with pytest.raises(RatesOutOfOrder, match="sell faster than a flop"):
        a_trial(flop_per_week=flop, keep_per_week=keep)


@pytest.mark.parametrize("chance", [0, 0.5, -1, 2, float("nan")])
def test_a_chance_of_going_wrong_has_its_bounds(chance):
    with pytest.raises(ChanceOutOfRange, match="One in ten is usual"):
        a_trial(keeps_a_flop=chance)


def test_too_little_time_says_how_much_it_takes():
    with pytest.raises(TrialCannotTell, match="It takes 8 weeks in stock") as told:
        a_trial(most_weeks=7)

    assert told.value.weeks_needed == 8


def test_rates_too_close_are_not_told_apart():
    with pytest.raises(TrialCannotTell, match="not told apart by a small batch"):
        a_trial(flop_per_week=1.0, keep_per_week=1.001)


def test_a_size_that_never_sells_is_a_flop_at_the_first_sale():
    # Worked by hand: exp(-w) <= 0.1 from w = ln 10 = 2.3 weeks on.
    trial = a_trial(flop_per_week=0)

    assert (trial.keep_at, trial.weeks) == (1, 3)


def test_a_flop_is_what_does_not_repay_its_beginnings():
    # Worked by hand: £60 once at £5 a set are 12 sets, in 24 weeks one every two weeks.
    assert rate_that_repays(6000, 500, 24) == pytest.approx(0.5)
    assert rate_that_repays(6000, 0, 24) is None
    assert rate_that_repays(6000, 500, 0) is None


@given(st.floats(0.02, 2), st.floats(1.6, 12))
def test_no_smaller_number_and_no_shorter_time_would_tell(flop, ratio):
    trial = a_trial(flop_per_week=flop, keep_per_week=flop * ratio, most_weeks=100_000)

    assert trial.keeps_a_flop <= 0.1 + 1e-6
    assert trial.stops_a_keeper <= 0.1 + 1e-6
    if trial.weeks > 1:
        a_week_less = (trial.weeks - 1) * trial.keep_per_week
        assert gamma_quantile(0.9, trial.keep_at) > a_week_less


def poisson(rng, mean):
    gone, count = rng.expovariate(1), 0
    while gone < mean:
        gone, count = gone + rng.expovariate(1), count + 1
    return count


@pytest.mark.parametrize(
    ("rate", "what"), [(0.3, "keeps_a_flop"), (1.0, "stops_a_keeper")]
)
def test_the_rule_goes_wrong_as_often_as_it_says(rate, what):
    """2,000 trials of sizes of known rate; 999 times in 1,000 luck stays inside."""
    rng = random.Random(17)
    trial = a_trial()
    wrong = Decision.KEEP if what == "keeps_a_flop" else Decision.STOP

    verdicts = [
        judge_trial(
            trial, min(trial.quantity, poisson(rng, rate * trial.weeks)), trial.weeks
        ).decision
        for _ in range(2000)
    ]

    low, high = likely_hits(2000, getattr(trial, what), 0.999)
    assert low <= verdicts.count(wrong) <= high
