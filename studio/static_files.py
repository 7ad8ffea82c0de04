"""Collect the pages' own files when they have changed since the last time."""

from __future__ import annotations

import hashlib
from pathlib import Path

from django.conf import settings
from django.contrib.staticfiles import finders
from django.core.management import call_command

STAMP = ".collected"


def collect_if_stale() -> bool:
    """Collect into STATIC_ROOT if anything changed; say whether it did."""
    stamp = Path(settings.STATIC_ROOT) / STAMP
    fingerprint = fingerprint_of_sources()
    if stamp.is_file() and stamp.read_text(encoding="ascii") == fingerprint:
        return False
    call_command("collectstatic", interactive=False, clear=True, verbosity=0)
    stamp.write_text(fingerprint, encoding="ascii")
    return True


def fingerprint_of_sources() -> str:
    """Return a digest over name, size and time of every file to be collected."""
    lines = []
    for finder in finders.get_finders():
        for name, storage in finder.list([]):
            found = Path(storage.path(name)).stat()
            lines.append(f"{name}|{found.st_size}|{found.st_mtime_ns}")
    return hashlib.sha256("\n".join(sorted(lines)).encode()).hexdigest()
