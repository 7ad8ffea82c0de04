"""The Studio page: name and figures, counter, days, people, and the demo's clock."""

from datetime import date, datetime, time
from uuid import UUID
from zoneinfo import ZoneInfo

import pytest
from django.contrib.messages import get_messages
from django.test import Client
from django.urls import reverse

from inventory import actions as stock
from inventory.models import Balance, Entry
from inventory.queries.balances import sellable_at_home
from studio import house, people, signing_in
from studio.models import (
    Absence,
    ClosedDay,
    Counter,
    Device,
    PackerHours,
    Person,
    PostStop,
    SignInLink,
    StudioSettings,
)
from tests.conftest import MORNING
from tests.factories.studio import (
    DeviceFactory,
    OwnerFactory,
    PackerFactory,
    StudioFactory,
    WorkshopFactory,
)

pytestmark = pytest.mark.django_db
LONDON = ZoneInfo("Europe/London")
REQUEST_ID = "0f8fad5b-d9cb-469f-a165-70867728950e"


@pytest.fixture(autouse=True)
def quick_passwords(settings):
    """The slow hash is Django's own business."""
    settings.PASSWORD_HASHERS = ["django.contrib.auth.hashers.MD5PasswordHasher"]


@pytest.fixture
def studio(db):
    return StudioFactory()


@pytest.fixture
def owner(studio):
    return OwnerFactory()


@pytest.fixture
def client(owner):
    client = Client()
    client.force_login(owner)
    return client


def send(client, page, /, *args, **typed):
    data = {key.replace("__", "-"): value for key, value in typed.items()}
    return client.post(
        reverse(f"studio:{page}", args=args), {"request_id": REQUEST_ID, **data}
    )


def said(answer):
    return [str(message) for message in get_messages(answer.wsgi_request)]


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


def test_the_figures_are_kept_exactly(client, settings):
    settings.ALLOWED_HOSTS = ["testserver"]

    send(client, "figures", **FIGURES)

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
    client, box, typed, sentence
):
    page = send(client, "figures", **{**FIGURES, box: typed})

    form = page.context["form"]
    assert sentence in " ".join(form.errors[box])
    assert form["phone"].value() == "01632 960123"
    assert form[box].value() == typed
    assert StudioSettings.objects.get().phone == ""


def test_the_form_shows_the_figures_as_they_would_be_typed(client, studio):
    house.change_studio(studio, courier_pence=980, courier_before=time(15))

    form = client.get(reverse("studio:figures")).context["form"]

    assert form["courier_pence"].value() == "9.80"
    assert form["courier_before"].value() == "15:00"


def test_the_studio_page_shows_each_figure_and_that_no_copy_was_made(client):
    page = client.get(reverse("studio:studio")).content.decode()

    assert "Days of selling that a new batch should cover" in page
    assert "No copy of the book has been made yet." in page


# ------------------------------------------------------------ counter and days


def test_the_counter_is_written_down_once_and_changed_in_place(client):
    typed = {
        "counter__name": "Village counter",
        "counter__weekday_last": "16:45",
        "counter__saturday_last": "11:30",
        "counter__packets_a_visit": "40",
        "counter__minutes_away": "15",
    }

    send(client, "counter_set", **typed)
    send(client, "counter_set", **{**typed, "counter__saturday_last": ""})

    counter = Counter.objects.get()
    assert (counter.weekday_last, counter.saturday_last) == (time(16, 45), None)


