"""A plan that is chosen becomes batches in sessions, once, and is kept to look back on."""

import pytest

from inventory.models import Arrival
from production import actions as making
from production.errors import NothingToPlan, PlanMoved
from production.models import Batch, Plan
from production.queries.plans import plan_for
from tests.factories.production import (
    MONDAY_1_FEB,
    a_person,
    a_slot,
    a_workshop,
    new_id,
)
from tests.production.test_selling_day_plan import SATURDAY_6, story_three

pytestmark = pytest.mark.django_db


def choose(slot, request_id=None, **more):
    plan = plan_for(slot, now=MONDAY_1_FEB)
    return making.make_batches(
        slot,
        request_id=request_id or new_id(),
        now=MONDAY_1_FEB,
        **{"fingerprint": plan.fingerprint} | more,
    )


def planned():
    return Batch.objects.filter(state="planned")


def sheets_planned():
    return sum(batch.count for batch in planned().filter(kind="cutting"))


def test_the_batches_are_the_sheets_and_sets_of_the_plan():
    _, slot = story_three()

    plan = choose(slot, by=a_person())

    cutting = planned().filter(kind="cutting")
    by_layout = {}
    for batch in cutting:
        by_layout[batch.layout.code] = by_layout.get(batch.layout.code, 0) + batch.count
    assert by_layout == {"LA": 3, "LG": 3, "LE": 7, "LP": 5}
    assert sum(batch.minutes for batch in cutting) == 383
    assert {b.item.code: b.count for b in planned().filter(kind="making-up")} == {
        "SG-030": 40,
        "RF-090": 26,
        "SG-090": 11,
    }
    assert plan.answer["opening"].startswith("Four weeks to go: 18 sheets")
    assert plan.asked["wanted"] == {"SG-030": 40, "RF-090": 26, "SG-090": 11}
    assert plan.chosen_at == MONDAY_1_FEB


def test_the_button_pressed_twice_writes_the_batches_once():
    _, slot = story_three()
    request_id = new_id()

    first = choose(slot, request_id)
    again = choose(slot, request_id)

    assert (first.pk, Plan.objects.count()) == (again.pk, 1)
    assert sheets_planned() == 18


def test_a_plan_made_anew_replaces_the_batches_of_the_one_before():
    items, slot = story_three()
    choose(slot)
    same = plan_for(slot, now=MONDAY_1_FEB)

    making.set_line(slot, item=items["SG-090"], wanted=0)
    choose(slot)

    assert same.sheets == 18
    assert sheets_planned() == plan_for(slot, now=MONDAY_1_FEB).sheets
    assert Batch.objects.filter(state="dropped", kind="cutting").count() > 0


def test_figures_that_moved_since_the_page_was_opened_are_not_turned_into_batches():
    items, slot = story_three()
    seen = plan_for(slot, now=MONDAY_1_FEB).fingerprint
    making.set_line(slot, item=items["RF-090"], wanted=30)

    with pytest.raises(PlanMoved, match="have changed since this page was opened"):
        choose(slot, fingerprint=seen)

    assert (Batch.objects.count(), Plan.objects.count()) == (0, 0)


def test_a_day_with_nothing_to_make_says_so():
    a_workshop()
    slot = a_slot()

    with pytest.raises(NothingToPlan, match="nothing to cut or to make up"):
        choose(slot)


def test_a_choice_taken_back_brings_the_earlier_batches_again():
    items, slot = story_three()
    choose(slot)
    making.set_line(slot, item=items["SG-090"], wanted=0)
    second = choose(slot)

    making.take_back_choice(second, now=MONDAY_1_FEB)
    making.take_back_choice(second, now=MONDAY_1_FEB)

    assert sheets_planned() == 18
    assert not second.batches.filter(state="planned").exists()
    open_arrivals = Arrival.objects.filter(closed_at=None, item__code="A425")
    assert [(a.count, a.expected_on) for a in open_arrivals] == [(42, SATURDAY_6)]
