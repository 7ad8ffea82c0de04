"""What comes off the cutter is counted once, and every piece of it is accounted for."""

from datetime import date, datetime, time, timedelta

import pytest

from inventory.errors import SameRequestOtherContent
from inventory.models import Arrival, Claim, Entry
from inventory.queries.balances import balance_differences
from production import actions as making
from production.errors import (
    BatchClosed,
    LayoutCodeTaken,
    LayoutGivesNothing,
    NotASheetCount,
    PieceNotOnLayout,
    UnknownLayout,
    UnknownSpoilReason,
)
from production.models import Batch, CuttingLog, Layout
from production.queries.layouts import layout_called
from production.spoil import SpoiledMoreThanCut
from tests.factories.production import (
    LONDON,
    a_person,
    a_session,
    a_workshop,
    held,
    new_id,
)

pytestmark = pytest.mark.django_db
SATURDAY = date(2027, 2, 6)
AT_TEN = datetime(2027, 2, 6, 10, 0, tzinfo=LONDON)


def cut(code, sheets, spoiled=(), **more):
    more.setdefault("request_id", new_id())
    more.setdefault("now", AT_TEN)
    return making.log_cutting(
        layout_called(code), sheets=sheets, spoiled=spoiled, **more
    )


def story_four(items, first_id):
    """Log 118 arrives twice, log 119 once: worked by hand in the stories."""
    spoiled = [
        (items["A425"], 2, "cracked", ""),
        (items["A425"], 1, "wrong-text", ""),
        (items["A425"], 1, "scratched", ""),
    ]
    first = cut("LA", 3, spoiled, request_id=first_id)
    second = cut(
        "LG",
        2,
        [
            (items["A388"], 1, "cracked", ""),
            (items["SQ350"], 3, "cracked", "right edge"),
        ],
    )
    again = cut("LA", 3, spoiled, request_id=first_id)
    return first, second, again


def test_a_log_that_the_phone_sends_twice_counts_once():
    items = a_workshop(loose={"A425": 5, "SQ350": 9, "A388": 2}, sheets=14)

    first, _, again = story_four(items, new_id())

    # Worked by hand: the cutting log with a bad signal.
    assert again == first
    assert {code: held(code) for code in ("A425", "SQ350", "A388", "C200")} == {
        "A425": 46,
        "SQ350": 18,
        "A388": 21,
        "C200": 20,
    }
    assert held("A425", state="second") == 1
    assert held("SHEET") == 14 - 5
    assert CuttingLog.objects.count() == 2
    assert balance_differences() == []


def test_spoiled_pieces_are_in_the_book_and_not_in_the_drawer():
    items = a_workshop()

    log = cut("LG", 2, [(items["SQ350"], 3, "cracked", "right edge")])

    gone = log.entry.movements.get(to_place__code="spoiled")
    assert (gone.item.code, gone.count) == ("SQ350", 3)
    assert [(row.count, row.where) for row in log.spoiled.all()] == [(3, "right edge")]


def test_the_same_log_with_other_figures_is_refused():
    a_workshop()
    request_id = new_id()
    cut("LA", 3, request_id=request_id)

    with pytest.raises(SameRequestOtherContent):
        cut("LA", 4, request_id=request_id)

    assert held("A425") == 45


def test_more_spoiled_than_the_sheets_gave_is_refused():
    items = a_workshop()

    with pytest.raises(SpoiledMoreThanCut, match="16 A425 are logged as spoiled but "):
        cut(
            "LA",
            1,
            [(items["A425"], 15, "cracked", ""), (items["A425"], 1, "other", "")],
        )

    assert held("A425") == 0
    assert Entry.objects.filter(verb="cut").count() == 0


def test_every_wrong_log_gets_a_sentence_and_changes_nothing():
    items = a_workshop()

    with pytest.raises(NotASheetCount, match="0 is not a number of sheets"):
        cut("LA", 0)
    with pytest.raises(UnknownLayout, match="There is no layout called LZ"):
        cut("LZ", 1)
    with pytest.raises(UnknownLayout, match="Choose the layout"):
        cut(" ", 1)
    with pytest.raises(PieceNotOnLayout, match="LA gives no C200"):
        cut("LA", 1, [(items["C200"], 1, "cracked", "")])
    with pytest.raises(UnknownSpoilReason, match="“dropped” is not one of"):
        cut("LA", 1, [(items["A425"], 1, "dropped", "")])

    assert held("SHEET") == 14
    assert CuttingLog.objects.count() == 0


def test_a_layout_code_is_found_however_it_is_written():
    a_workshop()

    assert layout_called(" lg ").code == "LG"


def test_a_phone_whose_clock_runs_ahead_is_put_right():
    a_workshop()

    log = cut("LA", 1, logged_at=AT_TEN + timedelta(hours=3))

    assert log.logged_at == AT_TEN
    assert log.entry.happened_at == AT_TEN


def test_a_batch_grows_with_each_log_and_closes_when_all_is_cut():
    a_workshop()
    session = a_session(SATURDAY)
    batch = making.plan_cutting(
        layout_called("LA"), sheets=3, request_id=new_id(), now=AT_TEN, session=session
    )

    cut("LA", 2)
    batch.refresh_from_db()
    half = (batch.done, batch.left, batch.state)
    cut("LA", 1)
    batch.refresh_from_db()

    assert half == (2, 1, "planned")
    assert (batch.done, batch.state) == (3, "done")
    assert [log.session for log in batch.logs.all()] == [session, session]