def test_a_stop_of_the_post_is_typed_in_with_its_days_and_said_in_a_sentence(client):
    answer = send(
        client,
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


def test_a_stop_sent_twice_stands_once_and_one_day_needs_one_date(client):
    for _ in range(2):
        send(client, "stop_add", stop__first_day="5 March", stop__reason="strike")

    stop = PostStop.objects.get()
    assert (stop.first_day, stop.last_day) == (date(2027, 3, 5), date(2027, 3, 5))


def test_a_stop_that_runs_backwards_is_refused_and_keeps_what_was_typed(client):
    page = send(
        client,
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


def test_a_day_that_does_not_exist_is_named(client):
    page = send(client, "closed_add", closed__day="30 February", closed__reason="rest")

    assert "30 February does not exist" in page.content.decode()
    assert not ClosedDay.objects.exists()


def test_what_is_struck_out_is_gone_and_may_be_struck_out_twice(client):
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

    first = send(client, "stop_drop", stop.pk)
    second = send(client, "stop_drop", stop.pk)

    assert list(PostStop.objects.all()) == [kept]
    assert "Struck out: No collection and no delivery from Fri 5" in said(first)[0]
    assert second.status_code == 302


def test_a_closed_day_comes_and_goes(client):
    send(client, "closed_add", closed__day="11 March", closed__reason="wedding")
    written = ClosedDay.objects.get()

    send(client, "closed_drop", written.pk)

    assert (written.day, written.reason) == (date(2027, 3, 11), "wedding")
    assert not ClosedDay.objects.exists()


def test_a_packers_hours_are_one_stretch_a_weekday(client):
    posy = PackerFactory()
    typed = {"hours__person": posy.pk, "hours__weekday": "3", "hours__starts": "13:00"}

    send(client, "hours_set", **typed, hours__ends="16:30")
    send(client, "hours_set", **typed, hours__ends="17:00")
    page = send(client, "hours_set", **typed, hours__ends="12:00")

    hours = PackerHours.objects.get()
    assert (hours.weekday, hours.starts, hours.ends) == (3, time(13), time(17))
    assert "The hours end before they start." in page.content.decode()


def test_a_day_off_is_noted_for_one_person(client):
    posy = PackerFactory()

    send(
        client,
        "absence_add",
        absence__person=posy.pk,
        absence__day="Thu 11 March",
        absence__reason="dentist",
    )

    absence = Absence.objects.get()
    assert (absence.person, absence.day) == (posy, date(2027, 3, 11))
    send(client, "absence_drop", absence.pk)
    assert not Absence.objects.exists()


# ------------------------------------------------------------ people and devices


def test_somebody_new_stands_on_a_button(client):
    send(client, "person_add", name="Posy Oakenby", role="packer", pence_an_hour="0")

    page = client.get(reverse("studio:people")).content.decode()
    assert Person.objects.get(role="packer").name == "Posy Oakenby"
    assert "Posy Oakenby" in page


def test_a_name_that_is_taken_is_said_beside_the_box(client, owner):
    page = send(client, "person_add", name=owner.name, role="packer", pence_an_hour="0")

    assert "There is somebody called Merle Oakenby here" in page.content.decode()
    assert Person.objects.count() == 1


def test_a_person_is_renamed_and_the_name_changes_everywhere(client):
    rufus = WorkshopFactory()

    send(
        client,
        "person_change",
        rufus.pk,
        name="Rufus P.",
        role="workshop",
        pence_an_hour="14.50",
    )

    rufus.refresh_from_db()
    assert (rufus.name, rufus.pence_an_hour) == ("Rufus P.", 1450)


def test_a_new_pin_is_kept_and_the_page_never_shows_it(client):
    posy = PackerFactory()

    send(client, "person_word", posy.pk, pin="2468")
    refused = send(client, "person_word", posy.pk, pin="24a8")

    assert Person.objects.get(pk=posy.pk).check_password("2468")
    assert "A PIN is 4 to 12 figures." in refused.content.decode()
    assert "24a8" not in refused.content.decode()


def test_the_owner_who_takes_a_new_password_stays_signed_in_here_only(client, owner):
    people.set_password(owner, password="an old thimble")
    here, elsewhere = Client(), Client()
    for one in (here, elsewhere):
        one.force_login(owner)

    send(here, "person_word", owner.pk, password="a new thimble")

    assert here.get(reverse("studio:studio")).status_code == 200
    assert elsewhere.get(reverse("studio:studio")).status_code == 302


def test_the_last_owner_stays_on_the_buttons(client, owner):
    answer = send(client, "person_part", owner.pk)

    owner.refresh_from_db()
    assert owner.is_active
    assert "Somebody must stay the owner" in said(answer)[0]


def test_somebody_taken_off_the_buttons_can_be_brought_back(client):
    posy = PackerFactory()
    send(client, "person_part", posy.pk)
    gone = Person.objects.get(pk=posy.pk).is_active

    send(client, "person_part", posy.pk, back="yes")

    assert gone is False
    assert Person.objects.get(pk=posy.pk).is_active is True


def test_the_link_for_a_device_has_the_home_networks_name_a_qr_code_and_a_code(
    client, studio
):
    house.change_studio(studio, host_name="loft.local")
    posy = PackerFactory()

    page = send(client, "link_make", person=posy.pk, device_name="kitchen phone")

    new = page.context["new"]
    assert page.context["url"] == f"http://loft.local/let-in/{new.token}/"
    assert '<svg class="qr"' in page.content.decode()
    assert new.code in page.content.decode()
    assert SignInLink.objects.get().person == posy


def test_the_owner_shuts_a_device_out(client):
    device = DeviceFactory(name="lost phone")

    send(client, "device_shut_out", device.pk)

    request = type("Asked", (), {"COOKIES": {signing_in.DEVICE_COOKIE: device.key}})
    assert Device.objects.get().shut_out_at == MORNING
    assert signing_in.device_of(request) is None


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


def test_the_owner_moves_the_clock_of_the_demo_and_stays_on_the_page(client, studio):
    house.change_studio(studio, clock_stands_at=at("2027-03-03T08:30"))

    answer = send(client, "clock_move", to="12:10", next="/studio/days/")

    assert StudioSettings.objects.get().clock_stands_at == at("2027-03-03T12:10")
    assert answer.url == "/studio/days/"
    assert said(answer) == ["The demo’s clock now stands at Wed 3 March, 12:10."]


def test_a_real_studios_clock_cannot_be_moved(client):
    answer = send(client, "clock_move", to="12:10")

    assert StudioSettings.objects.get().clock_stands_at is None
    assert said(answer) == [str(house.ClockRuns())]


@pytest.mark.parametrize("to", ["", "13:00", "yesterday"])
def test_the_clock_stops_only_where_there_is_a_button(client, studio, to):
    house.change_studio(studio, clock_stands_at=at("2027-03-03T08:30"))

    answer = send(client, "clock_move", to=to)

    assert StudioSettings.objects.get().clock_stands_at == at("2027-03-03T08:30")
    assert "Use one of the buttons" in said(answer)[0]


# ------------------------------------------------------------ taking back


@pytest.fixture
def counted_in(studio):
    return stock.add_item_with_count(
        code="RF-090",
        name="Ringfence set, 9 in",
        kind="set",
        count=16,
        request_id=UUID(int=1),
        now=MORNING,
        is_sold=True,
    )


def test_an_entry_is_taken_back_once_however_often_it_is_pressed(client, counted_in):
    entry = Entry.objects.get()

    first = send(client, "take_back", entry.pk)
    send(client, "take_back", entry.pk)

    assert sellable_at_home([counted_in])[counted_in.pk] == 0
    assert Entry.objects.count() == 2
    assert Entry.objects.get(reverses=entry).request_id == UUID(REQUEST_ID)
    assert said(first) == ["Taken back: opening count. Both stay noted."]


def test_an_entry_taken_back_from_two_pages_is_said_to_be_back_already(
    client, counted_in
):
    entry = Entry.objects.get()
    send(client, "take_back", entry.pk)

    answer = client.post(
        reverse("studio:take_back", args=[entry.pk]),
        {"request_id": "9f8fad5b-d9cb-469f-a165-70867728950e"},
        headers={"referer": "http://testserver/studio/days/"},
    )

    assert Entry.objects.count() == 2
    assert answer.url == "http://testserver/studio/days/"
    assert "already taken back" in " ".join(said(answer))


def test_a_helper_takes_back_only_what_the_helper_wrote(counted_in):
    rufus = WorkshopFactory()
    client = Client()
    client.force_login(rufus)
    mine = stock.give_away(
        counted_in,
        count=2,
        place=Balance.objects.get(count=16).place,
        reason="test",
        request_id=UUID(int=2),
        now=MORNING,
        by=rufus,
    )

    others = send(client, "take_back", Entry.objects.get(by=None).pk)
    own = send(client, "take_back", mine.pk)

    assert others.status_code == 403
    assert own.status_code == 302
    assert sellable_at_home([counted_in])[counted_in.pk] == 16


def test_a_page_that_has_no_request_id_takes_nothing_back(client, counted_in):
    answer = client.post(reverse("studio:take_back", args=[Entry.objects.get().pk]))

    assert Entry.objects.count() == 1
    assert "cannot be sent as it is" in said(answer)[0]
