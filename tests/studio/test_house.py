"""The Studio page: its name and figures, the counter, and the days."""

from datetime import date, time
from zoneinfo import ZoneInfo

import pytest
from django.urls import reverse

from studio import house
from studio.models import (
    Absence,
    ClosedDay,
    Counter,
    PackerHours,
    PostStop,
    StudioSettings,
)
from tests.conftest import MORNING
from tests.factories.studio import (
    PackerFactory,
)
from tests.studio.pages import said, send

pytestmark = pytest.mark.django_db
LONDON = ZoneInfo("Europe/London")


# ------------------------------------------------------------ name and figures

FIGURES = {
    "name": "Marrowick Patch Loft",
    "return_address": "The Old Forge\nMarrowick\nZY4 7TQ",
    "phone": "01632 960123",
    "email": "merle@example.com",
    "host_name": "Loft.local",
    "usual_spoil_per_hundred": "6",
    "helper_pence_an_hour": "£14.50",
    "packing_pence_an_hour": "0",
    "setup_minutes": "15",
    "courier_pence": "9.80",
    "courier_before": "15:00",
    "free_postage_from_pence": "",
    "split_after_days": "7",
    "cover_days": "42",
}


def test_the_figures_are_kept_exactly(at_owners, settings):
    settings.ALLOWED_HOSTS = ["testserver"]

    send(at_owners, "figures", **FIGURES)

    kept = StudioSettings.objects.get()
    assert (kept.usual_spoil_per_hundred, kept.cover_days) == (6, 42)
    assert (kept.helper_pence_an_hour, kept.courier_pence) == (1450, 980)
    assert (kept.courier_before, kept.free_postage_from_pence) == (time(15), None)
    assert kept.host_name == "loft.local"
    assert settings.ALLOWED_HOSTS == ["testserver", "loft.local"]


@pytest.mark.parametrize(
    ("box", "typed", "sentence"),
    [
        ("usual_spoil_per_hundred", "100", "Write a whole number from 0 to 99."),
        ("courier_pence", "nine", "“nine” is not an amount of money."),
        ("host_name", "http://loft.local:8321", "Write the name alone"),
        ("host_name", "*", "Write the name alone"),
        ("courier_before", "25:00", "“25:00” is not a time of day."),
    ],
)
def test_a_slip_in_the_figures_is_named_and_nothing_is_lost(
    at_owners, box, typed, sentence
):
    page = send(at_owners, "figures", **{**FIGURES, box: typed})

    form = page.context["form"]
    assert sentence in " ".join(form.errors[box])
    assert form["phone"].value() == "01632 960123"
    assert form[box].value() == typed
    assert StudioSettings.objects.get().phone == ""


def test_the_form_shows_the_figures_as_they_would_be_typed(at_owners):
    house.change_studio(
        StudioSettings.objects.get(), courier_pence=980, courier_before=time(15)
    )

    form = at_owners.get(reverse("studio:figures")).context["form"]

    assert form["courier_pence"].value() == "9.80"
    assert form["courier_before"].value() == "15:00"


def test_the_studio_page_shows_each_figure_and_that_no_copy_was_made(at_owners):
    house.change_studio(StudioSettings.objects.get(), courier_pence=980)

    page = at_owners.get(reverse("studio:studio")).content.decode()

    assert "<dt>Private courier, a packet</dt><dd>£9.80</dd>" in page
    assert "No copy of the book has been made yet." in page


# ------------------------------------------------------------ counter and days


def test_the_counter_is_written_down_once_and_changed_in_place(at_owners):
    typed = {
        "counter__name": "Village counter",
        "counter__weekday_last": "16:45",
        "counter__saturday_last": "11:30",
        "counter__packets_a_visit": "40",
        "counter__minutes_away": "15",
    }

    send(at_owners, "counter_set", **typed)
    send(at_owners, "counter_set", **{**typed, "counter__saturday_last": ""})

    counter = Counter.objects.get()
    assert (counter.weekday_last, counter.saturday_last) == (time(16, 45), None)


