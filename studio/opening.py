"""Bring a book up to date before it is opened, with a copy made first."""

from __future__ import annotations

from collections.abc import Callable
from datetime import timedelta

from django.core.checks import run_checks
from django.core.management import call_command
from django.db import connection
from django.db.migrations.executor import MigrationExecutor
from django.utils import timezone

from studio import backups, static_files
from studio.errors import StudioError
from studio.models import StudioSettings

COPY_IF_OLDER = timedelta(hours=20)
# Said by `check`: the one server that is started here keeps clear of that fault.
NOT_SAID_AT_START = {"studio.W002"}


class NotFitToOpen(StudioError):
    """A start-up check found something that must be put right first."""


def look_round(say: Callable[[str], None]) -> None:
    """Say what the start-up checks found, in their sentences. Raises NotFitToOpen."""
    for found in run_checks():
        sentence = f"{found.msg} {found.hint or ''}".strip()
        if found.is_serious():
            raise NotFitToOpen(sentence)
        if found.id not in NOT_SAID_AT_START:
            say(sentence)


def make_ready(say: Callable[[str], None]) -> None:
    """Migrate, after a copy of what is there, and collect the pages' own files.

    Raises what making the copy raises: a book is not changed without one.
    """
    is_new = not backups.has_tables()
    if waits_for_migration():
        if not is_new:
            say("Making a copy of the book before bringing it up to date.")
            say(backups.make_copy().sentence)
        call_command("migrate", interactive=False, verbosity=0)
    if static_files.collect_if_stale():
        say("The pages' own files are laid ready.")


def waits_for_migration() -> bool:
    executor = MigrationExecutor(connection)
    return bool(executor.migration_plan(executor.loader.graph.leaf_nodes()))


def make_daily_copy(say: Callable[[str], None]) -> None:
    """Make the day's copy when the studio is opened; a failure is said, not fatal."""
    studio = StudioSettings.objects.filter(pk=1).first()
    if studio is None:
        return
    last = studio.last_good_copy_at
    if last is not None and timezone.now() - last < COPY_IF_OLDER:
        return
    try:
        say(backups.make_copy().sentence)
    except StudioError as refused:
        say(str(refused))
