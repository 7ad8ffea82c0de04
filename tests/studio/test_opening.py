"""Opening a book: a copy before it is changed, and one a day."""

from datetime import timedelta

import pytest

from studio import backups, opening, static_files
from studio.models import StudioSettings
from tests.conftest import MORNING
from tests.factories.studio import StudioFactory

pytestmark = pytest.mark.django_db


@pytest.fixture
def done(monkeypatch):
    """What is done to the book, in order, in place of doing it."""
    steps = []
    made = backups.MadeCopy(backups.Path("copy"), 1, 1, "")
    monkeypatch.setattr(backups, "make_copy", lambda: steps.append("copy") or made)
    monkeypatch.setattr(
        opening, "call_command", lambda name, **kwargs: steps.append(name)
    )
    monkeypatch.setattr(static_files, "collect_if_stale", lambda: False)
    return steps


def test_a_book_is_copied_before_it_is_brought_up_to_date(done, monkeypatch):
    monkeypatch.setattr(opening, "waits_for_migration", lambda: True)

    opening.make_ready(lambda sentence: None)

    assert done == ["copy", "migrate"]


def test_a_new_book_has_nothing_to_copy(done, monkeypatch):
    monkeypatch.setattr(opening, "waits_for_migration", lambda: True)
    monkeypatch.setattr(backups, "has_tables", lambda: False)

    opening.make_ready(lambda sentence: None)

    assert done == ["migrate"]


def test_a_book_that_is_up_to_date_is_left_alone(done):
    opening.make_ready(lambda sentence: None)

    assert done == []


def test_a_book_that_cannot_be_copied_is_not_changed(done, monkeypatch):
    def faulty():
        raise backups.CopyFaulty(["RF-090 does not add up."])

    monkeypatch.setattr(opening, "waits_for_migration", lambda: True)
    monkeypatch.setattr(backups, "make_copy", faulty)

    with pytest.raises(backups.CopyFaulty):
        opening.make_ready(lambda sentence: None)

    assert done == []


@pytest.mark.parametrize(
    ("age", "copied"),
    [(None, ["copy"]), (timedelta(hours=20), ["copy"]), (timedelta(hours=19), [])],
)
def test_the_days_copy_is_made_when_the_studio_is_opened(done, age, copied):
    StudioFactory(last_good_copy_at=None if age is None else MORNING - age)

    opening.make_daily_copy(lambda sentence: None)

    assert done == copied


def test_a_days_copy_that_fails_is_said_and_the_studio_opens(monkeypatch):
    StudioFactory()
    said = []

    def faulty():
        raise backups.CopyFaulty(["RF-090 does not add up."])

    monkeypatch.setattr(backups, "make_copy", faulty)

    opening.make_daily_copy(said.append)

    assert "RF-090 does not add up." in said[0]
    assert StudioSettings.objects.get().last_good_copy_at is None


def test_the_pages_files_are_collected_once_and_again_after_a_change(
    settings, tmp_path, monkeypatch
):
    settings.STATIC_ROOT = tmp_path / "static"
    settings.STATIC_ROOT.mkdir()
    prints = iter(["first", "first", "second"])
    monkeypatch.setattr(static_files, "fingerprint_of_sources", lambda: next(prints))
    monkeypatch.setattr(static_files, "call_command", lambda *args, **kwargs: None)

    collected = [static_files.collect_if_stale() for _ in range(3)]

    assert collected == [True, False, True]
