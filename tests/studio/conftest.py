"""A made-up computer for the tests of setting up, and a small studio for the rest."""

from uuid import UUID

import pytest

from inventory import actions as stock
from studio import backups, bootstrap, people
from studio.computer import Computer, Finished
from tests.conftest import MORNING
from tests.factories.studio import (
    PASSWORD,
    OwnerFactory,
    PackerFactory,
    StudioFactory,
    WorkshopFactory,
)
from tests.studio.pages import client_of

GOOD = Finished(0, "")


class FakeRunner:
    """Remembers what it was asked to run; answers by a word in the command."""

    def __init__(self, **answers):
        self.answers = answers
        self.lines = []

    def __call__(self, command):
        line = " ".join(command)
        self.lines.append(line)
        return next((said for word, said in self.answers.items() if word in line), GOOD)


class Speaker(list):
    """Keeps the sentences that would have stood on the screen."""

    def __call__(self, sentence):
        self.append(sentence)


@pytest.fixture
def computer():
    """A Debian machine with root at the keys, where nothing is installed yet."""
    return Computer(
        family="debian",
        is_root=True,
        run=FakeRunner(),
        hand_over=lambda line, environment: 7,
        say=Speaker(),
        can_load=lambda names: False,
        find_program=lambda names: None,
        free_bytes=lambda folder: bootstrap.ROOM_BYTES,
    )


@pytest.fixture
def quick_passwords(settings):
    """The slow hash is Django's own business, and is tried in a test of its own."""
    settings.PASSWORD_HASHERS = ["django.contrib.auth.hashers.MD5PasswordHasher"]


@pytest.fixture
def cast(db, quick_passwords):
    StudioFactory()
    return {
        "owner": people.set_password(OwnerFactory(), password=PASSWORD),
        "workshop": WorkshopFactory(),
        "packer": PackerFactory(),
    }


@pytest.fixture
def at_owners(quick_passwords, db):
    """The owner's own device, in a studio that is open."""
    StudioFactory()
    return client_of(OwnerFactory())


@pytest.fixture
def folder(tmp_path, settings):
    settings.BACKUP_DIR = tmp_path / "backups"
    return settings.BACKUP_DIR


@pytest.fixture
def stocked(db):
    """A studio with one item, of which sixteen were counted in."""
    StudioFactory()
    return stock.add_item_with_count(
        code="RF-090",
        name="Ringfence set, 9 in",
        kind="set",
        count=16,
        request_id=UUID(int=1),
        now=MORNING,
        is_sold=True,
    )


@pytest.fixture
def copy(stocked, folder):
    """A good copy of that studio. It needs a database with real transactions."""
    return backups.make_copy().path
