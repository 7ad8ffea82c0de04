"""Today's run to the counter, worked by hand."""

from dataclasses import replace
from datetime import date, datetime, timedelta

import pytest

from orders.post_run import CounterVisit, PacketToPost, plan_run
from studio.days import LONDON
from tests.orders.price_list import worked

ONE_O_CLOCK = datetime(2027, 3, 3, 13, 0, tzinfo=LONDON)
QUARTER_TO_FIVE = datetime(2027, 3, 3, 16, 45, tzinfo=LONDON)
VISIT = CounterVisit(QUARTER_TO_FIVE, minutes_away=15, packets_a_visit=40)
MOTHERS_DAY = date(2027, 3, 7)


def _today():
    """The twenty packets of the day, each an hour younger than the one before."""
    return [_packet(row, hours) for hours, row in enumerate(worked("post_packets.csv"))]


def _packet(row, hours):
    return PacketToPost(
        reference=row["packet"],
        minutes=int(row["minutes"]),
        placed_at=datetime(2027, 3, 1, 8, tzinfo=LONDON) + timedelta(hours=hours),
        postage_pence=int(row["postage_pence"]) if row["postage_pence"] else None,
        need_by=MOTHERS_DAY if row["gift"] == "yes" else None,
    )


def _plain(reference, minutes=10, **changes):
    packet = PacketToPost(reference, minutes, ONE_O_CLOCK, 95)
    return replace(packet, **changes)


def _references(packed):
    return [one.packet.reference for one in packed]


def test_twenty_packets_from_one_o_clock_are_done_by_twenty_five_to_three():
    run = plan_run(_today(), ONE_O_CLOCK, VISIT)

    assert (len(run.going), run.staying, run.stop_after) == (20, (), None)
    assert (run.minutes, run.postage_pence) == (95, 5395)
    assert run.done_at == datetime(2027, 3, 3, 14, 35, tzinfo=LONDON)
    assert run.visit.leave_by == datetime(2027, 3, 3, 16, 30, tzinfo=LONDON)
    assert run.sentence == (
        "20 packets, £53.95 and 1 priced at the counter: 95 packing minutes from "
        "13:00, done by 14:35. Leave by 16:30; the counter closes at 16:45."
    )


def test_the_gifts_for_sunday_are_packed_first():
    run = plan_run(_today(), ONE_O_CLOCK, VISIT)

    first_four = _references(run.going)[:4]
    assert first_four == ["L-0434", "L-0435", "L-0457", "L-0436"]


def test_a_fine_due_sooner_than_a_gift_comes_before_it():
    gift = _plain("gift", need_by=date(2027, 3, 7))
    direct = _plain("direct", fine_after=date(2027, 3, 5))
    both = _plain("both", need_by=date(2027, 3, 9), fine_after=date(2027, 3, 4))

    run = plan_run([_plain("old"), gift, direct, both], ONE_O_CLOCK, VISIT)

    assert _references(run.going) == ["both", "direct", "gift", "old"]


def test_packets_are_numbered_in_the_order_they_are_packed():
    younger = _plain("younger", placed_at=ONE_O_CLOCK + timedelta(minutes=1))

    run = plan_run([younger, _plain("older", minutes=6)], ONE_O_CLOCK, VISIT)

    assert [(one.number, one.packet.reference) for one in run.going] == [
        (1, "older"),
        (2, "younger"),
    ]
    assert run.going[0].done_at == ONE_O_CLOCK + timedelta(minutes=6)


def test_packing_stops_in_time_to_drive_to_the_counter():
    # From 16:00 to 16:30 three packets of ten minutes can be made up; by hand.
    four_o_clock = ONE_O_CLOCK + timedelta(hours=3)
    packets = [_plain(f"P{n}") for n in range(1, 6)]

    run = plan_run(packets, four_o_clock, VISIT)

    assert run.stop_after == 3
    assert [packet.reference for packet in run.staying] == ["P4", "P5"]
    assert run.sentence == (
        "3 packets, £2.85: 30 packing minutes from 16:00, done by 16:30. "
        "Leave by 16:30; the counter closes at 16:45. "
        "Stop after packet 3, P3: time is up. 2 packets must wait for the next run."
    )


def test_packing_stops_at_what_the_counter_takes():
    packets = [_plain(f"P{n:02}", minutes=2) for n in range(1, 42)]

    run = plan_run(packets, ONE_O_CLOCK, VISIT)

    assert run.stop_after == 40
    assert run.sentence.endswith(
        "Stop after packet 40, P40: the counter takes 40 a visit. "
        "1 packet must wait for the next run."
    )


@pytest.mark.parametrize(
    ("packets", "starts_at", "visit", "sentence"),
    [
        ([], ONE_O_CLOCK, VISIT, "No packet is ready for this run."),
        (
            [_plain("P1")],
            ONE_O_CLOCK,
            replace(VISIT, closes_at=None),
            "There is no collection today: 1 packet must wait.",
        ),
        (
            [_plain("P1"), _plain("P2")],
            QUARTER_TO_FIVE,
            VISIT,
            "Nothing can be packed in time from 16:45. Leave by 16:30; "
            "the counter closes at 16:45. 2 packets must wait.",
        ),
    ],
)
def test_a_run_that_takes_nothing_says_why(packets, starts_at, visit, sentence):
    run = plan_run(packets, starts_at, visit)

    assert (run.going, run.minutes, run.postage_pence) == ((), 0, 0)
    assert list(run.staying) == packets
    assert run.done_at == starts_at
    assert run.sentence == sentence
