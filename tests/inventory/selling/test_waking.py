"""The one cheap act for each kind of sleeping money."""

from datetime import date

import pytest

from inventory.half_sets import Freeing, HalfSet
from inventory.selling import waking
from inventory.selling.cash import Act
from inventory.selling.slow import SlowLine

TODAY = date(2027, 3, 3)
FREEING = Freeing("SQ950", 5, "RF-090", 5, 600)
SLOW = SlowLine("FB-05", 40, 160.0, 700, 350, is_slow=True, sentence="")


def test_a_half_set_is_freed_by_its_partner():
    half = HalfSet("A1025", 5, 1680, FREEING, "")

    assert waking.free_half_set(half, 12) == Act(
        "Cut 5 of SQ950 to free 5 of RF-090.", 1680, 600, 12
    )
    assert waking.free_half_set(HalfSet("A1025", 5, 1680, None, ""), 12) is None


def test_a_slow_line_frees_no_more_than_it_would_fetch():
    # Worked by hand: 40 at £7.00 are £280.00; it cost £580.00, or £200.00.
    dear, cheap = (waking.offer_slow_line(SLOW, cost) for cost in (58000, 20000))

    assert (dear.frees_pence, cheap.frees_pence) == (28000, 20000)
    assert dear.sentence == (
        "Offer them from £7.00: above that, sold now is worth more than waiting."
    )


def test_a_line_that_sells_needs_no_offer():
    line = SlowLine("FB-05", 4, 2.0, 1150, 1150, is_slow=False, sentence="")

    assert waking.offer_slow_line(line, 5800) is None


@pytest.mark.parametrize(
    ("statement_on", "words"),
    [
        (
            date(2027, 2, 28),
            "Ask Tinderbrook for the statement of Sun 28 February, or ",
        ),
        (None, "Ask Tinderbrook for the statement, or "),
    ],
)
def test_the_channel_is_asked_once_its_statement_is_due(statement_on, words):
    act = waking.ask_the_channel("Tinderbrook", 24, 9000, statement_on, TODAY)

    assert (act.sentence, act.frees_pence) == (f"{words}for the 24 back.", 9000)


def test_the_channel_is_left_alone_before():
    tomorrow = date(2027, 3, 4)

    assert waking.ask_the_channel("Tinderbrook", 24, 9000, tomorrow, TODAY) is None


def test_what_lacks_a_piece_is_mended():
    assert waking.mend_the_lacking(3, 2400, "one SQ500 each", 180) == Act(
        "Mend the 3 sets with one SQ500 each, £1.80 in all.", 2400, 180, 12
    )
    assert waking.mend_the_lacking(1, 800, "one SQ500", 60).sentence == (
        "Mend the set with one SQ500, £0.60 in all."
    )


def test_what_came_back_is_looked_at_and_sheets_are_cut():
    assert waking.look_at_returned(4, 3200) == Act(
        "Look at the 4 that came back, and put on the shelf what is sound.", 3200, 0, 12
    )
    assert waking.cut_the_sheets(2, 820, "LB", "SG-045", 42) == Act(
        "Cut 2 sheets by LB for SG-045.", 820, 0, 42
    )


@pytest.mark.parametrize("count", [0, -1])
def test_nothing_is_woken_by_nothing(count):
    assert waking.ask_the_channel("Tinderbrook", count, 0, None, TODAY) is None
    assert waking.mend_the_lacking(count, 0, "one SQ500", 0) is None
    assert waking.look_at_returned(count, 0) is None
    assert waking.cut_the_sheets(count, 0, "LB", "SG-045", 0) is None
