"""How well last time's advice held, told in the open."""

import random
from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from inventory.demand import Belief
from inventory.selling.calibration import (
    Advice,
    Held,
    how_often_some_were_left,
    how_well_ranges_held,
    luck_of,
)
from studio.maths.binomials import likely_hits

MARCH = date(2027, 3, 1)


def advice(sold, low=4, high=12, offered=20, **more):
    return Advice("RF-090", MARCH, 42, low, high, 9, 10, offered, sold=sold, **more)


@pytest.mark.parametrize(
    ("one", "held"),
    [
        (advice(4), Held.YES),
        (advice(12), Held.YES),
        (advice(3), Held.BELOW),
        (advice(13), Held.ABOVE),
        (advice(None), Held.NOT_YET),
        (advice(5, offered=12), Held.CANNOT_SAY),
        (advice(0, offered=None), Held.CANNOT_SAY),
    ],
)
def test_a_range_is_judged_only_where_enough_was_there_to_tell(one, held):
    assert one.held is held


def test_each_piece_of_advice_tells_its_story():
    assert advice(13).sentence == (
        "RF-090, Mon 1 March: 4 to 12 in 42 days, 9 proposed, 10 chosen, 13 sold: more "
        "than it said."
    )
    assert advice(10, offered=10).sentence.endswith(
        "10 chosen, all sold: too few were there to tell."
    )
    assert advice(None).sentence.endswith("10 chosen; the days are not over.")


def test_ranges_that_hold_as_they_claim_are_believed():
    # Binomial tables for 10 and .8: luck gives 5 to 10 (from memory).
    trust = how_well_ranges_held([advice(8)] * 8 + [advice(2), advice(15)])

    assert (trust.judged, trust.came_true, trust.expected) == (10, 8, 8.0)
    assert trust.believable
    assert trust.sentence == (
        "8 of 10 estimates held; they claim 80 in 100, for which luck gives 5 to 10. The "
        "claim stands."
    )


@pytest.mark.parametrize(
    ("sold", "words"),
    [
        (
            [15] * 6 + [8] * 4,
            "They were mostly too low: reckon with more than they say.",
        ),
        (
            [1] * 6 + [8] * 4,
            "They were mostly too high: reckon with less than they say.",
        ),
        (
            [1, 15] * 3 + [8] * 4,
            "They were too narrow: reckon with more and with less than they say.",
        ),
    ],
)
def test_ranges_that_luck_does_not_excuse_are_named(sold, words):
    trust = how_well_ranges_held([advice(n) for n in sold])

    assert trust.believable is False
    assert trust.sentence.endswith(words)


def test_ranges_wider_than_they_need_be_are_named():
    # Closed form: .8 to the power of 20 is .0115, below 1 in 40.
    trust = how_well_ranges_held([advice(8)] * 20)

    assert trust.sentence.endswith("They are wider than they need be.")


@pytest.mark.parametrize("record", [[], [advice(8)] * 4, [advice(None)] * 30])
def test_a_short_record_is_not_judged(record):
    trust = how_well_ranges_held(record)

    assert trust.believable is None
    assert "too few to tell how far to trust" in trust.sentence


def test_the_chance_that_some_are_left_is_judged_where_little_was_there():
    # Worked by hand: ten coins of .8 are a binomial; luck gives 5 to 10.
    left = [advice(7, offered=10, chance_left=0.8)] * 4
    gone = [advice(10, offered=10, chance_left=0.8)] * 6

    trust = how_often_some_were_left([*left, *gone, advice(None)])

    assert (trust.judged, trust.came_true, trust.unjudged) == (10, 4, 1)
    assert trust.expected == pytest.approx(8.0)
    assert trust.sentence == (
        "Some were left 4 of 10 times; 8.0 were to be expected, and luck gives 5 to 10. "
        "It ran out more often than was said: make more."
    )


def test_honest_and_fearful_chances_are_named():
    honest = [advice(7, offered=10, chance_left=0.8)] * 8
    fearful = [advice(7, offered=10, chance_left=0.3)] * 9

    assert how_often_some_were_left(honest).sentence.endswith(
        "The chances were honest."
    )
    assert how_often_some_were_left(fearful).sentence.endswith("make fewer.")
    assert how_often_some_were_left([]).believable is None


@given(st.integers(0, 30), st.floats(0.05, 0.95))
def test_equal_coins_are_a_binomial(tries, chance):
    assert luck_of([chance] * tries, 0.95) == likely_hits(tries, chance, 0.95)


def test_an_honest_adviser_is_believed_as_often_as_luck_allows():
    """400 studios of 25 ranges drawn from what was believed.

    A count never leaves its own limits more than 1 time in 20; 400 studios leave it at
    most 35 times but 1 time in 1,000, by the binomial distribution.
    """
    rng = random.Random(11)
    belief = Belief(4, 0.5)
    low, high = belief.smallest_with(0.1), belief.smallest_with(0.9)

    doubted = 0
    for _ in range(400):
        record = [
            advice(drawn(rng, belief), low, high, offered=1000) for _ in range(25)
        ]
        # The range covers at least 80 in 100; being whole numbers it covers more.
        claim = (1 - belief.chance_of_more(high)) - (1 - belief.chance_of_more(low - 1))
        doubted += not how_well_ranges_held(record, claim).believable

    assert claim >= 0.8
    assert doubted <= likely_hits(400, 0.05, 0.998)[1]


def drawn(rng, belief):
    rate = rng.gammavariate(belief.shape, 1 / belief.exposure)
    gone, count = rng.expovariate(1), 0
    while gone < rate:
        gone, count = gone + rng.expovariate(1), count + 1
    return count
