"""The tests' own PostgreSQL answers here alone, belongs to no root, and goes away."""

import os
import socket

import psycopg
import pytest

from studio.testing import NOT_HERE
from tests import private_postgres

# Root in PostgreSQL's own sense is nobody but this user id.
ROOT_ID = 0


def owner_of(folder):
    return os.stat(folder).st_uid


def asked(server, question):
    with psycopg.connect(server.url) as connection:
        return connection.execute(question).fetchone()[0]


def answers(port):
    with socket.socket() as probe:
        return probe.connect_ex(("127.0.0.1", port)) == 0


@pytest.fixture
def programs_found():
    try:
        private_postgres.programs()
        private_postgres.owner()
    except private_postgres.NoPostgres as missing:
        pytest.skip(str(missing))


@pytest.mark.postgres
def test_the_server_answers_on_loopback_and_not_as_root(programs_found):
    with private_postgres.running() as server:
        addresses = asked(server, "SHOW listen_addresses")
        folder = asked(server, "SHOW data_directory")
        belongs_to = owner_of(folder)

    assert addresses == "127.0.0.1"
    assert belongs_to != ROOT_ID
    assert not os.path.exists(folder)


@pytest.mark.postgres
def test_the_server_is_stopped_also_when_the_tests_break_off(programs_found):
    started = []

    def broken_off():
        with private_postgres.running() as server:
            started.append(server.port if answers(server.port) else None)
            raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        broken_off()

    assert started[0] is not None
    assert not answers(started[0])


def test_missing_programs_are_named_and_nothing_is_run(monkeypatch, capsys):
    monkeypatch.setattr(private_postgres.shutil, "which", lambda name, path=None: None)

    code = private_postgres.main([])

    assert code == NOT_HERE
    assert capsys.readouterr().out == (
        "PostgreSQL's programs initdb and pg_ctl are not on this computer.\n"
    )


def test_the_newest_of_several_servers_is_taken(monkeypatch):
    nine, sixteen = "/usr/lib/postgresql/9.6/bin", "/usr/lib/postgresql/16/bin"
    monkeypatch.setattr(private_postgres, "_folders", lambda: [nine, sixteen])
    monkeypatch.setattr(
        private_postgres.shutil,
        "which",
        lambda name, path=None: f"{path}/{name}" if path else None,
    )

    found = private_postgres.programs()

    assert found == {"initdb": f"{sixteen}/initdb", "pg_ctl": f"{sixteen}/pg_ctl"}
