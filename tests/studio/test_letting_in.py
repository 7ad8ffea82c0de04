"""How a device is let in: links, codes, the owner's password, and tries counted."""

from datetime import timedelta

import pytest
from django.test import Client
from django.urls import reverse

from studio import people, signing_in
from studio.models import Device, SignInAttempt, SignInLink, StudioSettings
from tests.conftest import MORNING
from tests.factories.studio import (
    PASSWORD,
    DeviceFactory,
)
from tests.studio.pages import REQUEST_ID, clock_at, role_at

pytestmark = pytest.mark.django_db


def try_password(client, word, name="Merle Oakenby"):
    return client.post(
        reverse("studio:sign_in"),
        {
            "name": name,
            "word": word,
            "device_name": "loft laptop",
            "request_id": REQUEST_ID,
        },
    )


# ------------------------------------------------------------ letting a device in


def test_a_link_lets_one_device_in_for_its_person_once(cast):
    link = signing_in.make_link(cast["packer"], device_name="kitchen phone")
    url = reverse("studio:let_in", args=[link.token])
    first, second = Client(), Client()

    looked = first.get(url)
    before = Device.objects.count()
    first.post(url)
    refused = second.post(url)

    assert "Shall this device be let in for Posy?" in looked.content.decode()
    assert before == 0
    assert role_at(first) == "packer"
    assert role_at(second) is None
    assert refused.status_code == 410
    assert [(d.name, d.role) for d in Device.objects.all()] == [
        ("kitchen phone", "packer")
    ]


def test_the_devices_cookie_lets_it_in_for_good_after_one_link(cast):
    link = signing_in.make_link(cast["packer"], device_name="kitchen phone")
    client = Client()
    client.post(reverse("studio:let_in", args=[link.token]))
    cookie = client.cookies[signing_in.DEVICE_COOKIE]

    client.post(reverse("studio:leave"))
    left = role_at(client)
    client.post(reverse("studio:say_who", args=[cast["packer"].pk]))

    assert left is None
    assert role_at(client) == "packer"
    assert cookie["httponly"] is True
    assert cookie["samesite"] == "Lax"
    assert cookie["max-age"] == 2 * 365 * 24 * 60 * 60
    assert cookie["secure"] == ""


def test_over_https_the_devices_cookie_never_travels_in_the_open(cast):
    link = signing_in.make_link(cast["packer"], device_name="kitchen phone")
    client = Client()

    client.post(reverse("studio:let_in", args=[link.token]), secure=True)

    assert client.cookies[signing_in.DEVICE_COOKIE]["secure"] is True


def test_nothing_in_the_database_lets_anybody_in(cast):
    link = signing_in.make_link(cast["packer"], device_name="kitchen phone")
    device = DeviceFactory()

    kept = SignInLink.objects.get()

    assert link.token not in (kept.token_hash, kept.short_code_hash)
    assert link.code.replace("-", "") not in (kept.token_hash, kept.short_code_hash)
    assert Device.objects.get().key_hash != device.key
    assert Device.objects.get().key_hash == signing_in.hash_of(device.key)


def test_two_devices_that_use_a_link_at_the_same_moment_do_not_both_come_in(cast):
    token = signing_in.make_link(cast["packer"], device_name="kitchen phone").token
    first, second = (signing_in.link_of_token(token) for _ in range(2))

    signing_in.use_link(first)

    with pytest.raises(signing_in.LinkOver):
        signing_in.use_link(second)
    assert Device.objects.count() == 1


@pytest.mark.parametrize(("minutes", "who"), [(14, "packer"), (15, None), (60, None)])
def test_a_link_ends_after_fifteen_real_minutes(cast, monkeypatch, minutes, who):
    link = signing_in.make_link(cast["packer"], device_name="kitchen phone")
    client = Client()

    clock_at(monkeypatch, MORNING + timedelta(minutes=minutes))
    client.post(reverse("studio:let_in", args=[link.token]))

    assert role_at(client) == who


def test_a_clock_that_stands_keeps_no_link_open(cast, monkeypatch):
    StudioSettings.objects.update(clock_stands_at=MORNING)
    link = signing_in.make_link(cast["packer"], device_name="kitchen phone")
    client = Client()

    clock_at(monkeypatch, MORNING + timedelta(minutes=16))
    client.post(reverse("studio:let_in", args=[link.token]))

    assert role_at(client) is None


