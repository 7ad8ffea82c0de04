"""The start-up checks: each finds its own fault, and says what to do next."""

import pytest
from django.core.checks import run_checks

from studio import checks, opening, printing


def ids_found():
    return {
        found.id for found in run_checks() if (found.id or "").startswith("studio.")
    }


@pytest.fixture(autouse=True)
def all_is_well(settings, tmp_path, monkeypatch):
    settings.BACKUP_DIR = tmp_path / "not" / "there" / "yet"
    monkeypatch.setattr(checks.sqlite3, "sqlite_version_info", (3, 51, 3))
    monkeypatch.setattr(printing, "pdf_available", lambda: (True, "Good."))


def test_nothing_is_found_where_all_is_well():
    assert ids_found() == set()


def test_another_time_zone_is_found(settings):
    settings.TIME_ZONE = "Europe/Paris"

    assert ids_found() == {"studio.W001"}


# sqlite.org, release log: the fault was mended in 3.51.3.
@pytest.mark.parametrize(
    ("release", "found"),
    [((3, 40, 1), {"studio.W002"}), ((3, 51, 2), {"studio.W002"}), ((3, 51, 3), set())],
)
def test_an_sqlite_release_with_the_log_fault_is_found(monkeypatch, release, found):
    monkeypatch.setattr(checks, "uses_sqlite", lambda: True)
    monkeypatch.setattr(checks.sqlite3, "sqlite_version_info", release)

    assert ids_found() == found


def test_a_folder_for_copies_that_takes_no_files_is_found(settings, tmp_path):
    (tmp_path / "stick").write_text("a file, not a folder")
    settings.BACKUP_DIR = tmp_path / "stick" / "backups"

    assert ids_found() == {"studio.W003"}


def test_missing_pdf_libraries_are_found_with_the_line_to_type(monkeypatch):
    advice = "Type apt-get install libpango-1.0-0."
    monkeypatch.setattr(printing, "pdf_available", lambda: (False, advice))

    [found] = [one for one in run_checks() if one.id == "studio.W004"]

    assert found.hint == advice


# Django's security.W009: 50 characters, 5 different ones.
@pytest.mark.parametrize(
    ("key", "found"),
    [
        ("abcde" * 10, set()),
        ("abcde" * 9 + "abcd", {"studio.E005"}),
        ("abcd" * 20, {"studio.E005"}),
    ],
)
def test_a_secret_key_that_can_be_guessed_is_found(settings, key, found):
    settings.SECRET_KEY = key

    assert ids_found() == found


def test_a_studio_with_a_serious_fault_is_not_opened(settings):
    settings.SECRET_KEY = "short"

    with pytest.raises(opening.NotFitToOpen, match="too easy to guess"):
        opening.look_round(print)


def test_what_only_needs_a_look_is_said_and_the_studio_opens(settings):
    settings.TIME_ZONE = "Europe/Paris"
    said = []

    opening.look_round(said.append)

    assert said == [
        "The time zone is not Europe/London. Slots and collections are local times: "
        "set TIME_ZONE back."
    ]
