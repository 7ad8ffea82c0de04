"""What the bench should say of itself: half sets, layouts, sessions, samples, spoil."""

from datetime import date, datetime, time

import pytest

from inventory import actions as stock
from inventory.models import BundleContents, Sample
from production import actions as making
from production.queries.layouts import layout_called
from production.queries.notices import (
    half_sets,
    layout_faults,
    sample_faults,
    session_faults,
)
from production.queries.suggestions import (
    cutting_suggestion,
    spoil_warnings,
    spoil_warnings_on,
)
from tests.factories.production import (
    LONDON,
    a_session,
    a_slot,
    a_workshop,
    an_item,
    new_id,
)
from tests.production.test_cutting import AT_TEN, SATURDAY, cut, story_four

pytestmark = pytest.mark.django_db
NOW = datetime(2027, 3, 3, 8, 30, tzinfo=LONDON)


def promise_sets(items, **sets):
    for code, count in sets.items():
        stock.claim_stock(
            items[code.replace("_", "-")],
            count=count,
            kind="paid",
            label="orders",
            request_id=new_id(),
            now=AT_TEN,
            overruled_because="They came in a file.",
        )


def test_the_promises_lack_six_squares_and_one_sheet_of_squares_is_suggested():
    items = a_workshop(loose={"A425": 5, "SQ350": 9, "A388": 2})
    promise_sets(items, RF_090=14, SG_030=10)
    story_four(items, new_id())

    suggestion = cutting_suggestion(AT_TEN)

    # Worked by hand: the cutting log with a bad signal.
    assert suggestion.shortfall == (("SQ350", 6),)
    assert suggestion.sheets == (("LB", 1),)
    assert suggestion.minutes == 26
    assert suggestion.reasons[1] == (
        "1 sheet of LE is enough only 73 times in 100, and it adds A1025, SQ950 "
        "nobody has asked for."
    )


def test_nothing_is_suggested_when_it_is_planned_or_when_all_can_be_made_up():
    items = a_workshop(loose={"SQ350": 18, "A388": 30, "C200": 30, "A425": 30})
    promise_sets(items, RF_090=14)
    enough = cutting_suggestion(AT_TEN)
    promise_sets(items, SG_030=10)
    lacking = cutting_suggestion(AT_TEN)

    making.plan_cutting(layout_called("LB"), sheets=1, request_id=new_id(), now=AT_TEN)

    assert enough is None
    assert lacking.shortfall == (("SQ350", 6),)
    assert cutting_suggestion(AT_TEN) is None


def test_pieces_of_several_layouts_are_suggested_together():
    items = a_workshop()
    promise_sets(items, SG_090=2, SG_030=3)

    suggestion = cutting_suggestion(AT_TEN)

    # Three A425 take a sheet of LA; three squares with two pairs take LE twice.
    assert suggestion.shortfall == (
        ("A1025", 2),
        ("A425", 3),
        ("SQ350", 3),
        ("SQ950", 2),
    )
    assert dict(suggestion.sheets)["LA"] == 1


def test_only_the_squares_of_one_layout_are_spoiled_too_often():
    items = a_workshop(loose={"A425": 5, "SQ350": 9, "A388": 2})

    first, second, _ = story_four(items, new_id())

    # Worked by hand: 4 of 45 has a chance of 0.187, 3 of 12 one of 0.0196.
    assert spoil_warnings(first) == []
    [warning] = spoil_warnings(second)
    assert (warning.piece, warning.layout, warning.where) == (
        "SQ350",
        "LG",
        "right edge",
    )
    assert round(float(warning.chance), 4) == 0.0196
    assert warning.sentence.endswith("Most were at the right edge.")
    assert spoil_warnings_on(SATURDAY) == [warning]


