"""Copies of the whole book, made while the studio is open and checked before kept.

A copy is written under a passing name, checked, put safely on the disk and only then
given its dated name, so that a file with a dated name is a good copy. Kept are the
newest of each of the last 7 days, 4 weeks and 12 months that have one (common
practice). Times are real ones.
"""

from __future__ import annotations

import json
import os
import re
import shutil
import sqlite3
import subprocess
from collections.abc import Callable, Hashable, Iterable
from contextlib import closing
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from pathlib import Path

from django.conf import settings
from django.db import connection
from django.db.transaction import TransactionManagementError
from django.urls import reverse
from django.utils import timezone

from inventory.queries.balances import balance_differences
from studio import copy_checks, days
from studio.checks import uses_sqlite
from studio.errors import StudioError
from studio.models import StudioSettings

AMBER_AFTER = timedelta(days=2)
RED_AFTER = timedelta(days=7)
KEPT_DAYS, KEPT_WEEKS, KEPT_MONTHS = 7, 4, 12

_NAME = re.compile(
    r"studio-(?P<moment>\d{4}-\d{2}-\d{2}-\d{6})(-\d+)?\.(sqlite3|pgdump)"
)


class NoBookYet(StudioError):
    """There is no database to copy."""

    def __str__(self) -> str:
        return (
            "There is nothing to copy yet: no studio has been opened in this folder. "
            "Type python3 manage.py start first."
        )


@dataclass
class FolderClosed(StudioError):
    """The folder for copies cannot be made or written to."""

    folder: Path
    reason: str

    def __str__(self) -> str:
        return (
            f"The folder {self.folder} cannot be written to ({self.reason}). "
            "Make room or choose another folder with --to."
        )


@dataclass
class CopyFaulty(StudioError):
    """A copy that did not pass its checks; it was thrown away."""

    faults: list[str]

    def __str__(self) -> str:
        shown = " ".join(self.faults[: copy_checks.FAULTS_SHOWN])
        return (
            f"The copy did not pass its checks and was not kept. {shown} "
            "Run python3 manage.py verify to see whether the book itself is at fault."
        )


class NoDumpProgram(StudioError):
    """PostgreSQL's own program for copies is not on this computer."""

    def __str__(self) -> str:
        return (
            "This studio's book is in PostgreSQL, and pg_dump is not on this "
            "computer. Install PostgreSQL's client programs (postgresql-client), "
            "or make the copy on the computer that runs the server."
        )


@dataclass
class DumpFailed(StudioError):
    """PostgreSQL's own program gave up."""

    said: str

    def __str__(self) -> str:
        return (
            f"pg_dump could not make the copy. It said: {self.said} "
            "Check DATABASE_URL and that the server runs, then try again."
        )


@dataclass(frozen=True)
class MadeCopy:
    """A checked copy under its dated name."""

    path: Path
    bytes: int
    rows: int
    checked: str

    @property
    def sentence(self) -> str:
        return (
            f"The copy {self.path.name} is made, {self.bytes:,} bytes. {self.checked}"
        )


@dataclass(frozen=True)
class CopyReminder:
    """How old the last good copy is, once that is worth saying."""

    sentence: str
    is_red: bool
    url: str
    words: str = "Make a copy now."

    def __str__(self) -> str:
        return self.sentence


@dataclass(frozen=True)
class KeptCopy:
    """A copy in the folder, with the moment its name tells."""

    path: Path
    made_at: datetime
    bytes: int


def backup_folder() -> Path:
    return Path(settings.BACKUP_DIR)


def database_file() -> Path:
    """Return the file the studio is working on."""
    return Path(str(connection.settings_dict["NAME"]))


