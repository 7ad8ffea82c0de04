"""Putting a copy back, with the book that was there kept aside."""

import shutil
import sqlite3
from contextlib import closing

import pytest
from django.core.management import CommandError, call_command

from studio import backups, checks, copy_checks, one_server, restoring
from tests.studio.pages import spoil

pytestmark = [
    pytest.mark.django_db(transaction=True),
    pytest.mark.skipif(
        not checks.uses_sqlite(), reason="PostgreSQL's copies are made by pg_dump."
    ),
]


@pytest.fixture
def book(copy, tmp_path, monkeypatch):
    """A book on the disk that has gone on since the copy: its name has changed."""
    path = tmp_path / "here" / "studio.sqlite3"
    path.parent.mkdir()
    shutil.copyfile(copy, path)
    spoil(path, "PRAGMA journal_mode=WAL", "UPDATE studio_studiosettings SET name='B'")
    monkeypatch.setattr(backups, "database_file", lambda: path)
    monkeypatch.setattr(restoring, "connections", NoConnections())
    return path


class NoConnections:
    """The test's own database is another one, and must stay open."""

    def close_all(self):
        """Close nothing."""


def name_in(path):
    with closing(sqlite3.connect(path)) as connection:
        return connection.execute("SELECT name FROM studio_studiosettings").fetchone()[
            0
        ]


def test_a_copy_is_put_back_and_the_book_that_was_there_is_kept(copy, book):
    done = restoring.restore(copy)

    assert name_in(book) == "Marrowick Patch Loft"
    assert done.aside.name == "studio-put-aside-2027-03-03-083000.sqlite3"
    assert name_in(done.aside) == "B"
    assert copy_checks.faults_of(book) == []
    assert not book.with_name(f"{book.name}-wal").exists()


def test_putting_back_twice_keeps_both_books(copy, book):
    first = restoring.restore(copy).aside
    second = restoring.restore(copy).aside

    assert [name_in(first), name_in(second)] == ["B", "Marrowick Patch Loft"]


def test_a_bad_copy_is_refused_and_nothing_is_changed(copy, book):
    spoil(copy, "UPDATE inventory_balance SET count = 15 WHERE count = 16")

    with pytest.raises(CommandError) as refused:
        call_command("restore", str(copy))

    assert "was not put back, and nothing was changed" in str(refused.value)
    assert "the balance says 15, the movements add up to 16" in str(refused.value)
    assert name_in(book) == "B"


def test_a_copy_changed_since_it_was_made_is_refused(copy, book):
    spoil(copy, "UPDATE studio_studiosettings SET name = 'Another studio'")

    with pytest.raises(restoring.CopyRefused) as refused:
        restoring.restore(copy)

    assert "its checksum is not the one noted" in str(refused.value)
    assert name_in(book) == "B"


def test_a_book_that_was_cut_off_is_kept_whole_in_one_file(copy, book, tmp_path):
    # As after a power cut: the last change is only in the file ending in -wal.
    log = book.with_name(f"{book.name}-wal")
    with closing(sqlite3.connect(book, isolation_level=None)) as cut_off:
        cut_off.execute("UPDATE studio_studiosettings SET name = 'C'")
        pages, changes = book.read_bytes(), log.read_bytes()
    book.write_bytes(pages)
    log.write_bytes(changes)

    aside = restoring.restore(copy).aside

    assert not aside.with_name(f"{aside.name}-wal").exists()
    assert name_in(aside) == "C"


def test_a_copy_is_not_put_back_while_the_studio_is_open(copy, book):
    with (
        one_server.holding(book.parent),
        pytest.raises(CommandError, match="is open in another window"),
    ):
        call_command("restore", str(copy))

    assert name_in(book) == "B"


def test_a_copy_goes_where_no_book_is_yet(copy, book):
    book.unlink()

    done = restoring.restore(copy)

    assert done.aside is None
    assert name_in(book) == "Marrowick Patch Loft"


def test_a_book_that_is_broken_is_kept_aside_as_it_is(copy, book):
    book.write_bytes(b"spilled tea")

    done = restoring.restore(copy)

    assert done.aside.read_bytes() == b"spilled tea"
    assert name_in(book) == "Marrowick Patch Loft"
