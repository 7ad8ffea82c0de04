"""The demo's book as a file: loaded once, and put back before each journey.

Loading takes seconds and a journey truly writes, so the loaded book is copied aside by
SQLite's own backup and copied back. Elsewhere than on SQLite it is loaded again.
"""

import sqlite3
from contextlib import closing

from django.core.management import call_command
from django.db import connection

from studio.demo.loading import load_demo


def is_sqlite():
    return connection.vendor == "sqlite"


def keep(path):
    """Load the demo, put a copy aside and leave the book as empty as it was."""
    if not is_sqlite():
        return
    load_demo()
    with closing(sqlite3.connect(path)) as aside:
        connection.connection.backup(aside)
    empty()


def put_back(path):
    """Let the book be the demo's, as it was just after it was loaded."""
    if not is_sqlite():
        load_demo()
        return
    connection.ensure_connection()
    with closing(sqlite3.connect(path)) as aside:
        aside.backup(connection.connection)


def empty():
    call_command("flush", interactive=False, verbosity=0)