def test_a_planned_batch_says_what_it_will_bring_and_when():
    a_workshop()
    session = a_session(SATURDAY)

    batch = making.plan_cutting(
        layout_called("LG"), sheets=3, request_id=new_id(), now=AT_TEN, session=session
    )
    planned = coming()
    cut("LG", 1, batch=batch)
    after_one = coming()
    cut("LG", 2, batch=batch)

    # At 95 in 100, each rounded down; worked by hand.
    assert planned == {
        "A388": (28, SATURDAY),
        "C200": (28, SATURDAY),
        "SQ350": (17, SATURDAY),
    }
    assert after_one == {
        "A388": (19, SATURDAY),
        "C200": (19, SATURDAY),
        "SQ350": (11, SATURDAY),
    }
    assert coming() == {}


def coming():
    return {
        arrival.item.code: (arrival.count, arrival.expected_on)
        for arrival in Arrival.objects.filter(closed_at=None)
    }


def test_a_log_taken_back_leaves_everything_as_it_was():
    items = a_workshop(loose={"A425": 5})
    batch = making.plan_cutting(
        layout_called("LA"),
        sheets=1,
        request_id=new_id(),
        now=AT_TEN,
        session=a_session(SATURDAY),
    )
    log = cut("LA", 1, [(items["A425"], 2, "scratched", "")])
    back_id = new_id()

    making.take_back_cutting(log, request_id=back_id, now=AT_TEN)
    making.take_back_cutting(log, request_id=back_id, now=AT_TEN)

    batch.refresh_from_db()
    assert (held("A425"), held("A425", state="second"), held("SHEET")) == (5, 0, 14)
    assert (batch.done, batch.state) == (0, "planned")
    assert balance_differences() == []


def test_sheets_that_the_rack_does_not_hold_still_count_as_cut():
    a_workshop(sheets=1)

    cut("LA", 2)

    assert (held("SHEET"), held("A425")) == (-1, 30)


def test_a_dropped_batch_brings_nothing_and_can_be_taken_up_again():
    a_workshop()
    batch = making.plan_cutting(
        layout_called("LA"),
        sheets=2,
        request_id=new_id(),
        now=AT_TEN,
        session=a_session(SATURDAY),
    )

    making.drop_batch(batch, now=AT_TEN)
    dropped = coming()
    batch = making.take_up_batch(batch, now=AT_TEN)

    assert dropped == {}
    assert coming() == {"A425": (28, SATURDAY)}
    assert batch.state == "planned"


def test_a_batch_that_is_done_cannot_be_dropped():
    a_workshop()
    batch = making.plan_cutting(
        layout_called("LA"), sheets=1, request_id=new_id(), now=AT_TEN
    )
    cut("LA", 1, batch=batch)

    with pytest.raises(BatchClosed, match="1 sheet of LA is already done"):
        making.drop_batch(batch, now=AT_TEN)


def test_making_up_uses_the_parts_once_and_lets_the_batch_grow():
    items = a_workshop(loose={"A388": 6, "SQ350": 3, "C200": 8})
    batch = making.plan_making_up(
        items["RF-090"], count=5, request_id=new_id(), now=AT_TEN
    )
    request_id = new_id()

    log = making.log_making_up(
        items["RF-090"], count=3, request_id=request_id, now=AT_TEN, by=a_person()
    )
    making.log_making_up(
        items["RF-090"], count=3, request_id=request_id, now=AT_TEN, by=a_person()
    )

    batch.refresh_from_db()
    assert (held("RF-090"), held("SQ350"), held("A388"), held("C200")) == (3, 0, 3, 5)
    assert (batch.done, batch.left) == (3, 2)

    making.take_back_making_up(log, request_id=new_id(), now=AT_TEN)

    batch.refresh_from_db()
    assert (held("RF-090"), held("SQ350"), batch.done) == (0, 3, 0)


def test_a_layout_is_added_once_and_its_code_is_not_given_twice():
    items = a_workshop()
    before = Layout.objects.count()

    again = making.add_layout(
        "LA", sheet=items["SHEET"], minutes=22, gives={items["A425"]: 15}
    )

    assert (again.code, Layout.objects.count()) == ("LA", before)
    with pytest.raises(LayoutCodeTaken, match="already a layout LA"):
        making.add_layout(
            "LA", sheet=items["SHEET"], minutes=22, gives={items["A425"]: 14}
        )
    with pytest.raises(LayoutGivesNothing, match="LX needs at least one piece"):
        making.add_layout("LX", sheet=items["SHEET"], minutes=0, gives={})


def test_setting_up_is_taken_off_a_session_and_a_message_can_empty_it():
    session = a_session(SATURDAY, time(9), time(12))
    again = a_session(SATURDAY, time(9), time(12))

    making.cancel_session(session, note="Can't do Saturday.")

    # Worked by hand: three hours less fifteen minutes of setting up.
    assert (again.pk, again.net_minutes) == (session.pk, 165)
    session.refresh_from_db()
    assert (session.net_minutes, session.note) == (0, "Can't do Saturday.")


def test_claims_are_not_touched_by_a_cutting_log():
    a_workshop()

    cut("LA", 1)

    assert Claim.objects.count() == 0
    assert Batch.objects.count() == 0
