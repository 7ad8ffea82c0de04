"""See that one server at a time works on a book, and that none does during a restore.

SQLite's own lock on a small file does it on every system, and is gone by itself when
the program is, however it ended.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from contextlib import closing, contextmanager
from dataclasses import dataclass
from pathlib import Path

from studio.errors import StudioError

LOCK_NAME = "studio-open.lock"


@dataclass
class StudioOpenElsewhere(StudioError):
    """Another program serves this book at the moment."""

    folder: Path

    def __str__(self) -> str:
        return (
            f"The studio in {self.folder} is open in another window. "
            "Use that one, or stop it there with Ctrl-C and try again."
        )


@contextmanager
def holding(folder: Path) -> Iterator[None]:
    """Hold the book alone. Raises StudioOpenElsewhere."""
    folder.mkdir(parents=True, exist_ok=True)
    lock = sqlite3.connect(
        folder / LOCK_NAME, timeout=0, isolation_level=None, check_same_thread=False
    )
    with closing(lock):
        try:
            lock.execute("BEGIN EXCLUSIVE")
        except sqlite3.OperationalError as taken:
            raise StudioOpenElsewhere(folder) from taken
        yield
