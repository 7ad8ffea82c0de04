"""Start-up checks, each with an id and what to do next."""

from __future__ import annotations

import sqlite3
from typing import Any

from django.conf import settings
from django.core.checks import CheckMessage, Warning, register

# SQLite's own note on write-ahead logging: a rare corruption when two connections
# reset the log at the same instant, in 3.7.0 to 3.51.2, mended in 3.51.3
# (sqlite.org/wal.html, section on the WAL-reset bug).
WAL_BUG_MENDED_IN = (3, 51, 3)


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
