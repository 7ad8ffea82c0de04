"""A shop's file that waits on this computer's disk until its columns are matched.

The names are made here and never come from outside; the newest few are kept.
"""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from uuid import UUID, uuid4

from django.conf import settings

MOST_WAITING = 20
LONGEST_NAME = 160


@dataclass(frozen=True)
class WaitingFile:
    key: UUID
    name: str
    content: bytes


def folder() -> Path:
    return Path(settings.DATA_DIR) / "waiting-files"


def keep(name: str, content: bytes) -> WaitingFile:
    """Write the file down with its name in front, and drop the oldest ones."""
    waiting = WaitingFile(uuid4(), name[:LONGEST_NAME], content)
    folder().mkdir(parents=True, exist_ok=True)
    path_of(waiting.key).write_bytes(waiting.name.encode() + b"\n" + content)
    by_age = sorted(folder().glob("*.file"), key=lambda path: -path.stat().st_mtime_ns)
    for path in by_age[MOST_WAITING:]:
        path.unlink(missing_ok=True)
    return waiting


def fetch(key: UUID) -> WaitingFile | None:
    """Return a file that waits, or None when it is not here any more."""
    path = path_of(key)
    if not path.is_file():
        return None
    name, _, content = path.read_bytes().partition(b"\n")
    return WaitingFile(key, name.decode(errors="replace"), content)


def drop(key: UUID) -> None:
    path_of(key).unlink(missing_ok=True)


def path_of(key: UUID) -> Path:
    return folder() / f"{key.hex}.file"
