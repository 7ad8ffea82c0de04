"""Judge a copy of the book by looking into the file itself.

A plain copy of a database in use can lose rows and still pass SQLite's own check, and
that check does not look at foreign keys (sqlite.org, "How to corrupt" and the pragma
list). So a copy is good only when SQLite's check, the foreign keys and the ledger's own
sums all agree.
"""

from __future__ import annotations

import hashlib
import json
import sqlite3
from collections.abc import Iterator
from contextlib import closing, contextmanager
from pathlib import Path
from typing import Any

from django.apps import apps
from django.db.migrations.loader import MigrationLoader

# The first sixteen bytes of every SQLite file (sqlite.org/fileformat2.html, 1.3).
SQLITE_BEGINS = b"SQLite format 3\x00"
FAULTS_SHOWN = 5

LEDGER_DIFFERENCES = """
WITH moved (item, place, state, count) AS (
    SELECT item_id, to_place_id, to_state, count FROM inventory_movement
    UNION ALL
    SELECT item_id, from_place_id, from_state, -count FROM inventory_movement
    UNION ALL
    SELECT item_id, place_id, state, 0 FROM inventory_balance
),
added (item, place, state, total) AS (
    SELECT item, place, state, SUM(count) FROM moved GROUP BY item, place, state
)
SELECT item.code, place.name, added.state, COALESCE(balance.count, 0), added.total
FROM added
JOIN inventory_item item ON item.id = added.item
JOIN inventory_place place ON place.id = added.place
LEFT JOIN inventory_balance balance
    ON balance.item_id = added.item
    AND balance.place_id = added.place
    AND balance.state = added.state
WHERE COALESCE(balance.count, 0) <> added.total
ORDER BY item.code, place.name, added.state
"""


@contextmanager
def reading(path: Path) -> Iterator[sqlite3.Connection]:
    """Open a resting file to read it, without making any file beside it."""
    address = f"{path.resolve().as_uri()}?mode=ro&immutable=1"
    with closing(sqlite3.connect(address, uri=True)) as connection:
        yield connection


def faults_of(path: Path) -> list[str]:
    """Return what is wrong with a copy, each in a sentence; nothing if it is good."""
    if not path.is_file():
        return [f"There is no file {path}."]
    with path.open("rb") as file:
        if file.read(len(SQLITE_BEGINS)) != SQLITE_BEGINS:
            return ["It is not a database of this kind, or only a part of one."]
    if _has_unfolded_pages(path):
        return [
            "It was copied while in use: the file ending in -wal beside it holds "
            "changes that are not in it. Use a copy made by the studio's own backup."
        ]
    try:
        with reading(path) as connection:
            return faults_inside(connection) or migration_faults(connection)
    except sqlite3.DatabaseError as broken:
        return [f"It cannot be read to the end: {broken}."]


def _has_unfolded_pages(path: Path) -> bool:
    log = path.with_name(f"{path.name}-wal")
    return log.is_file() and log.stat().st_size > 0


def faults_inside(connection: sqlite3.Connection) -> list[str]:
    """Check pages, foreign keys, tables and sums, in that order."""
    faults = integrity_faults(connection) or foreign_key_faults(connection)
    return faults or missing_tables(connection) or ledger_faults(connection)


def integrity_faults(connection: Any) -> list[str]:
    found = [str(row[0]) for row in connection.execute("PRAGMA integrity_check")]
    return [] if found == ["ok"] else [f"SQLite's own check: {one}." for one in found]


def foreign_key_faults(connection: Any) -> list[str]:
    rows = connection.execute("PRAGMA foreign_key_check").fetchall()
    return [
        f"A row of {table} points to a row of {parent} that is not there."
        for table, _row, parent, _key in rows
    ]


def missing_tables(connection: sqlite3.Connection) -> list[str]:
    names = {
        row[0]
        for row in connection.execute(
            "SELECT name FROM sqlite_master WHERE type = 'table'"
        )
    }
    needed = ("django_migrations", "studio_studiosettings", "inventory_balance")
    return [
        f"It holds no table {name}, so it is not a book of Bench & Post."
        for name in needed
        if name not in names
    ]


def ledger_faults(connection: Any) -> list[str]:
    return [
        f"{code}, {place}, {state}: the balance says {kept}, "
        f"the movements add up to {added_up}."
        for code, place, state, kept, added_up in connection.execute(LEDGER_DIFFERENCES)
    ]


def migration_faults(connection: sqlite3.Connection) -> list[str]:
    """Refuse a book written by a newer Bench & Post than this one."""
    own = {config.label for config in apps.get_app_configs()}
    known = set(MigrationLoader(None).disk_migrations or {})
    unknown = [
        f"{app}.{name}"
        for app, name in connection.execute("SELECT app, name FROM django_migrations")
        if app in own and (app, name) not in known
    ]
    if not unknown:
        return []
    return [
        "It was made by a newer Bench & Post than this one, which does not know "
        f"{', '.join(sorted(unknown))}. Update Bench & Post first."
    ]


def row_counts(path: Path) -> dict[str, int]:
    with reading(path) as connection:
        names = [
            row[0]
            for row in connection.execute(
                "SELECT name FROM sqlite_master WHERE type = 'table' "
                "AND name NOT LIKE 'sqlite_%' ORDER BY name"
            )
        ]
        return {
            # Names come from the file's own list of tables and are quoted.
            name: connection.execute(
                f'SELECT COUNT(*) FROM "{name}"'  # noqa: S608
            ).fetchone()[0]
            for name in names
        }


def sha256_of(path: Path) -> str:
    with path.open("rb") as file:
        return hashlib.file_digest(file, "sha256").hexdigest()


def note_beside(path: Path) -> Path:
    return path.with_suffix(".json")


def note_faults(path: Path) -> list[str]:
    """Compare a copy with the checksum that was written down beside it, if any."""
    note = note_beside(path)
    if not note.is_file():
        return []
    try:
        written = json.loads(note.read_text(encoding="utf-8"))["sha256"]
    except (ValueError, KeyError, TypeError):
        return [f"The note beside it, {note.name}, cannot be read."]
    if written == sha256_of(path):
        return []
    return ["It has changed since it was made: its checksum is not the one noted."]
