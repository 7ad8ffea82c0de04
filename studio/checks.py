"""Start-up checks, each with an id and what to do next."""

from __future__ import annotations

import os
import sqlite3
from pathlib import Path
from typing import Any

from django.conf import settings
from django.core.checks import CheckMessage, Error, Warning, register

from studio import printing

# SQLite's own note on write-ahead logging: a rare corruption when two connections
# reset the log at the same instant, in 3.7.0 to 3.51.2, mended in 3.51.3
# (sqlite.org/wal.html, section on the WAL-reset bug).
WAL_BUG_MENDED_IN = (3, 51, 3)
# Django's own deployment check (security.W009) asks for as much.
KEY_LENGTH, KEY_LETTERS = 50, 5


@register()
def time_zone_is_london(**_kwargs: Any) -> list[CheckMessage]:
    if settings.TIME_ZONE == "Europe/London" and settings.USE_TZ:
        return []
    return [
        Warning(
            "The time zone is not Europe/London.",
            hint="Slots and collections are local times: set TIME_ZONE back.",
            id="studio.W001",
        )
    ]


def uses_sqlite() -> bool:
    return str(settings.DATABASES["default"]["ENGINE"]).endswith("sqlite3")


@register()
def sqlite_release(**_kwargs: Any) -> list[CheckMessage]:
    """Name the release; `start` serves with one writing process, which keeps clear."""
    if not uses_sqlite() or sqlite3.sqlite_version_info >= WAL_BUG_MENDED_IN:
        return []
    return [
        Warning(
            f"SQLite {sqlite3.sqlite_version} has a rare write-ahead-log fault that "
            "3.51.3 mended.",
            hint=(
                "Keep one server process for this studio (the built-in one is), make "
                "a copy every day, and update Python or the system when you can."
            ),
            id="studio.W002",
        )
    ]


@register()
def backup_folder_writable(**_kwargs: Any) -> list[CheckMessage]:
    folder = Path(settings.BACKUP_DIR)
    if can_be_written(folder):
        return []
    return [
        Warning(
            f"The folder for copies, {folder}, cannot be written to.",
            hint=(
                "Make room or change whose folder it is, or set BENCH_POST_DATA to a "
                "folder of your own. Without it no copy of the book can be kept."
            ),
            id="studio.W003",
        )
    ]


def can_be_written(folder: Path) -> bool:
    """Whether the folder, or the nearest one there is to make it in, takes files."""
    while not folder.exists() and folder != folder.parent:
        folder = folder.parent
    return folder.is_dir() and os.access(folder, os.W_OK | os.X_OK)


@register()
def pdf_libraries(**_kwargs: Any) -> list[CheckMessage]:
    can_print, advice = printing.pdf_available()
    if can_print:
        return []
    return [
        Warning(
            "Papers cannot be made as PDF files here; they open as pages to print.",
            hint=advice,
            id="studio.W004",
        )
    ]


@register()
def secret_key_long_enough(**_kwargs: Any) -> list[CheckMessage]:
    key = str(settings.SECRET_KEY)
    if len(key) >= KEY_LENGTH and len(set(key)) >= KEY_LETTERS:
        return []
    return [
        Error(
            f"The secret key is too easy to guess: it needs {KEY_LENGTH} characters.",
            hint=(
                "Unset BENCH_POST_SECRET_KEY, or delete secret-key.txt in the data "
                "folder; a good one is then made. Devices are let in again after that."
            ),
            id="studio.E005",
        )
    ]
