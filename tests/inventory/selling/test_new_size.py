"""What is believed of a size never made."""

from fractions import Fraction

import pytest

from inventory.selling.new_size import Asked, asked_per_week, judge_new_size
from inventory.selling.size_curve import MadeSize, SizeImpossible

SIX, EIGHT = MadeSize(Fraction(6), 30, 14), MadeSize(Fraction(8), 24, 14)
SEVEN_SIZES = [
    MadeSize(Fraction(size), sold, weeks)
    for size, sold, weeks in zip(
        (3, 4, 5, 6, 8, 10, 12),
        (9, 17, 21, 30, 24, 13, 6),
        (10, 12, 12, 14, 14, 12, 8),
        strict=True,
    )
]


def test_a_size_between_many_is_read_off_the_curve():
    # Own instance recomputed by a second program: 1.8835 a week at seven inches, were
    # the sizes known to lie on the curve; allowing for scatter moves it a little.
    new = judge_new_size(Fraction(7), SEVEN_SIZES, test_passed=True)

    assert new.likely == pytest.approx(1.8835, rel=0.01)
    assert new.low_80 < new.likely < new.high_80
    assert new.may_try
    assert new.sentences[0].endswith(
        "four times in five, by the curve over the sizes made."
    )
    assert new.sentences[1] == (
        "Beside it: 6 in at 2.1 a week and 8 in at 1.7 a week. Part of its buyers would "
        "have bought those."
    )


def test_a_size_beyond_those_made_is_said_to_be_least_sure():
    inside, outside = (judge_new_size(Fraction(s), SEVEN_SIZES) for s in (7, 14))

    assert "beyond the sizes made, where it is least sure" in outside.sentences[0]
    assert outside.high_80 / outside.low_80 > inside.high_80 / inside.low_80


def test_two_sizes_give_the_line_between_them():
    # Worked by hand: part .536 of the way, .4637^2 / 30 + .5363^2 / 24 = .0192, and
    # 1 / (1 / 2 + .0192) = 1.93.
    new = judge_new_size(Fraction(7), [SIX, EIGHT])

    assert new.likely == pytest.approx(1.901364, abs=1e-6)
    assert new.belief.shape == pytest.approx(1.926, abs=0.001)


def test_outside_two_sizes_only_their_mean_is_left():
    # Worked by hand: 54 in 28 weeks, worth one sale.
    new = judge_new_size(Fraction(12), [SIX, EIGHT])

    assert (new.belief.shape, new.likely) == (1.0, pytest.approx(54 / 28))
    assert "for want of anything better" in new.sentences[0]


@pytest.mark.parametrize(
    "made", [[], [MadeSize(Fraction(6), 0, 14)], [MadeSize(Fraction(6), 3, 0)]]
)
def test_without_a_sale_nothing_can_be_said(made):
    new = judge_new_size(Fraction(7), made, test_passed=True)

    assert (new.belief, new.may_try) == (None, False)
    assert new.sentences[0].startswith("Cannot say")


@pytest.mark.parametrize(
    ("passed", "words"),
    [
        (None, "No test block is sewn yet: sew one before a trial."),
        (False, "The test block did not pass: put that right before a trial."),
    ],
)
def test_no_trial_before_the_test_block_passed(passed, words):
    new = judge_new_size(Fraction(7), SEVEN_SIZES, test_passed=passed)

    assert not new.may_try
    assert new.sentences[-1] == words


def test_askings_are_a_second_opinion():
    # Worked by hand: 26 in 52 weeks are 0.5 a week; 12 missed for 8 askings, x 1.5.
    asked = Asked(times=26, weeks=52, made_asked=8, made_missed=12.0)

    new = judge_new_size(Fraction(7), SEVEN_SIZES, asked)

    assert new.by_asking_per_week == pytest.approx(0.75)
    assert new.belief == judge_new_size(Fraction(7), SEVEN_SIZES).belief
    assert new.sentences[2].startswith("Asked for 26 times: going by sizes asked for")
    assert "about 0.75 a week" in new.sentences[2]


@pytest.mark.parametrize(
    "asked", [None, Asked(3, 52), Asked(3, 0, 9, 9.0), Asked(3, 52, 4, 9.0)]
)
def test_too_few_askings_are_not_turned_into_sales(asked):
    assert asked_per_week(asked) is None


def test_one_asking_is_once():
    new = judge_new_size(Fraction(7), SEVEN_SIZES, Asked(1, 52))

    assert new.sentences[2] == (
        "Asked for 1 time; too few askings are noted to turn that into sales."
    )


def test_a_size_of_nought_is_refused():
    with pytest.raises(SizeImpossible):
        judge_new_size(Fraction(0), SEVEN_SIZES)