def test_spoil_logged_sheet_by_sheet_adds_up_over_the_day():
    items = a_workshop()
    logs = [cut("LG", 1, [(items["SQ350"], 2, "cracked", "")])]
    after_one = spoil_warnings(logs[0])
    logs.append(cut("LG", 1, [(items["SQ350"], 2, "cracked", "")]))

    [warning] = spoil_warnings(logs[0])
    making.take_back_cutting(logs[1], request_id=new_id(), now=AT_TEN)

    # Binomial sums: 2 or more of 6 have a chance of 0.0328, 4 or more of 12 of 0.0022.
    assert after_one == []
    assert (warning.spoiled, warning.cut) == (4, 12)
    assert round(float(warning.chance), 4) == 0.0022
    assert spoil_warnings(logs[0]) == []


def test_pieces_without_a_partner_say_what_would_free_them():
    items = a_workshop(loose={"A1025": 5})
    items["A1025"].cost_mills = 3360
    items["A1025"].save(update_fields=["cost_mills"])
    items["SG-090"].finished_size = 9
    items["SG-090"].save(update_fields=["finished_size"])

    [notice] = half_sets(NOW)

    # From the list of what the first page should say, worked by hand.
    assert notice.sentence == (
        "Five A1025 have no partner: £16.80 asleep. "
        "Five SQ950 would free five nine-inch sets."
    )


def test_a_layout_that_never_gives_enough_squares_is_named():
    a_workshop()

    assert [(notice.about, notice.sentence) for notice in layout_faults()] == [
        ("LG", "Layout LG gives 10 A388 but 6 SQ350: four short for each sheet.")
    ]


def test_a_layout_laid_aside_is_not_spoken_of():
    a_workshop()

    making.set_layout_use(layout_called("LG"), is_in_use=False)

    assert layout_faults() == []


def test_a_session_in_the_diary_that_nobody_worked_is_named():
    lens = a_session(date(2027, 3, 2), time(18, 30), time(20, 30))
    worked = a_session(date(2027, 2, 27))
    away = a_session(date(2027, 2, 20), None, None)
    long_ago = a_session(date(2027, 2, 6))
    for session, minutes in ((lens, 0), (worked, 165), (away, 0), (long_ago, 0)):
        making.record_hours(session, minutes_worked=minutes)

    assert [notice.sentence for notice in session_faults(NOW)] == [
        "The diary shows Tue 2 March; no minutes were worked."
    ]


def bundle(code, range_name, count, form="fat-quarter", held=0, **more):
    item = an_item(code, "bundle", held, **more)
    BundleContents.objects.create(
        item=item, form=form, count=count, range_name=range_name
    )
    return item


def a_packed_quilt():
    gone = bundle("FB-07", "Tin Roof Rain", 12, held=1, out_of_print=True)
    bag = stock.ensure_place("slot-bag", "Bag for the slot", kind="bag")
    sample = Sample.objects.create(code="SM-03", name="Lap quilt", place=bag)
    sample.uses.add(gone)
    return sample


def test_a_sample_in_cloth_that_is_out_of_print_names_another():
    a_packed_quilt()
    slot = a_slot()
    small = bundle("FB-05", "Rook Parliament", 5)
    near = bundle("FB-08", "Cinderbeck Plains", 8)
    bundle("FB-01", "Fog on the Fell", 12, form="five-inch", held=9)
    for item in (small, near):
        making.set_line(slot, item=item, wanted=4)

    assert [notice.sentence for notice in sample_faults(NOW)] == [
        "SM-03 is sewn in Tin Roof Rain, which cannot be bought any more: "
        "say so, or show Cinderbeck Plains."
    ]


def test_without_another_bundle_or_a_selling_day_the_sample_is_left_alone():
    sample = a_packed_quilt()
    before = sample_faults(NOW)
    a_slot()

    [notice] = sample_faults(NOW)
    sample.state = Sample.State.GONE
    sample.save(update_fields=["state"])

    assert before == []
    assert notice.sentence.endswith("say so, or leave it at home.")
    assert sample_faults(NOW) == []