def make_copy(to: Path | None = None) -> MadeCopy:
    """Make and check a copy in the studio's own folder, or in the one named.

    Only the studio's own folder is thinned: what she carries away is hers to keep.
    Raises NoBookYet, FolderClosed, CopyFaulty, NoDumpProgram or DumpFailed.
    """
    folder = to or backup_folder()
    now = timezone.now()
    try:
        folder.mkdir(parents=True, exist_ok=True)
        made = copy_sqlite(folder, now) if uses_sqlite() else dump_postgres(folder, now)
    except OSError as refused:
        raise FolderClosed(folder, str(refused.strerror or refused)) from refused
    StudioSettings.objects.filter(pk=1).update(last_good_copy_at=now)
    if to is None:
        thin_out(folder)
    return made


def free_name(folder: Path, now: datetime, ending: str) -> Path:
    """Return a dated name; a second copy in the same second gets a number."""
    stem = f"studio-{days.london(now):%Y-%m-%d-%H%M%S}"
    path, number = folder / f"{stem}.{ending}", 2
    while path.exists():
        path, number = folder / f"{stem}-{number}.{ending}", number + 1
    return path


# ------------------------------------------------------------ SQLite


def copy_sqlite(folder: Path, now: datetime) -> MadeCopy:
    path = free_name(folder, now, "sqlite3")
    passing = path.with_name(f".making-{path.name}")
    try:
        copy_pages(passing)
        faults = copy_checks.faults_of(passing)
        if faults:
            raise CopyFaulty(faults)
        rows = copy_checks.row_counts(passing)
        write_note(path, passing, rows, now)
        flush(passing)
        passing.replace(path)
        flush_folder(folder)
    finally:
        passing.unlink(missing_ok=True)
    return MadeCopy(
        path,
        path.stat().st_size,
        sum(rows.values()),
        f"Its pages, links and sums were checked: {sum(rows.values()):,} rows.",
    )


def copy_pages(target: Path) -> None:
    """Copy by SQLite's online backup, which sees one moment while others write.

    The copy is taken out of write-ahead logging, so that it is one file alone.
    """
    if connection.in_atomic_block:
        # The copy would wait for ever for this very transaction to end.
        raise TransactionManagementError("A copy is made outside of transactions.")
    if not has_tables():
        raise NoBookYet
    target.unlink(missing_ok=True)
    name = str(database_file())
    with (
        closing(sqlite3.connect(name, uri=name.startswith("file:"))) as source,
        closing(sqlite3.connect(target)) as copy,
    ):
        source.backup(copy)
        copy.execute("PRAGMA journal_mode=DELETE")


def has_tables() -> bool:
    """Whether there is a book at all; asking makes no file where there is none."""
    name = str(database_file())
    if uses_sqlite() and not name.startswith("file:") and not Path(name).exists():
        return False
    return "django_migrations" in connection.introspection.table_names()


def write_note(path: Path, copy: Path, rows: dict[str, int], now: datetime) -> None:
    """Write size, rows and checksum beside the copy, to know it again by."""
    note = {
        "file": path.name,
        "made_at": now.isoformat(),
        "bytes": copy.stat().st_size,
        "sha256": copy_checks.sha256_of(copy),
        "rows": rows,
    }
    beside = copy_checks.note_beside(path)
    beside.write_text(json.dumps(note, indent=1, sort_keys=True), encoding="utf-8")
    flush(beside)


def flush(path: Path) -> None:
    """Have the disk say that it holds the file."""
    with path.open("rb+") as file:
        os.fsync(file.fileno())


def flush_folder(folder: Path) -> None:
    """Have the disk keep the name too; Windows has no such call for folders."""
    if os.name == "nt":
        return
    descriptor = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(descriptor)
    finally:
        os.close(descriptor)


# ------------------------------------------------------------ PostgreSQL