@pytest.mark.parametrize("typed", ["as shown", "lower", "spaced"])
def test_a_code_works_however_it_is_typed(cast, typed):
    code = signing_in.make_link(cast["workshop"], device_name="bench phone").code
    ways = {"as shown": code, "lower": code.lower(), "spaced": code.replace("-", " ")}
    client = Client()

    client.post(
        reverse("studio:sign_in_code"), {"code": ways[typed], "request_id": REQUEST_ID}
    )

    assert role_at(client) == "workshop"


def test_no_letter_of_a_code_looks_like_another():
    # Common practice: pairs that are mixed up on paper and by eye.
    pairs = ("B8", "G6", "I1", "L1", "O0", "S5", "Z2", "UV")

    both = [pair for pair in pairs if set(pair) <= set(signing_in.CODE_LETTERS)]

    assert both == []
    assert not set("AEIOU") & set(signing_in.CODE_LETTERS)


def test_a_code_and_its_link_are_used_up_together(cast):
    link = signing_in.make_link(cast["workshop"], device_name="bench phone")
    Client().post(
        reverse("studio:sign_in_code"), {"code": link.code, "request_id": REQUEST_ID}
    )
    late = Client()

    late.post(reverse("studio:let_in", args=[link.token]))

    assert role_at(late) is None
    assert Device.objects.count() == 1


def test_the_owners_password_lets_a_new_device_in(cast):
    client = Client()

    try_password(client, PASSWORD, name="merle oakenby")

    assert role_at(client) == "owner"
    assert [(d.name, d.role) for d in Device.objects.all()] == [
        ("loft laptop", "owner")
    ]


def test_a_packers_pin_lets_no_new_device_in(cast):
    people.set_pin(cast["packer"], pin="2468")
    client = Client()

    page = try_password(client, "2468", name="Posy Oakenby")

    assert role_at(client) is None
    assert Device.objects.count() == 0
    assert "not the owner’s" in page.content.decode()


def test_what_was_typed_stays_but_a_password_is_not_sent_back(cast):
    page = try_password(Client(), "wrong").content.decode()

    assert 'value="Merle Oakenby"' in page
    assert 'value="loft laptop"' in page
    assert 'value="wrong"' not in page


# ------------------------------------------------------------ too many tries


def test_after_five_wrong_tries_even_the_right_password_waits_a_quarter_of_an_hour(
    cast, monkeypatch
):
    client = Client()
    for _ in range(5):
        try_password(client, "wrong")

    barred = try_password(client, PASSWORD)
    barred_in = role_at(client)
    clock_at(monkeypatch, MORNING + timedelta(minutes=15))
    try_password(client, PASSWORD)

    assert "Wait 15 minutes, then try again" in barred.content.decode()
    assert barred_in is None
    assert role_at(client) == "owner"


def test_four_wrong_tries_do_not_bar_the_door(cast):
    client = Client()
    for _ in range(4):
        try_password(client, "wrong")

    try_password(client, PASSWORD)

    assert role_at(client) == "owner"


def test_guessed_codes_count_as_wrong_tries(cast):
    code = signing_in.make_link(cast["owner"], device_name="phone").code
    client = Client()
    for guess in range(5):
        client.post(
            reverse("studio:sign_in_code"),
            {"code": f"BBBB-BBB{guess}", "request_id": REQUEST_ID},
        )

    client.post(
        reverse("studio:sign_in_code"), {"code": code, "request_id": REQUEST_ID}
    )

    assert role_at(client) is None
    assert SignInAttempt.objects.count() == 5


def test_wrong_tries_elsewhere_do_not_bar_this_device(cast):
    for _ in range(5):
        SignInAttempt.objects.create(source="192.168.1.66", tried_at=MORNING)
    client = Client()

    try_password(client, PASSWORD)

    assert role_at(client) == "owner"


def test_a_right_try_leaves_no_mark(cast):
    try_password(Client(), PASSWORD)

    assert SignInAttempt.objects.count() == 0
