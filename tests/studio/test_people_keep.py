"""The Studio page: people and devices as the owner keeps them."""

from zoneinfo import ZoneInfo

import pytest
from django.urls import reverse

from studio import house, people, signing_in
from studio.models import (
    Device,
    Person,
    SignInLink,
    StudioSettings,
)
from tests.conftest import MORNING
from tests.factories.studio import (
    DeviceFactory,
    PackerFactory,
    WorkshopFactory,
)
from tests.studio.pages import client_of, said, send

pytestmark = pytest.mark.django_db
LONDON = ZoneInfo("Europe/London")


def test_somebody_new_stands_on_a_button(at_owners):
    send(at_owners, "person_add", name="Posy Oakenby", role="packer", pence_an_hour="0")

    page = at_owners.get(reverse("studio:people")).content.decode()
    assert Person.objects.get(role="packer").name == "Posy Oakenby"
    assert "Posy Oakenby" in page


def test_a_name_that_is_taken_is_said_beside_the_box(at_owners):
    page = send(
        at_owners, "person_add", name="Merle Oakenby", role="packer", pence_an_hour="0"
    )

    assert "There is somebody called Merle Oakenby here" in page.content.decode()
    assert Person.objects.count() == 1


def test_a_person_is_renamed_and_the_name_changes_everywhere(at_owners):
    rufus = WorkshopFactory()

    send(
        at_owners,
        "person_change",
        rufus.pk,
        name="Rufus P.",
        role="workshop",
        pence_an_hour="14.50",
    )

    rufus.refresh_from_db()
    assert (rufus.name, rufus.pence_an_hour) == ("Rufus P.", 1450)


def test_a_new_pin_is_kept_and_the_page_never_shows_it(at_owners):
    posy = PackerFactory()

    send(at_owners, "person_word", posy.pk, pin="2468")
    refused = send(at_owners, "person_word", posy.pk, pin="24a8")

    assert Person.objects.get(pk=posy.pk).check_password("2468")
    assert "A PIN is 4 to 12 figures." in refused.content.decode()
    assert "24a8" not in refused.content.decode()


def test_the_owner_who_takes_a_new_password_stays_signed_in_here_only(at_owners):
    owner = people.set_password(Person.objects.get(), password="an old thimble")
    here, elsewhere = client_of(owner), client_of(owner)

    send(here, "person_word", owner.pk, password="a new thimble")

    assert here.get(reverse("studio:studio")).status_code == 200
    assert elsewhere.get(reverse("studio:studio")).status_code == 302


def test_the_last_owner_stays_on_the_buttons(at_owners):
    owner = Person.objects.get()

    answer = send(at_owners, "person_part", owner.pk)

    owner.refresh_from_db()
    assert owner.is_active
    assert "Somebody must stay the owner" in said(answer)[0]


def test_somebody_taken_off_the_buttons_can_be_brought_back(at_owners):
    posy = PackerFactory()
    send(at_owners, "person_part", posy.pk)
    gone = Person.objects.get(pk=posy.pk).is_active

    send(at_owners, "person_part", posy.pk, back="yes")

    assert gone is False
    assert Person.objects.get(pk=posy.pk).is_active is True


def test_the_link_for_a_device_has_the_home_networks_name_a_qr_code_and_a_code(
    at_owners,
):
    house.change_studio(StudioSettings.objects.get(), host_name="loft.local")
    posy = PackerFactory()

    page = send(at_owners, "link_make", person=posy.pk, device_name="kitchen phone")

    new = page.context["new"]
    assert page.context["url"] == f"http://loft.local/let-in/{new.token}/"
    assert '<svg class="qr"' in page.content.decode()
    assert new.code in page.content.decode()
    assert SignInLink.objects.get().person == posy


def test_the_owner_shuts_a_device_out(at_owners):
    device = DeviceFactory(name="lost phone")

    send(at_owners, "device_shut_out", device.pk)

    request = type("Asked", (), {"COOKIES": {signing_in.DEVICE_COOKIE: device.key}})
    assert Device.objects.get().shut_out_at == MORNING
    assert signing_in.device_of(request) is None
