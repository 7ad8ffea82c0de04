"""Names on buttons: who may be at which device, and how a device is let in."""

import pytest
from django.conf import global_settings
from django.contrib.sessions.models import Session
from django.test import Client
from django.urls import reverse

from studio import people, signing_in
from studio import settings as own_settings
from studio.models import Device, Person
from tests.factories.studio import (
    PASSWORD,
)
from tests.studio.pages import REQUEST_ID, at_device, role_at

pytestmark = pytest.mark.django_db


# ------------------------------------------------------------ a tap on a name


@pytest.mark.parametrize(
    ("device_role", "who", "who_is_in"),
    [
        ("packer", "packer", "packer"),
        ("packer", "workshop", None),
        ("packer", "owner", None),
        ("workshop", "workshop", "workshop"),
        ("workshop", "packer", None),
        ("workshop", "owner", None),
        ("owner", "owner", "owner"),
        ("owner", "workshop", "workshop"),
        ("owner", "packer", "packer"),
    ],
)
def test_a_tap_is_enough_for_those_the_device_was_let_in_for(
    cast, device_role, who, who_is_in
):
    client = at_device(device_role)

    client.post(reverse("studio:say_who", args=[cast[who].pk]))

    assert role_at(client) == who_is_in


def test_a_name_button_on_a_strange_device_opens_nothing(cast):
    client = Client()

    client.post(reverse("studio:say_who", args=[cast["packer"].pk]))
    page = client.get(reverse("studio:people"))

    assert role_at(client) is None
    assert page.url.startswith(reverse("studio:sign_in"))


def test_the_owner_types_the_password_at_the_bench_phone_and_stays_a_few_hours(cast):
    client = at_device("workshop")

    client.post(
        reverse("studio:word", args=[cast["owner"].pk]),
        {"word": PASSWORD, "request_id": REQUEST_ID},
    )

    assert role_at(client) == "owner"
    assert client.session.get_expiry_age() == 4 * 60 * 60


def test_a_packer_with_a_pin_may_use_the_bench_phone(cast):
    people.set_pin(cast["packer"], pin="2468")
    client = at_device("workshop")
    url = reverse("studio:word", args=[cast["packer"].pk])

    wrong = client.post(url, {"word": "2469", "request_id": REQUEST_ID})
    after_wrong = role_at(client)
    client.post(url, {"word": "2468", "request_id": REQUEST_ID})

    assert "do not go together" in wrong.content.decode()
    assert after_wrong is None
    assert role_at(client) == "packer"


def test_somebody_taken_off_the_buttons_is_signed_out_and_has_no_button(cast):
    client = at_device("packer")
    client.post(reverse("studio:say_who", args=[cast["packer"].pk]))
    was_in = role_at(client)

    people.part_with(cast["packer"])
    page = client.get(reverse("studio:people"))
    again = client.post(reverse("studio:say_who", args=[cast["packer"].pk]))

    assert was_in == "packer"
    assert page.wsgi_request.user.is_anonymous
    assert "Posy" not in page.content.decode()
    assert again.status_code == 404


def test_a_new_session_key_is_given_at_each_sign_in(cast):
    client = at_device("owner")
    client.get(reverse("studio:people"))
    client.post(reverse("studio:say_who", args=[cast["packer"].pk]))
    first = client.session.session_key

    client.post(reverse("studio:say_who", args=[cast["owner"].pk]))

    assert client.session.session_key != first
    assert not Session.objects.filter(session_key=first).exists()


# ------------------------------------------------------------ shutting out


def test_a_device_that_is_shut_out_is_signed_out_at_once_and_its_key_is_dead(cast):
    client = at_device("packer", name="lost phone")
    client.post(reverse("studio:say_who", args=[cast["packer"].pk]))
    other = at_device("packer", name="kitchen phone")
    other.post(reverse("studio:say_who", args=[cast["packer"].pk]))

    signing_in.shut_out(Device.objects.get(name="lost phone"))
    client.post(reverse("studio:say_who", args=[cast["packer"].pk]))

    assert client.get(reverse("studio:people")).wsgi_request.user.is_anonymous
    assert role_at(other) == "packer"


# ------------------------------------------------------------ where to go next


@pytest.mark.parametrize(
    ("wanted", "reached"),
    [
        ("/people/", "/people/"),
        ("https://elsewhere.example/", "/"),
        ("//elsewhere.example/", "/"),
        ("javascript:alert(1)", "/"),
        ("", "/"),
    ],
)
def test_signing_in_leads_only_to_pages_of_this_studio(cast, wanted, reached):
    client = at_device("packer")

    answer = client.post(
        reverse("studio:say_who", args=[cast["packer"].pk]), {"next": wanted}
    )

    assert answer.url == reached


# ------------------------------------------------------------ people themselves


def test_two_people_cannot_share_a_name_on_the_buttons(cast):
    with pytest.raises(people.NameTaken) as taken:
        people.add_person(name=" posy  OAKENBY ", role="workshop")

    assert taken.value.name == "posy OAKENBY"


def test_the_same_person_added_twice_is_one_person(cast):
    again = people.add_person(name="Posy Oakenby", role="packer")

    assert again == cast["packer"]
    assert Person.objects.count() == 3


def test_the_last_owner_can_neither_go_nor_become_a_packer(cast):
    with pytest.raises(people.NoOwnerLeft):
        people.part_with(cast["owner"])
    with pytest.raises(people.NoOwnerLeft):
        people.change_person(
            cast["owner"], name="Merle", role="packer", pence_an_hour=0
        )

    cast["owner"].refresh_from_db()
    assert (cast["owner"].role, cast["owner"].is_active) == ("owner", True)


def test_a_packer_who_becomes_an_owner_loses_the_pin(cast):
    people.set_pin(cast["packer"], pin="2468")

    people.change_person(
        cast["packer"], name="Posy Oakenby", role="owner", pence_an_hour=0
    )

    assert not Person.objects.get(pk=cast["packer"].pk).has_usable_password()


@pytest.mark.parametrize("pin", ["123", "12ab", "1234567890123", ""])
def test_a_pin_is_4_to_12_figures(cast, pin):
    with pytest.raises(people.PinUnfit):
        people.set_pin(cast["packer"], pin=pin)


def test_the_owner_has_no_pin(cast):
    with pytest.raises(people.PinIsNoPassword):
        people.set_pin(cast["owner"], pin="2468")


# OWASP ASVS 5.0.0, 6.2.1 (at least 8 characters) and 6.2.4 (not among the common).
@pytest.mark.parametrize("password", ["sewings", "password", "12345678"])
def test_a_short_or_common_password_is_refused(cast, password):
    with pytest.raises(people.PasswordUnfit):
        people.set_password(cast["owner"], password=password)

    assert cast["owner"].check_password(PASSWORD)


# NIST's and OWASP's floor for PBKDF2-SHA256: 600,000 rounds.
def test_passwords_are_kept_by_a_slow_hash(cast, settings):
    settings.PASSWORD_HASHERS = getattr(
        own_settings, "PASSWORD_HASHERS", global_settings.PASSWORD_HASHERS
    )

    people.set_password(cast["owner"], password=PASSWORD)

    name, rounds, _ = cast["owner"].password.split("$", 2)
    assert name == "pbkdf2_sha256"
    assert int(rounds) >= 600_000
