"""Selling days, their lines, what is sent to them and what goes on air."""

from datetime import datetime, timedelta

import pytest

from inventory import actions as stock
from inventory.errors import NotACount
from inventory.models import Claim, Outlet
from inventory.queries.balances import balance_differences
from inventory.queries.promises import promise_of
from production import actions as making
from production.errors import (
    DayRunsBackward,
    LineAlreadySent,
    MinuteOutsideDay,
    NothingToSend,
    NowhereToSend,
    SellingDayThere,
    SendShort,
    TallyGoesBack,
)
from production.models import Line, SellingDay, Tally
from production.queries.sending import sending_reference
from tests.factories.production import (
    LONDON,
    a_slot,
    a_workshop,
    held,
    new_id,
)

pytestmark = pytest.mark.django_db
NOW = datetime(2027, 2, 25, 10, 30, tzinfo=LONDON)
ON_AIR = datetime(2027, 3, 3, 15, 0, tzinfo=LONDON)


def test_a_selling_day_said_twice_is_one():
    first = a_slot(name="Spring slot")
    again = a_slot(name="Spring slot")

    assert (first.pk, SellingDay.objects.count()) == (again.pk, 1)
    assert first.place.code == "tinderbrook"
    with pytest.raises(SellingDayThere, match="“Spring slot” already starts there"):
        a_slot(name="Another slot")


def test_a_selling_day_that_runs_backward_is_refused_with_both_times():
    with pytest.raises(DayRunsBackward, match=r"The end .Wed 3 March, 15:00. comes"):
        a_slot(hours=0)
    with pytest.raises(DayRunsBackward, match=r"The start .* comes before Goods-in"):
        a_slot(goods_in_at=ON_AIR + timedelta(hours=1))

    assert SellingDay.objects.count() == 0


def test_a_selling_day_cannot_be_moved_onto_another():
    a_slot(name="First")
    second = a_slot(ON_AIR + timedelta(days=1), name="Second")

    with pytest.raises(SellingDayThere, match="“First” already starts"):
        making.change_selling_day(
            second, starts_at=ON_AIR, ends_at=ON_AIR + timedelta(hours=1)
        )


def test_a_number_she_writes_is_pinned_and_an_empty_one_is_not():
    items, slot = a_workshop(), a_slot()

    written = making.set_line(slot, item=items["RF-090"], wanted=40, price_pence=1150)
    pinned = (written.wanted, written.is_pinned, written.price_pence)
    emptied = making.set_line(slot, item=items["RF-090"])

    assert pinned == (40, True, 1150)
    assert (emptied.wanted, emptied.is_pinned, emptied.price_pence) == (
        None,
        False,
        1150,
    )
    assert Line.objects.count() == 1
    with pytest.raises(NotACount):
        making.set_line(slot, item=items["RF-090"], wanted=-3)


def test_goods_sent_are_still_hers_and_no_longer_promised():
    items, slot = a_workshop(sets={"RF-090": 50}), a_slot()
    request_id = new_id()

    making.send_goods(slot, {items["RF-090"]: 48}, request_id=request_id, now=NOW)
    making.send_goods(slot, {items["RF-090"]: 48}, request_id=request_id, now=NOW)

    promise = promise_of(items["RF-090"], now=NOW)
    assert (promise.can_promise, promise.owned) == (2, 50)
    assert held("RF-090", place="tinderbrook") == 48
    assert slot.lines.get().sent == 48
    assert balance_differences() == []


def test_what_people_paid_for_is_not_sent_away():
    items, slot = a_workshop(sets={"RF-090": 10}), a_slot()
    promised(items["RF-090"], 7, kind="paid")

    with pytest.raises(SendShort, match="4 of RF-090 were to go and 3 are free"):
        making.send_goods(slot, {items["RF-090"]: 4}, request_id=new_id(), now=NOW)

    assert held("RF-090", place="tinderbrook") == 0
    making.send_goods(
        slot,
        {items["RF-090"]: 4},
        request_id=new_id(),
        now=NOW,
        overruled_because="The customer agreed to wait.",
    )
    assert held("RF-090", place="tinderbrook") == 4


def promised(item, count, **more):
    return stock.claim_stock(
        item, count=count, label="x", request_id=new_id(), now=NOW, **more
    )


