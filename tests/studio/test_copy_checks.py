"""Judging a copy by looking into the file, and proving the open book."""

import pytest
from django.core.management import call_command
from django.db import connection

from inventory.models import Balance
from studio import checks, copy_checks, proof
from tests.studio.pages import spoil

pytestmark = [
    pytest.mark.django_db(transaction=True),
    pytest.mark.skipif(
        not checks.uses_sqlite(), reason="PostgreSQL's copies are made by pg_dump."
    ),
]


# ------------------------------------------------------------ judging a file


def test_a_good_copy_has_no_faults(copy):
    assert copy_checks.faults_of(copy) == []
    assert copy_checks.note_faults(copy) == []


def test_a_file_that_is_no_database_is_named_as_such(tmp_path):
    letter = tmp_path / "letter.sqlite3"
    letter.write_text("Dear Merle")

    assert copy_checks.faults_of(letter) == [
        "It is not a database of this kind, or only a part of one."
    ]


def test_a_file_that_is_not_there_is_named(tmp_path):
    assert copy_checks.faults_of(tmp_path / "gone.sqlite3") == [
        f"There is no file {tmp_path / 'gone.sqlite3'}."
    ]


def test_half_a_copy_is_found_out(copy):
    whole = copy.read_bytes()
    copy.write_bytes(whole[: len(whole) // 2])

    assert copy_checks.faults_of(copy) != []


def test_a_row_that_points_nowhere_is_found_although_the_pages_are_sound(copy):
    # SQLite's list of pragmas: integrity_check does not look at foreign keys.
    spoil(
        copy,
        "DELETE FROM inventory_place WHERE id = (SELECT MIN(id) FROM inventory_place)",
    )

    with copy_checks.reading(copy) as inside:
        pages = copy_checks.integrity_faults(inside)

    assert pages == []
    assert "points to a row of inventory_place" in copy_checks.faults_of(copy)[0]


def test_a_database_of_another_program_is_refused(tmp_path):
    other = tmp_path / "other.sqlite3"
    spoil(other, "CREATE TABLE goods (count INTEGER)")

    assert "not a book of Bench & Post" in copy_checks.faults_of(other)[0]


def test_a_book_of_a_newer_bench_and_post_is_refused(copy):
    spoil(
        copy,
        "INSERT INTO django_migrations (app, name, applied) "
        "VALUES ('inventory', '9999_from_tomorrow', '2027-03-03')",
    )

    [fault] = copy_checks.faults_of(copy)

    assert "inventory.9999_from_tomorrow" in fault
    assert "Update Bench & Post first." in fault


def test_a_copy_changed_since_it_was_made_is_found_by_its_checksum(copy):
    spoil(copy, "UPDATE studio_studiosettings SET name = 'Another studio'")

    assert copy_checks.faults_of(copy) == []
    assert copy_checks.note_faults(copy) == [
        "It has changed since it was made: its checksum is not the one noted."
    ]


def test_a_plain_copy_of_a_book_in_use_is_refused(copy):
    copy.with_name(f"{copy.name}-wal").write_bytes(b"pages that are not folded in")

    assert "copied while in use" in copy_checks.faults_of(copy)[0]


# ------------------------------------------------------------ proving the book


def test_the_proof_counts_what_it_looked_at_and_finds_that_all_agrees(stocked):
    found = proof.prove_book()

    assert found.sentence == "1 movements, 2 balances: all agree."
    assert found.faults == []


def test_the_command_prints_each_difference_and_ends_with_one(stocked, capsys):
    Balance.objects.filter(count=16).update(count=15)

    with pytest.raises(SystemExit) as ended:
        call_command("verify")

    printed = capsys.readouterr().out
    assert ended.value.code == 1
    assert "RF-090" in printed
    assert "the balance says 15, the movements add up to 16." in printed
    assert "1 movements, 2 balances: 1 do not agree." in printed


def test_the_command_finds_a_row_that_points_nowhere(stocked, capsys):
    with connection.cursor() as cursor:
        cursor.execute("PRAGMA foreign_keys=OFF")
        cursor.execute("UPDATE inventory_item SET design_id = 990099")

    with pytest.raises(SystemExit):
        call_command("verify")

    with connection.cursor() as cursor:
        cursor.execute("UPDATE inventory_item SET design_id = NULL")
        cursor.execute("PRAGMA foreign_keys=ON")
    assert "points to a row of inventory_design" in capsys.readouterr().out
