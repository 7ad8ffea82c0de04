"""What limits cost, what her own numbers lose, and why. Source: worked by hand."""

from dataclasses import replace

import pytest

from production.mix.best import best_mix_for
from production.mix.question import (
    MixLayout,
    MixLimit,
    MixLine,
    MixQuestion,
    MixSession,
    MixWay,
)
from production.mix.reasons import reasons
from production.mix.worth import More, limits_worth, one_more, own_plan, with_more
from tests.production.mix_problems import tiny_studio
from tests.production.test_mix import drawer_of_squares

# One sheet gives ten sets for 30 minutes; the gain falls from 5.00 by 10p a set.
TWO_SHEETS = MixQuestion(
    lines=(
        MixLine("SET", tuple(range(500, 0, -10)), uses={"crate": 1}),
        MixLine("PAPER", (100,) * 5, uses={"crate": 1}),
    ),
    ways=(MixWay("SET", {"SQ": 1, "BK": 1}),),
    layouts=(MixLayout("LA", {"SQ": 10}, 30, {"sheets": 1}),),
    sessions=(MixSession("Sat 6 March", 65),),
    stock={"BK": 25, "PAPER": 5},
    limits=(
        MixLimit("sheets", 3, words="one more sheet"),
        MixLimit("crate", 40, 10, words="ten more places in the crate"),
    ),
)


def test_only_the_limit_that_stops_the_plan_is_worth_more():
    plan = best_mix_for(TWO_SHEETS)

    worth = {one.more.code: one for one in limits_worth(TWO_SHEETS, plan)}

    # The third sheet gives sets 21 to 25, 3.00 down to 2.60, and the booklets end.
    assert plan.quantities == {"SET": 20, "PAPER": 5}
    assert worth["minutes"].gain_pence == 300 + 290 + 280 + 270 + 260
    assert worth["minutes"].sentence == (
        "30 more minutes in Sat 6 March would bring £14.00: 5 more SET."
    )
    assert worth["sheets"].sentence == "One more sheet would bring nothing."
    assert worth["crate"].gain_pence == 0


def test_one_more_of_a_part_is_worth_asking_about_too():
    question = with_more(TWO_SHEETS, More("minutes", 30, ""))
    plan = best_mix_for(question)

    [booklet] = limits_worth(question, plan, [More("BK", 1, "one more booklet")])

    assert booklet.sentence == "One more booklet would bring £2.50: 1 more SET."


def test_her_own_numbers_are_weighed_against_the_best():
    best = best_mix_for(TWO_SHEETS)

    hers = own_plan(TWO_SHEETS, best, {"SET": 12})
    too_many = own_plan(TWO_SHEETS, best, {"SET": 26})
    same = own_plan(TWO_SHEETS, best, {"SET": 20})

    # Sets 13 to 20: 3.80 down to 3.10.
    assert hers.loses_pence == sum(range(310, 390, 10))
    assert hers.sentence == "Your numbers gain £27.60 less than the best ones."
    assert too_many.sentence == (
        "Your numbers cannot all be reached: 26 SET, of which 20 can be had."
    )
    assert same.sentence == "Your numbers gain as much as any."


def test_a_fourth_duo_costs_the_set_alone_and_a_frame():
    # From 3 to 4 duos wins 28.51 and costs 19.80 + 18.96 = 38.76, worked by hand.
    question = drawer_of_squares()
    plan = best_mix_for(question)

    fourth = one_more(question, plan, "DU")

    assert (fourth.wins_pence, fourth.costs_pence) == (2851, 3876)
    assert fourth.moves == {"RF-090": -1, "SG-090": -1, "DU": 1}
    assert fourth.sentence == (
        "One more DU wins £28.51 and costs £38.76: 1 fewer RF-090 and 1 fewer SG-090."
    )


def test_one_more_than_can_be_had_says_so():
    plan = best_mix_for(TWO_SHEETS)

    none = one_more(TWO_SHEETS, plan, "PAPER")

    assert none.costs_pence is None
    assert none.sentence == "One more PAPER cannot be had, whatever else is left out."


def test_each_line_has_one_sentence_why():
    told = reasons(TWO_SHEETS, best_mix_for(TWO_SHEETS))

    assert told == {
        "SET": (
            "20 SET; the next one, worth £3.00, lacks 1 SQ, and no session has the "
            "30 minutes left that a sheet of LA takes."
        ),
        "PAPER": "5 PAPER: as many as the record or your guess speaks for.",
    }


@pytest.mark.parametrize(
    ("changes", "sentence"),
    [
        ({"pinned": 4}, "4 SET: your number."),
        (
            {"pinned": 26},
            "26 SET are asked for and 20 can be had; the next one lacks 1 SQ, and no "
            "session has the 30 minutes left that a sheet of LA takes.",
        ),
        (
            {"gains": (500, 400, -5)},
            "2 SET: one more would cost more than it is likely to bring.",
        ),
        (
            {"uses": {"crate": 4}},
            "10 SET; the next one, worth £4.00, finds crate used up.",
        ),
    ],
)
def test_the_sentence_names_what_stops_the_line(changes, sentence):
    line, paper = TWO_SHEETS.lines
    question = replace(
        TWO_SHEETS, lines=(replace(line, **changes), replace(paper, gains=()))
    )

    told = reasons(question, best_mix_for(question))

    assert told["SET"] == sentence


@pytest.mark.parametrize("seed", range(0, 60, 4))
def test_one_more_of_anything_never_lowers_the_best(seed):
    question = tiny_studio(seed)
    plan = best_mix_for(question)

    for worth in limits_worth(question, plan):
        after = best_mix_for(with_more(question, worth.more))
        if not plan.short:
            assert after.gain == plan.gain + worth.gain_pence
