"""What lies in the studio's own folder is behind no address at all."""

import pytest
from django.conf import settings
from django.test import Client

from tests.factories.studio import OwnerFactory, StudioFactory

pytestmark = pytest.mark.django_db

SECRET = "a customer's name and address"
KEPT = ("papers/packing-slips.pdf", "backups/copy.sqlite3", "secret-key.txt")
DOORS = ("/", "/papers/", "/backups/", "/media/", "/static/", "/files/")
UPWARD = ("", "../", "%2e%2e/", "..%2f", "../../../../../..")


@pytest.fixture
def kept():
    """The folder with papers, a copy and the key in it."""
    StudioFactory()
    for name in KEPT:
        path = settings.DATA_DIR / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(SECRET, encoding="utf-8")
    return settings.DATA_DIR


def addresses(folder):
    for name in KEPT:
        for door in DOORS:
            for up in UPWARD:
                yield f"{door}{up}{name}"
                yield f"{door}{up}{folder.as_posix().lstrip('/')}/{name}"


@pytest.mark.parametrize("who", ["a stranger", "the owner"])
def test_papers_copies_and_the_key_are_behind_no_address(kept, who):
    client = Client(raise_request_exception=False)
    if who == "the owner":
        client.force_login(OwnerFactory())

    opened = []
    for address in addresses(kept):
        answer = client.get(address)
        body = (
            b"".join(answer.streaming_content) if answer.streaming else answer.content
        )
        if answer.status_code == 200 or SECRET.encode() in body:
            opened.append(address)

    assert opened == []
