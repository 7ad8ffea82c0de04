"""The first page of an empty studio: what it asks, and from where it opens."""

import pytest
from django.test import Client
from django.urls import reverse

from inventory.models import Item
from studio import first_door, house
from studio.models import Device, Person, StudioSettings
from tests.factories.studio import PASSWORD, OwnerFactory, StudioFactory

pytestmark = pytest.mark.django_db
FILLED_IN = {
    "name": "Marrowick Patch Loft",
    "return_address": "The Old Forge\r\nMarrowick\r\nZY4 7TQ",
    "person_name": "Merle Oakenby",
    "password": PASSWORD,
    "request_id": "0f8fad5b-d9cb-469f-a165-70867728950e",
}
PHONE = {"REMOTE_ADDR": "192.168.1.30"}


@pytest.fixture(autouse=True)
def quick_passwords(settings):
    """The slow hash is Django's own business."""
    settings.PASSWORD_HASHERS = ["django.contrib.auth.hashers.MD5PasswordHasher"]


@pytest.fixture(autouse=True)
def known_hosts(settings):
    settings.ALLOWED_HOSTS = ["localhost", "127.0.0.1", "loft.local"]


def at_this_machine(**extra):
    return Client(headers={"host": "localhost:8321"}, **extra)


def fill_in(client, **other):
    return client.post(reverse("studio:first_run"), {**FILLED_IN, **other})


def test_the_first_page_asks_for_four_things_and_nothing_else():
    page = at_this_machine().get(reverse("studio:first_run"))

    boxes = set(page.context["form"].fields) - {"request_id"}
    assert boxes == {"name", "return_address", "person_name", "password"}


def test_the_studio_opens_empty_with_its_first_person_signed_in_as_the_owner():
    client = at_this_machine()

    fill_in(client)

    studio = StudioSettings.objects.get()
    owner = Person.objects.get()
    assert studio.name == "Marrowick Patch Loft"
    assert studio.return_address == "The Old Forge\nMarrowick\nZY4 7TQ"
    assert studio.clock_stands_at is None
    assert (owner.name, owner.role) == ("Merle Oakenby", "owner")
    assert owner.check_password(PASSWORD)
    assert client.session["_auth_user_id"] == str(owner.pk)
    assert Device.objects.get().role == "owner"
    assert Item.objects.count() == 0


def test_afterwards_the_first_goods_are_asked_for():
    answer = fill_in(at_this_machine())

    assert answer.status_code == 302
    assert answer.url == reverse("inventory:quick_entry")


@pytest.mark.parametrize(
    ("box", "typed", "sentence"),
    [
        ("password", "short", "at least 8 characters"),
        ("password", "password", "too common"),
        ("name", " ", "What the studio is called is empty. Fill it in, please."),
        ("person_name", "", "Your name is empty. Fill it in, please."),
    ],
)
def test_a_slip_is_named_and_what_was_typed_stays(box, typed, sentence):
    page = fill_in(at_this_machine(), **{box: typed})

    form = page.context["form"]
    assert sentence in " ".join(form.errors[box])
    assert form["return_address"].value() == FILLED_IN["return_address"]
    assert FILLED_IN["password"] not in page.content.decode()
    assert not StudioSettings.objects.exists()
    assert not Person.objects.exists()


def test_sent_twice_it_opens_one_studio():
    client = at_this_machine()
    fill_in(client)

    again = fill_in(client, name="Another", person_name="Another")

    assert again.url == reverse("studio:today")
    assert [studio.name for studio in StudioSettings.objects.all()] == [
        "Marrowick Patch Loft"
    ]
    assert Person.objects.count() == 1


def test_two_at_the_same_moment_open_one_studio():
    house.open_studio(
        name="First",
        return_address="Here",
        person_name="Merle Oakenby",
        password=PASSWORD,
    )

    with pytest.raises(house.StudioIsOpen):
        house.open_studio(
            name="Second",
            return_address="There",
            person_name="Somebody else",
            password=PASSWORD,
        )

    assert StudioSettings.objects.get().name == "First"
    assert Person.objects.count() == 1


# ------------------------------------------------------------ from where it opens


@pytest.mark.parametrize(
    ("client", "opens"),
    [
        ({"REMOTE_ADDR": "127.0.0.1"}, True),
        ({"REMOTE_ADDR": "::1"}, True),
        (PHONE, False),
        ({"REMOTE_ADDR": "127.0.0.1", "HTTP_X_FORWARDED_FOR": "203.0.113.9"}, False),
        ({"REMOTE_ADDR": "127.0.0.1", "HTTP_FORWARDED": "for=203.0.113.9"}, False),
        ({"REMOTE_ADDR": ""}, False),
    ],
    ids=["here", "here by IPv6", "a phone", "passed on", "forwarded", "unknown"],
)
def test_whoever_is_not_at_this_machine_cannot_become_the_owner(client, opens):
    answer = fill_in(at_this_machine(**client))

    assert StudioSettings.objects.exists() is opens
    assert answer.status_code == (302 if opens else 403)


def test_a_server_in_front_under_its_own_name_is_not_this_machine():
    answer = fill_in(Client(headers={"host": "loft.local:8321"}))

    assert answer.status_code == 403
    assert not StudioSettings.objects.exists()


def test_behind_a_server_in_front_nobody_counts_as_here(settings):
    settings.BEHIND_PROXY = True

    answer = fill_in(at_this_machine())

    assert answer.status_code == 403


def test_the_printed_link_opens_the_first_page_on_a_phone():
    phone = Client(headers={"host": "loft.local:8321"}, **PHONE)

    led_to = phone.get(reverse("studio:first_door", args=[first_door.key()]))
    fill_in(phone)

    assert led_to.url == reverse("studio:first_run")
    assert Person.objects.get().name == "Merle Oakenby"


def test_a_guessed_link_opens_nothing():
    phone = Client(headers={"host": "loft.local:8321"}, **PHONE)

    guessed = phone.get(reverse("studio:first_door", args=[first_door.key()[:-1]]))
    fill_in(phone)

    assert guessed.status_code == 404
    assert not StudioSettings.objects.exists()


def test_once_there_is_a_studio_the_link_leads_to_today():
    StudioFactory()
    OwnerFactory()

    answer = at_this_machine().get(
        reverse("studio:first_door", args=[first_door.key()])
    )

    assert answer.url == reverse("studio:today")
