"""The demo's clock and its buttons, and taking back what was just written."""

from datetime import datetime
from uuid import UUID
from zoneinfo import ZoneInfo

import pytest
from django.urls import reverse

from inventory import actions as stock
from inventory.models import Balance, Entry
from inventory.queries.balances import sellable_at_home
from studio import house
from studio.models import (
    StudioSettings,
)
from tests.conftest import MORNING
from tests.factories.studio import (
    WorkshopFactory,
)
from tests.studio.pages import REQUEST_ID, client_of, said, send

pytestmark = pytest.mark.django_db
LONDON = ZoneInfo("Europe/London")


# ------------------------------------------------------------ the demo's clock


def at(text):
    return datetime.fromisoformat(text).replace(tzinfo=LONDON)


@pytest.mark.parametrize(
    ("stands_at", "to", "moves_to"),
    [
        ("2027-03-03T08:30", "12:10", "2027-03-03T12:10"),
        ("2027-03-03T19:15", "08:30", "2027-03-03T08:30"),
        ("2027-03-03T08:30", "18:00", "2027-03-03T18:00"),
        ("2027-03-03T08:30", "19:15", "2027-03-03T19:15"),
        ("2027-03-03T19:15", "next-morning", "2027-03-04T08:30"),
        ("2027-03-09T19:15", "start", "2027-03-03T08:30"),
        # The clocks go forward on 28 March 2027: the morning is still at 08:30.
        ("2027-03-27T19:15", "next-morning", "2027-03-28T08:30"),
    ],
)
def test_each_button_of_the_clock_means_one_moment(stands_at, to, moves_to):
    assert house.clock_stop(to, at(stands_at)) == at(moves_to)


def test_the_owner_moves_the_clock_of_the_demo_and_stays_on_the_page(at_owners):
    house.change_studio(
        StudioSettings.objects.get(), clock_stands_at=at("2027-03-03T08:30")
    )

    answer = send(at_owners, "clock_move", to="12:10", next="/studio/days/")

    assert StudioSettings.objects.get().clock_stands_at == at("2027-03-03T12:10")
    assert answer.url == "/studio/days/"
    assert said(answer) == ["The demo’s clock now stands at Wed 3 March, 12:10."]


def test_a_real_studios_clock_cannot_be_moved(at_owners):
    answer = send(at_owners, "clock_move", to="12:10")

    assert StudioSettings.objects.get().clock_stands_at is None
    assert said(answer) == [str(house.ClockRuns())]


@pytest.mark.parametrize("to", ["", "13:00", "yesterday"])
def test_the_clock_stops_only_where_there_is_a_button(at_owners, to):
    house.change_studio(
        StudioSettings.objects.get(), clock_stands_at=at("2027-03-03T08:30")
    )

    answer = send(at_owners, "clock_move", to=to)

    assert StudioSettings.objects.get().clock_stands_at == at("2027-03-03T08:30")
    assert "Use one of the buttons" in said(answer)[0]


# ------------------------------------------------------------ taking back


def test_an_entry_is_taken_back_once_however_often_it_is_pressed(at_owners, stocked):
    entry = Entry.objects.get()

    first = send(at_owners, "take_back", entry.pk)
    send(at_owners, "take_back", entry.pk)

    assert sellable_at_home([stocked])[stocked.pk] == 0
    assert Entry.objects.count() == 2
    assert Entry.objects.get(reverses=entry).request_id == UUID(REQUEST_ID)
    assert said(first) == ["Taken back: opening count. Both stay noted."]


def test_an_entry_taken_back_from_two_pages_is_said_to_be_back_already(
    at_owners, stocked
):
    entry = Entry.objects.get()
    send(at_owners, "take_back", entry.pk)

    answer = at_owners.post(
        reverse("studio:take_back", args=[entry.pk]),
        {"request_id": "9f8fad5b-d9cb-469f-a165-70867728950e"},
        headers={"referer": "http://testserver/studio/days/"},
    )

    assert Entry.objects.count() == 2
    assert answer.url == "http://testserver/studio/days/"
    assert "already taken back" in " ".join(said(answer))


def test_a_helper_takes_back_only_what_the_helper_wrote(stocked):
    rufus = WorkshopFactory()
    mine = stock.give_away(
        stocked,
        count=2,
        place=Balance.objects.get(count=16).place,
        reason="test",
        request_id=UUID(int=2),
        now=MORNING,
        by=rufus,
    )

    others = send(client_of(rufus), "take_back", Entry.objects.get(by=None).pk)
    own = send(client_of(rufus), "take_back", mine.pk)

    assert others.status_code == 403
    assert own.status_code == 302
    assert sellable_at_home([stocked])[stocked.pk] == 16


def test_a_page_that_has_no_request_id_takes_nothing_back(at_owners, stocked):
    answer = at_owners.post(reverse("studio:take_back", args=[Entry.objects.get().pk]))

    assert Entry.objects.count() == 1
    assert "cannot be sent as it is" in said(answer)[0]
