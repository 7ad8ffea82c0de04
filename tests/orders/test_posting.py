"""The run is made, packed, posted in one act, and any of it can be taken back."""

import re
from datetime import date

import pytest

from inventory.models import Claim, Entry
from inventory.queries.balances import balance_differences, sellable_at_home
from orders import actions as desk
from orders.addresses import parse_one_line
from orders.errors import PacketAway
from orders.models import Order, OrderLine, Packet, PostRun
from orders.queries.open_orders import state_of_order
from orders.queries.post_day import post_day
from tests.factories.orders import (
    MORNING,
    YESTERDAY,
    a_person,
    a_post,
    a_set,
    an_order,
    new_id,
)

pytestmark = pytest.mark.django_db

TODAY = date(2027, 3, 3)
RING_LANE = "2 Ring Lane, Hexwold, ZY7 4LQ"


@pytest.fixture
def post():
    a_post()


def make_run():
    day = post_day(MORNING)
    return desk.make_post_run(
        day.day, packets=day.new_figures, request_id=new_id(), now=MORNING
    )


def labels(day):
    return [(one.number, one.label) for one in day.packets]


def test_a_run_freezes_the_packets_in_order_of_work(post):
    ring = a_set()
    an_order((ring, 1), number="L-2", address=RING_LANE)
    an_order((ring, 1), number="L-1", placed_at=YESTERDAY.replace(hour=8))
    planned = labels(post_day(MORNING))

    make_run()

    assert planned == [(1, "L-1"), (2, "L-2")]
    assert labels(post_day(MORNING)) == planned
    assert post_day(MORNING).new_figures == ()


def test_a_later_order_gets_the_next_number_and_the_others_keep_theirs(post):
    ring = a_set()
    an_order((ring, 1), number="L-2")
    make_run()
    an_order((ring, 1), number="L-1", placed_at=YESTERDAY.replace(hour=8))

    make_run()
    make_run()

    assert PostRun.objects.count() == 1
    assert labels(post_day(MORNING)) == [(1, "L-2"), (2, "L-1")]


def test_the_codes_on_slips_have_no_signs_that_look_alike(post):
    ring = a_set(held=30)
    for number in range(12):
        an_order(
            (ring, 1),
            buyer=f"Buyer {number}",
            address=f"{number + 1} Rope Lane, Marrowick, ZY1 1AP",
        )

    make_run()

    codes = set(Packet.objects.values_list("short_code", flat=True))
    assert len(codes) == 12
    assert all(re.fullmatch("[ACDEFGHJKMNPQRTUVWXY34679]{6}", code) for code in codes)


def test_one_door_is_not_joined_where_nothing_is_saved_by_it(post):
    # Worked by hand: two patterns are a letter of 4.5 mm at £0.95; four are two
    # letters, £1.90, or a large letter at £2.15. Joining saves neither pence nor packet.
    pattern = a_set(
        "PT-LTR", packed_thickness_tenths_mm=20, grams=38, may_go_as_letter=True
    )
    an_order((pattern, 2), number="L-1", buyer="Una", address=RING_LANE)
    an_order((pattern, 2), number="L-2", buyer="Wilma", address=RING_LANE)

    day = post_day(MORNING)

    assert labels(day) == [(1, "L-1"), (2, "L-2")]
    assert (day.joined, day.postage_pence) == ((), 190)


def test_a_packet_is_ticked_and_unticked_with_a_name(post):
    an_order()
    packet = make_run().packets.get()
    posy = a_person("Posy Oakenby", "packer")

    packed = desk.set_packet_packed(packet, now=MORNING, by=posy)
    unpacked = desk.set_packet_packed(packet, now=MORNING, packed=False)

    assert (packed.state, packed.packed_by) == ("packed", posy)
    assert (unpacked.state, unpacked.packed_by) == ("to-pack", None)


def test_posting_is_one_act_an_entry_a_packet(post):
    ring = a_set(held=5)
    one = an_order((ring, 1), number="L-1")
    two = an_order((ring, 2), number="L-2", address=RING_LANE)
    run, request_id = make_run(), new_id()

    for _ in range(2):
        desk.post_packets(
            run.packets.all(), proof="R 4711", request_id=request_id, now=MORNING
        )

    entries = Entry.objects.filter(verb="sold").order_by("reference")
    assert [entry.reference for entry in entries] == ["L-1", "L-2"]
    assert sellable_at_home([ring]) == {ring.pk: 2}
    assert set(Claim.objects.values_list("closed_how", flat=True)) == {"gone"}
    states = Order.objects.filter(pk__in=[one.pk, two.pk]).values_list(
        "state", "posted_on"
    )
    assert set(states) == {("posted", TODAY)}
    assert {packet.proof for packet in run.packets.all()} == {"R 4711"}
    assert balance_differences() == []


def test_a_packet_posted_by_two_forms_leaves_the_shelf_once(post):
    ring = a_set(held=5)
    an_order((ring, 1))
    run = make_run()

    for _ in range(2):
        desk.post_packets(run.packets.all(), request_id=new_id(), now=MORNING)

    assert sellable_at_home([ring]) == {ring.pk: 4}


def test_what_is_sent_free_goes_out_as_given_with_its_reason(post):
    ring = a_set(held=5)
    first = an_order((ring, 1), number="L-0401", address=RING_LANE)
    an_order((ring, 1, 0), kind="replacement", paid="free", for_order=first)
    packets = make_run().packets.filter(orders__kind="replacement")

    desk.post_packets(packets, request_id=new_id(), now=MORNING)

    entry = Entry.objects.get(verb="given")
    assert entry.reason == "Replacement for L-0401"
    assert entry.movements.get().to_place.code == "given"