def dump_postgres(folder: Path, now: datetime) -> MadeCopy:
    """Let pg_dump make the copy; what can be checked of it here is its list."""
    dump, listing = shutil.which("pg_dump"), shutil.which("pg_restore")
    if dump is None or listing is None:
        raise NoDumpProgram
    path = free_name(folder, now, "pgdump")
    passing = path.with_name(f".making-{path.name}")
    try:
        run_tool([dump, "--format=custom", f"--file={passing}"])
        contents = run_tool([listing, "--list", str(passing)])
        faults = [str(difference) for difference in balance_differences()]
        if faults or "inventory_movement" not in contents:
            raise CopyFaulty(faults or ["The ledger's table is not in it."])
        write_note(path, passing, {}, now)
        flush(passing)
        passing.replace(path)
        flush_folder(folder)
    finally:
        passing.unlink(missing_ok=True)
    return MadeCopy(
        path,
        path.stat().st_size,
        0,
        "The list of what is in it was read and the book's own sums agree; that it "
        "can be put back was not tried.",
    )


def run_tool(line: list[str]) -> str:
    """Run one of PostgreSQL's programs; the password goes by the environment."""
    config = connection.settings_dict
    names = {
        "PGDATABASE": "NAME",
        "PGUSER": "USER",
        "PGPASSWORD": "PASSWORD",
        "PGHOST": "HOST",
        "PGPORT": "PORT",
    }
    given = {key: str(config[name]) for key, name in names.items() if config.get(name)}
    done = subprocess.run(  # noqa: S603 - fixed programs, and paths made here
        line,
        env={**os.environ, **given},
        capture_output=True,
        text=True,
        check=False,
    )
    if done.returncode:
        raise DumpFailed(" ".join(done.stderr.split())[:300])
    return done.stdout


# ------------------------------------------------------------ keeping and reminding


def kept_copies(folder: Path | None = None) -> list[KeptCopy]:
    """Return the dated copies of a folder, the newest first."""
    folder = folder or backup_folder()
    if not folder.is_dir():
        return []
    found = ((path, _NAME.fullmatch(path.name)) for path in folder.iterdir())
    copies = [
        KeptCopy(path, moment_of(match["moment"]), path.stat().st_size)
        for path, match in found
        if match
    ]
    return sorted(copies, key=lambda copy: (copy.made_at, copy.path.name), reverse=True)


def moment_of(text: str) -> datetime:
    written = datetime.strptime(f"{text} +0000", "%Y-%m-%d-%H%M%S %z")
    return written.replace(tzinfo=days.LONDON)


def to_keep(made_at: Iterable[datetime]) -> set[datetime]:
    """Choose the newest of each of the last 7 days, 4 weeks and 12 months."""
    newest_first = sorted(made_at, reverse=True)
    kept: set[datetime] = set()
    spans: list[tuple[Callable[[date], Hashable], int]] = [
        (lambda day: day, KEPT_DAYS),
        (lambda day: day.isocalendar()[:2], KEPT_WEEKS),
        (lambda day: (day.year, day.month), KEPT_MONTHS),
    ]
    for span_of, most in spans:
        newest: dict[Hashable, datetime] = {}
        for moment in newest_first:
            newest.setdefault(span_of(days.london_day(moment)), moment)
        kept.update(list(newest.values())[:most])
    return kept


def thin_out(folder: Path) -> list[Path]:
    """Take away what the rule does not keep, with the notes beside; return it."""
    copies = kept_copies(folder)
    kept = to_keep(copy.made_at for copy in copies)
    gone = [copy.path for copy in copies if copy.made_at not in kept]
    for path in gone:
        path.unlink()
        copy_checks.note_beside(path).unlink(missing_ok=True)
    return gone


def copy_reminder(now_real: datetime) -> CopyReminder | None:
    """Say how old the last good copy is: amber after 2 days, red after 7 or never."""
    last = (
        StudioSettings.objects.filter(pk=1)
        .values_list("last_good_copy_at", flat=True)
        .first()
    )
    url = reverse("studio:copies")
    if last is None:
        return CopyReminder("No copy of the book has been made yet.", True, url)
    age = now_real - last
    if age <= AMBER_AFTER:
        return None
    return CopyReminder(
        f"The last good copy of the book is {age.days} days old, from "
        f"{days.show_day(days.london_day(last))}.",
        age > RED_AFTER,
        url,
    )
