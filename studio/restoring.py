"""Put a copy back in place of the book, which is kept aside under a dated name."""

from __future__ import annotations

import shutil
import sqlite3
from contextlib import closing
from dataclasses import dataclass
from pathlib import Path

from django.db import connections
from django.utils import timezone

from studio import backups, copy_checks, days, one_server
from studio.checks import uses_sqlite
from studio.errors import StudioError

# What SQLite may keep beside a database file; "" is the file itself.
PARTS = ("", "-wal", "-shm", "-journal")


@dataclass
class CopyRefused(StudioError):
    """A file that must not take the place of the book."""

    path: Path
    faults: list[str]

    def __str__(self) -> str:
        shown = " ".join(self.faults[: copy_checks.FAULTS_SHOWN])
        return (
            f"{self.path.name} was not put back, and nothing was changed. {shown} "
            "Try another copy."
        )


class NotForPostgres(StudioError):
    """Putting a copy back into PostgreSQL is for its own program."""

    def __str__(self) -> str:
        return (
            "This studio's book is in PostgreSQL. Stop the studio, make an empty "
            "database, and put the copy into it with pg_restore --dbname; then set "
            "DATABASE_URL to the new one."
        )


@dataclass(frozen=True)
class Restored:
    """What was put back, and where the book that was there is now."""

    path: Path
    rows: int
    aside: Path | None


def restore(path: Path) -> Restored:
    """Check a copy, keep the present book aside, and swap.

    Raises CopyRefused, NotForPostgres, or StudioOpenElsewhere while a server runs.
    """
    if not uses_sqlite():
        raise NotForPostgres
    faults = copy_checks.faults_of(path) or copy_checks.note_faults(path)
    if faults:
        raise CopyRefused(path, faults)
    book = backups.database_file()
    with one_server.holding(book.parent):
        connections.close_all()
        arrived = bring_in(path, book)
        aside = put_aside(book)
        arrived.replace(book)
        backups.flush_folder(book.parent)
    return Restored(path, sum(copy_checks.row_counts(book).values()), aside)


def bring_in(path: Path, book: Path) -> Path:
    """Copy the file beside the book and see that it has arrived whole."""
    arrived = book.with_name(f".arriving-{book.name}")
    shutil.copyfile(path, arrived)
    backups.flush(arrived)
    if copy_checks.sha256_of(arrived) != copy_checks.sha256_of(path):
        arrived.unlink()
        raise CopyRefused(path, ["It did not arrive whole on this disk."])
    return arrived


def put_aside(book: Path) -> Path | None:
    """Give the book that is there a dated name, with whatever belongs to it."""
    if not book.exists():
        return None
    fold_log_in(book)
    moment = f"{days.london(timezone.now()):%Y-%m-%d-%H%M%S}"
    aside = book.with_name(f"{book.stem}-put-aside-{moment}{book.suffix}")
    number = 2
    while aside.exists():
        aside = book.with_name(f"{book.stem}-put-aside-{moment}-{number}{book.suffix}")
        number += 1
    for part in PARTS:
        beside = book.with_name(book.name + part)
        if beside.exists():
            beside.replace(aside.with_name(aside.name + part))
    return aside


def fold_log_in(book: Path) -> None:
    """Bring write-ahead pages into the file, so that it is one file alone.

    A broken book cannot do that any more; its parts are then kept as they are.
    """
    try:
        with closing(sqlite3.connect(book)) as connection:
            connection.execute("PRAGMA wal_checkpoint(TRUNCATE)")
            connection.execute("PRAGMA journal_mode=DELETE")
    except sqlite3.DatabaseError:
        return
