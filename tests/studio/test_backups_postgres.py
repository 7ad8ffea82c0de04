"""Copies of a book in PostgreSQL: made by its own program, and what is said of them."""

import shutil
import subprocess

import pytest
from django.core.management import CommandError, call_command

from inventory.models import Balance
from studio import backups, checks, restoring

on_postgres = pytest.mark.skipif(
    checks.uses_sqlite() or shutil.which("pg_dump") is None,
    reason="Needs a book in PostgreSQL, and pg_dump.",
)


@pytest.fixture
def in_postgres(monkeypatch):
    monkeypatch.setattr(backups, "uses_sqlite", lambda: False)
    monkeypatch.setattr(restoring, "uses_sqlite", lambda: False)


def test_without_its_program_the_sentence_says_what_to_install(
    in_postgres, folder, monkeypatch
):
    monkeypatch.setattr(shutil, "which", lambda name: None)

    with pytest.raises(CommandError, match="pg_dump is not on this computer"):
        call_command("backup")


def test_a_copy_is_not_put_back_into_postgresql_from_here(in_postgres, tmp_path):
    with pytest.raises(CommandError, match="put the copy into it with pg_restore"):
        call_command("restore", str(tmp_path / "studio.pgdump"))


@on_postgres
@pytest.mark.django_db(transaction=True)
def test_pg_dump_makes_a_copy_whose_list_names_the_ledger(stocked, folder):
    made = backups.make_copy()

    listed = subprocess.run(  # noqa: S603 - a fixed word
        [shutil.which("pg_restore"), "--list", made.path],
        capture_output=True,
        text=True,
        check=True,
    ).stdout
    assert backups.has_tables()
    assert made.path.name == "studio-2027-03-03-083000.pgdump"
    assert "inventory_movement" in listed
    assert "that it can be put back was not tried" in made.sentence


@on_postgres
@pytest.mark.django_db(transaction=True)
def test_a_book_that_does_not_add_up_gives_no_copy(stocked, folder):
    Balance.objects.filter(count=16).update(count=15)

    with pytest.raises(backups.CopyFaulty, match="the balance says 15"):
        backups.make_copy()

    assert list(folder.iterdir()) == []
