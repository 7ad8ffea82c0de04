"""What every test stands on: no network, a clock that stands, no real data folder.

`datetime.now()` and `date.today()` are kept out of the source by ruff (DTZ); what is
left of the real clock, Django's own, is made to stand here.
"""

import ipaddress
import socket
from datetime import datetime
from zoneinfo import ZoneInfo

import pytest
from django.conf import settings
from django.utils import timezone
from hypothesis import settings as chance

from tests.journeys.chromium import browser  # noqa: F401

# The morning on which the demo's clock stands.
MORNING = datetime(2027, 3, 3, 8, 30, tzinfo=ZoneInfo("Europe/London"))

# The same tries each time, however busy the computer is.
chance.register_profile("studio", deadline=None, derandomize=True)
chance.load_profile("studio")

_real_connect = socket.socket.connect


class NetworkUsed(Exception):
    """A test reached for another computer."""


def is_this_computer(address):
    if not isinstance(address, tuple):
        return True
    host = address[0]
    if host in ("", "localhost"):
        return True
    try:
        return ipaddress.ip_address(host).is_loopback
    except ValueError:
        return False


def _connect_here_only(self, address):
    # A datagram socket that is only pointed somewhere sends nothing.
    if self.type == socket.SOCK_STREAM and not is_this_computer(address):
        raise NetworkUsed(f"A test tried to reach {address!r}.")
    return _real_connect(self, address)


def pytest_configure(config):
    socket.socket.connect = _connect_here_only


def pytest_unconfigure(config):
    socket.socket.connect = _real_connect


@pytest.fixture(autouse=True)
def standing_clock(monkeypatch):
    """Let Django's clock stand at MORNING; a test moves it by patching it again."""
    monkeypatch.setattr(timezone, "now", lambda: MORNING)
    return MORNING


@pytest.fixture(autouse=True, scope="session")
def own_data_folder(tmp_path_factory):
    """Keep papers and backups of tests out of the maker's own folder."""
    folder = tmp_path_factory.mktemp("data")
    for name in ("DATA_DIR", "PAPERS_DIR", "BACKUP_DIR"):
        setattr(settings, name, folder / name.lower())
    return folder


@pytest.fixture(scope="session")
def django_db_modify_db_settings(tmp_path_factory, django_db_modify_db_settings):
    """Keep SQLite's test database in a file, so that two connections can meet there."""
    database = settings.DATABASES["default"]
    if database["ENGINE"].endswith("sqlite3"):
        folder = tmp_path_factory.mktemp("database")
        database["TEST"]["NAME"] = str(folder / "test.sqlite3")


@pytest.fixture(autouse=True, scope="session")
def pages_files_as_they_lie(tmp_path_factory):
    """Let pages name their files without having collected them first."""
    settings.STATIC_ROOT = tmp_path_factory.mktemp("static")
    plain = "django.contrib.staticfiles.storage.StaticFilesStorage"
    settings.STORAGES = {**settings.STORAGES, "staticfiles": {"BACKEND": plain}}