def test_a_stop_of_the_post_is_typed_in_with_its_days_and_said_in_a_sentence(at_owners):
    answer = send(
        at_owners,
        "stop_add",
        stop__first_day="5 March",
        stop__last_day="6/3/2027",
        stop__reason="strike",
    )

    stop = PostStop.objects.get()
    assert (stop.first_day, stop.last_day) == (date(2027, 3, 5), date(2027, 3, 6))
    assert stop.typed_in_at == MORNING
    assert said(answer) == [
        "No collection and no delivery from Fri 5 March 2027 to Sat 6 March 2027: "
        "strike. Dates are worked out anew."
    ]


def test_a_stop_sent_twice_stands_once_and_one_day_needs_one_date(at_owners):
    for _ in range(2):
        send(at_owners, "stop_add", stop__first_day="5 March", stop__reason="strike")

    stop = PostStop.objects.get()
    assert (stop.first_day, stop.last_day) == (date(2027, 3, 5), date(2027, 3, 5))


def test_a_stop_that_runs_backwards_is_refused_and_keeps_what_was_typed(at_owners):
    page = send(
        at_owners,
        "stop_add",
        stop__first_day="6 March",
        stop__last_day="5 March",
        stop__reason="strike",
    )

    form = page.context["stop_form"]
    assert form.errors["last_day"] == [
        "The last day comes before the first. Write the earlier day first."
    ]
    assert form["reason"].value() == "strike"
    assert not PostStop.objects.exists()


def test_a_day_that_does_not_exist_is_named(at_owners):
    page = send(
        at_owners, "closed_add", closed__day="30 February", closed__reason="rest"
    )

    assert "30 February does not exist" in page.content.decode()
    assert not ClosedDay.objects.exists()


def test_what_is_struck_out_is_gone_and_may_be_struck_out_twice(at_owners):
    stop = house.add_post_stop(
        first_day=date(2027, 3, 5),
        last_day=date(2027, 3, 6),
        reason="strike",
        now=MORNING,
    )
    kept = house.add_post_stop(
        first_day=date(2027, 4, 5),
        last_day=date(2027, 4, 6),
        reason="snow",
        now=MORNING,
    )

    first = send(at_owners, "stop_drop", stop.pk)
    second = send(at_owners, "stop_drop", stop.pk)

    assert list(PostStop.objects.all()) == [kept]
    assert "Struck out: No collection and no delivery from Fri 5" in said(first)[0]
    assert second.status_code == 302


def test_a_closed_day_comes_and_goes(at_owners):
    send(at_owners, "closed_add", closed__day="11 March", closed__reason="wedding")
    written = ClosedDay.objects.get()

    send(at_owners, "closed_drop", written.pk)

    assert (written.day, written.reason) == (date(2027, 3, 11), "wedding")
    assert not ClosedDay.objects.exists()


def test_a_packers_hours_are_one_stretch_a_weekday(at_owners):
    posy = PackerFactory()
    typed = {"hours__person": posy.pk, "hours__weekday": "3", "hours__starts": "13:00"}

    send(at_owners, "hours_set", **typed, hours__ends="16:30")
    send(at_owners, "hours_set", **typed, hours__ends="17:00")
    page = send(at_owners, "hours_set", **typed, hours__ends="12:00")

    hours = PackerHours.objects.get()
    assert (hours.weekday, hours.starts, hours.ends) == (3, time(13), time(17))
    assert "The hours end before they start." in page.content.decode()


def test_a_day_off_is_noted_for_one_person(at_owners):
    posy = PackerFactory()

    send(
        at_owners,
        "absence_add",
        absence__person=posy.pk,
        absence__day="Thu 11 March",
        absence__reason="dentist",
    )

    absence = Absence.objects.get()
    assert (absence.person, absence.day) == (posy, date(2027, 3, 11))
    send(at_owners, "absence_drop", absence.pk)
    assert not Absence.objects.exists()