def test_an_order_is_not_posted_while_anything_of_it_is_owed(post):
    ring, glass = a_set("RF-090"), a_set("SG-045", held=0)
    order = an_order((ring, 1), (glass, 1))
    desk.send_part(order)

    desk.post_packets(make_run().packets.all(), request_id=new_id(), now=MORNING)

    order.refresh_from_db()
    assert (order.state, order.posted_on) == ("open", None)
    assert [line.owed for line in order.lines.order_by("pk")] == [0, 1]
    assert state_of_order(order, MORNING).verdict == "short"


def test_a_part_of_a_line_may_go_first(post):
    ring = a_set(held=2)
    order = an_order((ring, 3))
    desk.send_part(order)

    desk.post_packets(make_run().packets.all(), request_id=new_id(), now=MORNING)

    line = OrderLine.objects.get()
    assert (line.gone, line.owed, line.claim.count) == (2, 1, 1)


def test_a_posting_is_taken_back_whole(post):
    ring = a_set(held=5)
    order = an_order((ring, 2))
    run = make_run()
    rank = order.lines.get().claim.ranks_at
    desk.post_packets(run.packets.all(), proof="x", request_id=new_id(), now=MORNING)

    for _ in range(2):
        desk.unpost_packets(run.packets.all(), request_id=new_id(), now=MORNING)

    order.refresh_from_db()
    packet = run.packets.get()
    assert (order.state, order.posted_on) == ("open", None)
    assert (packet.state, packet.entry, packet.proof) == ("packed", None, "")
    assert sellable_at_home([ring]) == {ring.pk: 5}
    claim = order.lines.get().claim
    assert (claim.closed_at, claim.count, claim.ranks_at) == (None, 2, rank)
    assert balance_differences() == []


def test_what_was_taken_back_can_be_posted_again_but_not_by_the_old_form(post):
    ring = a_set(held=5)
    an_order((ring, 1))
    run, old_form = make_run(), new_id()
    desk.post_packets(run.packets.all(), request_id=old_form, now=MORNING)
    desk.unpost_packets(run.packets.all(), request_id=new_id(), now=MORNING)

    desk.post_packets(run.packets.all(), request_id=old_form, now=MORNING)
    after_old_form = run.packets.get().state
    desk.post_packets(run.packets.all(), request_id=new_id(), now=MORNING)

    assert (after_old_form, run.packets.get().state) == ("packed", "posted")
    assert sellable_at_home([ring]) == {ring.pk: 4}


def test_what_cannot_be_found_stays_claimed_and_is_asked_about(post):
    ring, glass = a_set("RF-090"), a_set("SG-045")
    order = an_order((ring, 1), (glass, 1), number="L-1")
    packet = make_run().packets.get()

    for _ in range(2):
        desk.take_packet_out(packet, missing=glass, now=MORNING)

    state = state_of_order(order, MORNING)
    assert (state.verdict, state.sentence) == (
        "ask",
        "SG-045 (Set SG-045) could not be found.",
    )
    assert Claim.objects.filter(closed_at=None).count() == 2
    assert post_day(MORNING).packets == ()


def test_a_packet_taken_out_by_mistake_goes_back_under_its_number(post):
    an_order()
    packet = make_run().packets.get()
    desk.take_packet_out(packet, missing=None, now=MORNING)

    desk.take_packet_back(packet)

    assert Packet.objects.get().state == "to-pack"


def test_a_posted_packet_is_not_ticked_or_taken_out(post):
    an_order()
    packet = make_run().packets.get()
    desk.post_packets([packet], request_id=new_id(), now=MORNING)

    with pytest.raises(PacketAway) as refused:
        desk.take_packet_out(packet, missing=None, now=MORNING)

    assert str(refused.value) == "Packet 1 is posted by now. Nothing was changed."


def test_a_cancelled_order_leaves_the_run_and_the_run_says_what_should_wait(post):
    ring = a_set()
    cancelled = an_order((ring, 1), number="L-1")
    asked = an_order((ring, 1), number="L-2", buyer="Una", address=RING_LANE)
    make_run()

    desk.cancel_order(cancelled, now=MORNING)
    desk.set_address(
        asked, address=parse_one_line("Ring Lane, Hexwold, ZY7 4LQ"), now=MORNING
    )

    day = post_day(MORNING)
    assert labels(day) == [(2, "L-2")]
    assert day.problems == (
        "Packet 2 holds L-2, which should wait by now: There is no house number or "
        "house name before Ring Lane. Take it out of the run.",
    )


def test_goods_nobody_measured_are_named_and_the_other_packets_go(post):
    plain = a_set("NEW-1", grams=None)
    an_order((plain, 1), number="L-1")
    an_order((a_set(), 1), number="L-2", address=RING_LANE)

    day = post_day(MORNING)

    assert labels(day) == [(1, "L-2")]
    assert [one.sentence for one in day.unmeasured] == [
        "L-1 cannot be planned: NEW-1 (Set NEW-1) has no packed size or weight yet."
    ]


def test_goods_nobody_measured_are_named_once_for_all_that_wait_for_them(post):
    first, second = a_set("NEW-1", grams=None), a_set("NEW-2", grams=None)
    an_order((first, 1), (second, 1), number="L-1")
    an_order((first, 1), number="L-2")

    day = post_day(MORNING)

    assert [(one.item.code, one.numbers) for one in day.unmeasured] == [
        ("NEW-1", ("L-1", "L-2")),
        ("NEW-2", ("L-1",)),
    ]
