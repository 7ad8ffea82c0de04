"""Sales by size: what sells, what was merely out, and when nothing can be said."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from inventory.demand import Belief, rate_while_in_stock
from inventory.selling.missed import missed_while_out
from inventory.selling.rates import (
    DaysBelowNought,
    Occasions,
    SizeSales,
    honest_sizes,
)

NINE = SizeSales("9 in", sold=40, returned=0, days_in_stock=280)


def the_line(size, **asked):
    return honest_sizes([size], **asked).lines[0]


def test_the_size_that_was_out_is_not_the_weak_one():
    # Worked by hand: 30 in 20 weeks are 1.5 a week, 40 in 40 weeks are 1.0.
    small = SizeSales("3 in", sold=30, returned=0, days_in_stock=140, days_out=140)

    told = honest_sizes([NINE, small])

    assert [line.rate.per_week for line in told.lines] == [1.0, 1.5]
    assert [line.share for line in told.lines] == pytest.approx([0.4, 0.6])


def test_what_was_missed_is_a_guess_and_counts_in_nothing():
    # Worked by hand: 1.5 a week over 20 weeks are 30 more.
    small = SizeSales("3 in", sold=30, returned=0, days_in_stock=140, days_out=140)

    line = the_line(small)

    assert (line.rate.sold, line.sales.kept) == (30, 30)
    assert line.missed.likely == pytest.approx(30)
    assert line.missed.low < 30 < line.missed.high
    assert line.missed.sentence == (
        f"Out for 140 days: about 30 more may have been wanted, {line.missed.low} to "
        f"{line.missed.high}. This is a guess and counts in no total."
    )


def test_what_never_ran_out_missed_nothing():
    assert the_line(NINE).missed.sentence == "It was never out, so nothing was missed."


def test_what_came_back_comes_off():
    back = SizeSales("6 in", sold=12, returned=4, days_in_stock=56)

    assert (the_line(back).rate.sold, the_line(back).rate.per_week) == (8, 1.0)


def test_television_and_fairs_stand_apart_from_the_rate():
    both = SizeSales(
        "9 in",
        sold=40,
        returned=0,
        days_in_stock=280,
        television=Occasions(sold=60, minutes=90, times=2),
        fairs=Occasions(sold=7, times=1),
    )

    line = the_line(both)

    assert line.rate == the_line(NINE).rate
    assert line.apart == (
        "60 sold in 90 minutes on air while there were any: 40.0 an hour.",
        "7 sold at 1 fair.",
    )


def test_television_without_minutes_gives_no_hourly_figure():
    unwritten = SizeSales("9 in", 4, 0, 60, television=Occasions(sold=9, times=1))

    assert the_line(unwritten).apart == (
        "9 sold on television; the minutes on air are not written.",
    )


CANNOT = [
    (
        SizeSales("a", 0, 0, 0.0),
        "Cannot say: it was never in stock.",
    ),
    (
        SizeSales("a", 0, 0, 0.0, days_out=60),
        "Cannot say: it was sold out on every day looked at.",
    ),
    (
        SizeSales("a", 0, 0, 0.0, television=Occasions(30, 60, 1)),
        "Cannot say: it was only sold on television or at fairs, never day by day.",
    ),
    (
        SizeSales("a", 3, 0, 0.0),
        "Cannot say: 3 sold, yet no day is written on which it could be bought. Look at "
        "the days it was out.",
    ),
    (
        SizeSales("a", 2, 5, 90.0),
        "Cannot say: 5 came back and only 2 went out. Look at its corrections.",
    ),
    (
        SizeSales("a", 4, 0, 13.0),
        "Cannot say: it could be bought on 13 days only, and 14 are the least to judge "
        "by.",
    ),
]


@pytest.mark.parametrize(
    ("size", "sentence"), CANNOT, ids=lambda value: str(value)[:40]
)
def test_a_record_that_cannot_say_says_so(size, sentence):
    told = honest_sizes([size, NINE])

    line = told.lines[0]
    assert (line.rate, line.share, line.missed) == (None, None, None)
    assert line.sentence == sentence
    assert (told.lines[1].share, told.gaps) == (1.0, ())
    assert told.sentence == "9 in is the only size that can be judged yet."


def test_when_no_size_can_be_judged_none_leads():
    told = honest_sizes([size for size, _ in CANNOT])

    assert told.sentence == "The record cannot say yet which size sells."
    assert honest_sizes([]).sentence == told.sentence


def test_no_sale_at_all_is_said_and_not_divided_by():
    told = honest_sizes([SizeSales("a", 0, 0, 70), SizeSales("b", 0, 0, 70)])

    assert told.sentence == "Nothing was sold day by day, so no size leads."
    assert [line.share for line in told.lines] == [None, None]
    assert told.lines[0].sentence == (
        "None sold in 70 days in stock: likely no more than 0.23 a week."
    )


def test_one_sale_is_not_a_figure_to_lean_on():
    # Garwood's exact 80 in 100 limits for 1 are .1054 and 3.890 (from memory).
    line = the_line(SizeSales("a", 1, 0, 70, days_out=70))

    assert (line.rate.low_80, line.rate.high_80) == pytest.approx(
        (0.01054, 0.3890), abs=1e-4
    )
    assert (line.missed.low, line.missed.likely) == (0, pytest.approx(1.0))


def test_a_gap_that_luck_makes_is_called_not_proved():
    # Worked by hand: 12 of 16 by a fair coin, both tails: 2 x 2517 / 65536 = 0.0768.
    told = honest_sizes([SizeSales("4 in", 12, 0, 84), SizeSales("6 in", 4, 0, 84)])

    [gap] = told.gaps
    assert (gap.proved, gap.luck) == (False, 2 * 2517 / 65536)
    assert gap.sentence == (
        "4 in against 6 in: 1.0 a week in stock against 0.33. The gap between the two "
        "sizes is not proved: luck alone makes one like it about 1 time in 13."
    )
    assert told.sentence == (
        "4 in sold fastest while in stock, but its lead over 6 in is not proved."
    )


def test_the_strongest_of_many_has_to_prove_more():
    # Worked by hand: 2 / 1024 for 10 of 10, and 3 pairs among three sizes: 6 / 1024.
    told = honest_sizes(
        [SizeSales(name, n, 0, 50) for name, n in zip("abc", (10, 0, 0), strict=True)]
    )

    assert [gap.luck for gap in told.gaps] == [6 / 1024] * 2
    assert told.sentence == "a sells fastest while in stock, and that is proved."


def test_a_gap_between_two_can_be_luck_among_ten():
    # Worked by hand: 9 of 10 by a fair coin, both tails: 22 / 1024 = 0.0215; x 45 pairs.
    alone = [SizeSales("a", 9, 0, 50), SizeSales("b", 1, 0, 50)]
    among = alone + [SizeSales(f"c{n}", 5, 0, 50) for n in range(8)]

    assert honest_sizes(alone).gaps[0].proved
    assert not honest_sizes(among).gaps[0].proved


@pytest.mark.parametrize("days", [-1, float("nan")])
def test_days_below_nought_are_refused(days):
    with pytest.raises(DaysBelowNought, match="Correct the days it was out"):
        honest_sizes([SizeSales("a", 1, 0, days)])
    with pytest.raises(DaysBelowNought):
        honest_sizes([SizeSales("a", 1, 0, 30, days_out=days)])


def test_what_may_have_been_missed_has_a_low_and_a_high_end():
    # Closed form: none sold in a week on top of Gamma(1, 1) is Gamma(1, 2), and over
    # two weeks geometric with p = 1 / 2: at most 2 with .875, at most 3 with .9375.
    rate = rate_while_in_stock(0, 7, Belief(1, 1))

    missed = missed_while_out(rate, 14)

    assert (missed.low, missed.likely, missed.high) == (0, pytest.approx(1.0), 3)


def test_nothing_known_is_missed_by_an_unknown_rate():
    assert missed_while_out(rate_while_in_stock(0, 0), 30) is None


@given(
    st.lists(
        st.builds(
            SizeSales,
            st.sampled_from(["3 in", "6 in", "9 in"]),
            st.integers(0, 60),
            st.integers(0, 70),
            st.sampled_from([0.0, 3.0, 40.0, 365.0]),
            st.sampled_from([0.0, 10.0, 200.0]),
            st.builds(Occasions, st.integers(0, 40), st.sampled_from([0.0, 60.0])),
        ),
        max_size=5,
    ),
    st.sampled_from([None, Belief(1.5, 2.0)]),
)
def test_every_record_gives_a_figure_or_cannot_say(sizes, prior):
    told = honest_sizes(sizes, prior)

    for line in told.lines:
        known = line.rate is not None
        assert known != line.sentence.startswith("Cannot say")
        assert known == (line.missed is not None)
        if known:
            assert 0 <= line.rate.low_80 <= line.rate.per_week <= line.rate.high_80
    shares = [line.share for line in told.lines if line.share is not None]
    assert sum(shares) == pytest.approx(1.0) or shares == []