def test_what_is_kept_for_the_day_goes_and_is_kept_again_when_taken_back():
    items, slot = a_workshop(sets={"RF-090": 10}), a_slot()
    promised(items["RF-090"], 8, kind="kept", reference=sending_reference(slot))

    entry = making.send_goods(slot, {items["RF-090"]: 6}, request_id=new_id(), now=NOW)
    kept_after = Claim.objects.get(closed_at=None).count
    free_after = promise_of(items["RF-090"], now=NOW).can_promise
    making.take_back_sending(slot, entry, request_id=new_id(), now=NOW)

    # Worked by hand: 10 - 8 kept = 2 free; 6 of the 8 went, so 4 - 2 = 2 stay free.
    assert (kept_after, free_after) == (2, 2)
    live = Claim.objects.filter(closed_at=None)
    assert sum(claim.count for claim in live) == 8
    assert (slot.lines.get().sent, held("RF-090", place="tinderbrook")) == (0, 0)
    assert balance_differences() == []


def test_a_sending_without_goods_or_without_a_place_says_so():
    items, slot = a_workshop(sets={"RF-090": 1}), a_slot()
    shop = Outlet.objects.create(code="web", name="Web shop", kind="web")
    launch = a_slot(outlet=shop, kind="online", name="Launch")

    with pytest.raises(NothingToSend, match="No number is written"):
        making.send_goods(slot, {items["RF-090"]: 0}, request_id=new_id(), now=NOW)
    with pytest.raises(NowhereToSend, match="where the goods for Launch go"):
        making.send_goods(launch, {items["RF-090"]: 1}, request_id=new_id(), now=NOW)


def test_a_line_whose_goods_have_gone_stays():
    items, slot = a_workshop(sets={"RF-090": 2}), a_slot()
    line = making.set_line(slot, item=items["SG-030"], wanted=2)
    making.send_goods(slot, {items["RF-090"]: 2}, request_id=new_id(), now=NOW)

    making.drop_line(line)
    making.drop_line(line)

    assert [kept.item.code for kept in slot.lines.all()] == ["RF-090"]
    with pytest.raises(LineAlreadySent, match="2 of RF-090 have already gone"):
        making.drop_line(slot.lines.get())


def on_air():
    items, slot = a_workshop(sets={"RF-090": 48}), a_slot()
    making.send_goods(slot, {items["RF-090"]: 48}, request_id=new_id(), now=NOW)
    return slot.lines.get()


def test_a_tap_sent_twice_counts_once():
    line = on_air()

    making.record_tally(line, minute=10, gone=11)
    making.record_tally(line, minute=10, gone=11)

    line.refresh_from_db()
    assert [(tally.minute, tally.gone) for tally in line.tallies.all()] == [(10, 11)]
    assert line.sold == 11


def test_sold_out_now_means_that_all_that_was_sent_had_gone():
    line = on_air()
    making.record_tally(line, minute=20, gone=22)

    line = making.note_sold_out(line, minute=42)

    assert (line.sold, line.sold_out_minute) == (48, 42)

    line = making.take_back_tally(line)

    assert (line.sold, line.sold_out_minute) == (22, None)


def test_the_last_tap_can_be_taken_back_until_none_is_left():
    line = on_air()
    making.record_tally(line, minute=5, gone=3)

    making.take_back_tally(line)
    line = making.take_back_tally(line)

    assert (line.sold, Tally.objects.count()) == (None, 0)


def test_sales_never_run_backward_nor_outside_the_hour():
    line = on_air()
    making.record_tally(line, minute=20, gone=22)

    with pytest.raises(TallyGoesBack, match="22 of RF-090 had gone by minute 20, so"):
        making.record_tally(line, minute=30, gone=21)
    with pytest.raises(TallyGoesBack, match="30 of RF-090 had gone by minute 10, so"):
        making.record_tally(line, minute=10, gone=30)
    with pytest.raises(MinuteOutsideDay, match="Minute 61 is outside"):
        making.record_tally(line, minute=61, gone=22)
    with pytest.raises(NotACount):
        making.record_tally(line, minute=30, gone=-1)

    assert line.tallies.count() == 1


def test_terms_are_written_anew():
    slot = a_slot()

    making.set_terms(slot, basis="sale-or-return", carton_charge_pence=1800)
    making.set_terms(slot, basis="firm")

    slot.refresh_from_db()
    assert (slot.terms.basis, slot.terms.carton_charge_pence) == ("firm", 1800)
