"""The promise number on its pages. Source: acceptance story O1, worked by hand."""

import pytest

from inventory.queries.promises import promise_of
from tests.conftest import MORNING
from tests.factories.inventory import (
    ClaimFactory,
    SetFactory,
    ringfence_at_half_past_eight,
)
from tests.inventory.conftest import number_of, rows_of, sentence_of, sum_of, words_of

NOW_SUM = [
    ["On the shelf", "+\N{NO-BREAK SPACE}19", "19"],
    ["less show sets", "−\N{NO-BREAK SPACE}2", "17"],
    ["less incomplete", "−\N{NO-BREAK SPACE}1", "16"],
    ["less paid 1 + 1 + 2 + 1 + 1 + 1", "−\N{NO-BREAK SPACE}7", "9"],
    ["less held", "−\N{NO-BREAK SPACE}1", "8"],
    ["less kept for the fair", "−\N{NO-BREAK SPACE}4", "4"],
    ["less buffer", "−\N{NO-BREAK SPACE}1", "3"],
]


def plain(rows):
    return [[" ".join(cell.split()) for cell in row] for row in rows]


def test_the_book_gives_three_now_seven_by_tonight_and_sixty_nine_owned(db):
    ringfence = ringfence_at_half_past_eight()

    promise = promise_of(ringfence, now=MORNING)

    assert (promise.can_promise, promise.by_tonight, promise.owned) == (3, 7, 69)


def test_the_item_page_says_the_answer_and_opens_its_sum_line_by_line(owner):
    ringfence_at_half_past_eight()

    page = owner.get("/goods/RF-090/")

    assert sentence_of(page) == "Ringfence set, 9 in: three now, seven by tonight."
    assert sum_of(page, "can be promised now") == plain(NOW_SUM)
    assert number_of(page, "by tonight") == 7
    assert number_of(page, "owned in all") == 69


def test_the_page_says_what_lapses_and_who_waits_first(owner):
    ringfence_at_half_past_eight()

    page = owner.get("/goods/RF-090/")

    assert "One more on Fri 5 March if the cheque does not come." in words_of(page)
    assert [row[0] for row in rows_of(page, "Who is promised what")] == [
        *(f"Order {number}" for number in range(1, 7)),
        "Ione Ravelin",
        "the fair",
        "Buffer",
    ]


def test_a_scrap_and_enter_show_the_promise_at_once(owner):
    ringfence_at_half_past_eight()

    page = owner.get("/goods/", {"q": "nine-inch ringfence"})

    assert sentence_of(page) == "Ringfence set, 9 in: three now, seven by tonight."
    assert sum_of(page, "can be promised now") == plain(NOW_SUM)


def test_a_hold_lapses_when_it_is_read_without_anybody_doing_anything(db):
    ringfence = ringfence_at_half_past_eight()
    saturday = MORNING.replace(day=6)

    promise = promise_of(ringfence, now=saturday)

    assert promise.can_promise == 4
    assert promise.lapses == ()


def test_the_one_paid_last_is_the_one_that_is_short(owner):
    item = SetFactory(held=1)
    ClaimFactory(item=item, label="Paid first", overruled_because="It was paid.")
    ClaimFactory(
        item=item,
        label="Paid later",
        now=MORNING,
        overruled_because="It was paid.",
    )

    page = owner.get("/goods/RF-090/")

    assert sentence_of(page) == (
        "Ringfence set, 9 in: one short: more is promised than is here."
    )
    words = words_of(page)
    assert "Paid first Paid, not gone 1 there" in words
    assert "Paid later Paid, not gone 1 1 short" in words


@pytest.mark.parametrize(
    ("held", "claimed", "sentence"),
    [
        (0, 0, "none now, and none by tonight."),
        (5, 0, "five now, and no more by tonight."),
        (5, 5, "none now, and none by tonight."),
        (21, 0, "21 now, and no more by tonight."),
    ],
    ids=["nothing", "plain", "all spoken for", "beyond twenty"],
)
def test_each_state_of_the_shelf_has_its_sentence(owner, held, claimed, sentence):
    item = SetFactory(held=held)
    if claimed:
        ClaimFactory(item=item, count=claimed)

    page = owner.get("/goods/RF-090/")

    assert sentence_of(page) == f"Ringfence set, 9 in: {sentence}"
