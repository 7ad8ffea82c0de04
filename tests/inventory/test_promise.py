"""The promise number against sums worked by hand."""

from __future__ import annotations

import csv
from datetime import UTC, date, datetime
from pathlib import Path

import pytest

from inventory.promise import ClaimFact, Facts, promise, serve_in_order

WORKED = Path(__file__).parents[1] / "worked" / "promise.csv"


def worked_rows():
    with WORKED.open(newline="", encoding="utf-8") as file:
        return list(csv.DictReader(file))


def ringfence_facts():
    """Nine-inch Ringfence on Wed 3 March 08:30; worked by hand."""
    paid = tuple(ClaimFact("paid", n, "order") for n in (1, 1, 2, 1, 1, 1))
    return Facts(
        "RF-090",
        sellable=16,
        show=2,
        incomplete=1,
        to_look_at_home=2,
        elsewhere=(("the channel", 48),),
        claims=(
            *paid,
            ClaimFact("hold", 1, "cheque hold", until=date(2027, 3, 5)),
            ClaimFact("kept", 4, "the fair"),
            ClaimFact("buffer", 1, "buffer"),
        ),
        makeable=3,
        mendable=1,
    )


@pytest.mark.parametrize("row", worked_rows(), ids=lambda row: row["code"])
def test_the_promise_table_of_the_demo_morning(row):
    kinds = {"paid": "paid", "hold": "hold", "kept": "fair", "buffer": "buffer"}
    claims = tuple(
        ClaimFact(kind, int(row[column]), column)
        for kind, column in kinds.items()
        if int(row[column])
    )

    answer = promise(Facts(row["code"], int(row["sellable"]), claims=claims))

    assert (answer.can_promise, answer.short) == (
        int(row["can_promise"]),
        int(row["short"]),
    )


def test_three_now_seven_by_tonight_and_sixty_nine_owned():
    facts = ringfence_facts()

    answer = promise(facts)

    assert (answer.can_promise, answer.by_tonight, answer.owned) == (3, 7, 69)


def test_the_sum_is_shown_line_by_line():
    facts = ringfence_facts()

    answer = promise(facts)

    assert [(line.label, line.count, line.running) for line in answer.now_sum] == [
        ("On the shelf", 19, 19),
        ("less show sets", -2, 17),
        ("less incomplete", -1, 16),
        ("less paid", -7, 9),
        ("less held", -1, 8),
        ("less kept for the fair", -4, 4),
        ("less buffer", -1, 3),
    ]
    assert answer.now_sum[3].note == "1 + 1 + 2 + 1 + 1 + 1"


def test_tonight_mends_first_and_then_makes_up():
    facts = ringfence_facts()

    answer = promise(facts)

    assert [(line.label, line.count, line.running) for line in answer.tonight_sum] == [
        ("Left from the shelf", 3, 3),
        ("mended", 1, 4),
        ("made up", 3, 7),
    ]


def test_owned_counts_the_tray_and_the_channel():
    facts = ringfence_facts()

    answer = promise(facts)

    assert [(line.label, line.count, line.running) for line in answer.owned_sum] == [
        ("On the shelf", 19, 19),
        ("in the returns tray", 2, 21),
        ("at the channel", 48, 69),
    ]


def test_a_hold_says_when_it_lapses():
    facts = ringfence_facts()

    answer = promise(facts)

    assert answer.lapses == ("One more on Fri 5 March if the cheque does not come.",)


def test_a_lapsing_hold_frees_nothing_while_paid_orders_are_short():
    claims = (
        ClaimFact("paid", 3, "orders"),
        ClaimFact("hold", 2, "phone call", until=date(2027, 3, 5)),
    )

    answer = promise(Facts("SG-045", sellable=2, claims=claims))

    assert answer.lapses == ()
    assert promise(Facts("SG-045", sellable=4, claims=claims)).lapses == (
        "One more on Fri 5 March if the cheque does not come.",
    )


def test_sets_made_up_tonight_cover_the_short_ones_first():
    claims = (ClaimFact("paid", 5, "orders"),)

    answer = promise(Facts("SG-030", sellable=2, claims=claims, makeable=4))

    assert (answer.raw, answer.short, answer.can_promise) == (-3, 3, 0)
    assert answer.by_tonight == 1
    assert answer.reasons == ("3 are promised and not there.",)


def test_goods_kept_for_the_fair_do_not_make_an_order_short():
    claims = (ClaimFact("paid", 1, "order"), ClaimFact("kept", 4, "the fair"))

    answer = promise(Facts("BK-045", sellable=2, claims=claims))

    assert (answer.can_promise, answer.short) == (0, 0)
    assert answer.raw == -3


def test_seconds_are_counted_and_not_promised():
    answer = promise(Facts("A425", sellable=46, second=1))

    assert (answer.can_promise, answer.owned) == (46, 47)


def test_the_only_bundle_belongs_to_the_order_paid_first():
    late = ClaimFact("paid", 1, "L-0453", rank=datetime(2027, 3, 2, 18, 5, tzinfo=UTC))
    early = ClaimFact(
        "paid", 1, "L-0433", rank=datetime(2027, 2, 24, 10, 12, tzinfo=UTC)
    )

    served = serve_in_order((late, early), sellable=1)

    assert [(one.claim.label, one.covered, one.short) for one in served] == [
        ("L-0433", 1, 0),
        ("L-0453", 0, 1),
    ]


def test_people_are_served_before_the_fair_and_the_buffer():
    claims = (
        ClaimFact("buffer", 1, "buffer", rank=1),
        ClaimFact("kept", 2, "the fair", rank=2),
        ClaimFact("hold", 1, "cheque", rank=3),
        ClaimFact("paid", 2, "L-0500", rank=4),
    )

    served = serve_in_order(claims, sellable=4)

    assert [(one.claim.label, one.covered) for one in served] == [
        ("cheque", 1),
        ("L-0500", 2),
        ("the fair", 1),
        ("buffer", 0),
    ]
