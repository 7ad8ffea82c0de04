"""Copies: made while the studio is open, checked, kept for a while, put back."""

import hashlib
import io
import json
import shutil
import sqlite3
from contextlib import closing
from datetime import datetime, timedelta
from uuid import UUID
from zoneinfo import ZoneInfo

import pytest
from django.core.management import CommandError, call_command
from django.db import connection
from django.test import Client
from django.urls import reverse

from inventory import actions as stock
from inventory.models import Balance, Item
from inventory.queries.balances import balance_differences
from studio import backups, checks, copy_checks, one_server, proof, restoring
from studio.models import StudioSettings
from tests.conftest import MORNING
from tests.factories.studio import OwnerFactory, StudioFactory

pytestmark = [
    pytest.mark.django_db(transaction=True),
    pytest.mark.skipif(
        not checks.uses_sqlite(), reason="PostgreSQL's copies are made by pg_dump."
    ),
]
LONDON = ZoneInfo("Europe/London")


@pytest.fixture
def folder(tmp_path, settings):
    settings.BACKUP_DIR = tmp_path / "backups"
    return settings.BACKUP_DIR


@pytest.fixture
def stocked(db):
    """A studio with one item, counted in and then partly given away."""
    StudioFactory()
    return stock.add_item_with_count(
        code="RF-090",
        name="Ringfence set, 9 in",
        kind="set",
        count=16,
        request_id=UUID(int=1),
        now=MORNING,
        is_sold=True,
    )


@pytest.fixture
def copy(stocked, folder):
    return backups.make_copy().path


def spoil(path, *statements):
    """Change a copy as no program of the studio would."""
    with closing(sqlite3.connect(path)) as connection, connection:
        for statement in statements:
            connection.execute(statement)


# ------------------------------------------------------------ making one


def test_a_copy_holds_what_was_written_up_to_now(stocked, folder):
    made = backups.make_copy()

    with copy_checks.reading(made.path) as inside:
        counts = inside.execute(
            "SELECT count FROM inventory_balance WHERE count > 0"
        ).fetchall()
    assert counts == [(16,)]
    assert made.path.name == "studio-2027-03-03-083000.sqlite3"


def test_a_copy_is_one_file_alone_with_its_checksum_and_rows_beside_it(copy, folder):
    note = json.loads((folder / "studio-2027-03-03-083000.json").read_text())

    assert sorted(path.name for path in folder.iterdir()) == [
        "studio-2027-03-03-083000.json",
        "studio-2027-03-03-083000.sqlite3",
    ]
    assert note["sha256"] == hashlib.sha256(copy.read_bytes()).hexdigest()
    assert note["bytes"] == copy.stat().st_size
    assert note["rows"]["inventory_item"] == Item.objects.count()


def test_a_copy_is_made_while_somebody_else_is_in_the_middle_of_writing(tmp_path):
    # SQLite's documentation of the online backup: a reader sees committed rows only.
    book = tmp_path / "book.sqlite3"
    with closing(sqlite3.connect(book, isolation_level=None)) as writer:
        writer.execute("PRAGMA journal_mode=WAL")
        writer.execute("CREATE TABLE goods (count INTEGER)")
        writer.execute("INSERT INTO goods VALUES (1)")
        writer.execute("BEGIN IMMEDIATE")
        writer.execute("INSERT INTO goods VALUES (2)")

        with (
            closing(sqlite3.connect(book)) as source,
            closing(sqlite3.connect(tmp_path / "copy")) as target,
        ):
            source.backup(target)
            copied = target.execute("SELECT count FROM goods").fetchall()

        writer.execute("COMMIT")
    assert copied == [(1,)]


def test_a_good_copy_is_noted_and_a_second_one_in_the_same_second_has_its_own_name(
    copy, folder
):
    second = backups.make_copy().path

    assert StudioSettings.objects.get().last_good_copy_at == MORNING
    assert second.name == "studio-2027-03-03-083000-2.sqlite3"
    assert copy.exists()


def test_a_copy_that_does_not_add_up_is_not_kept_and_not_noted(stocked, folder):
    Balance.objects.filter(count=16).update(count=15)

    with pytest.raises(backups.CopyFaulty) as faulty:
        backups.make_copy()

    assert "RF-090" in faulty.value.faults[0]
    assert "the balance says 15, the movements add up to 16" in faulty.value.faults[0]
    assert list(folder.iterdir()) == []
    assert StudioSettings.objects.get().last_good_copy_at is None


def test_the_same_sums_are_found_wrong_in_a_file_and_in_the_open_book(stocked, folder):
    good = backups.make_copy().path
    Balance.objects.filter(count=16).update(count=15)
    Balance.objects.filter(count=-16).delete()
    spoil(
        good,
        "UPDATE inventory_balance SET count = 15 WHERE count = 16",
        "DELETE FROM inventory_balance WHERE count = -16",
    )

    with copy_checks.reading(good) as inside:
        in_the_file = copy_checks.ledger_faults(inside)

    in_the_book = [str(difference) for difference in balance_differences()]
    assert len(in_the_book) == 2
    assert sorted(in_the_file) == sorted(in_the_book)


def test_a_folder_that_is_a_file_is_named_in_a_sentence(stocked, tmp_path):
    (tmp_path / "stick").write_text("not a folder")

    with pytest.raises(backups.FolderClosed) as closed:
        backups.make_copy(tmp_path / "stick")

    assert "cannot be written to" in str(closed.value)


def test_the_command_says_what_it_made_and_where(stocked, folder, tmp_path):
    said = io.StringIO()

    call_command("backup", "--to", str(tmp_path / "stick"), stdout=said)

    assert (tmp_path / "stick" / "studio-2027-03-03-083000.sqlite3").exists()
    assert str(tmp_path / "stick") in said.getvalue()
    assert "pages, links and sums were checked" in said.getvalue()
    assert not folder.exists()


# ------------------------------------------------------------ how long they are kept


def at(text):
    return datetime.fromisoformat(text).replace(tzinfo=LONDON)


def test_one_copy_a_day_for_a_year_leaves_seven_days_four_weeks_and_twelve_months():
    # Worked by hand on the calendar of 2027: 31 December is a Friday, so the newest of
    # the last four weeks are 31, 26, 19 and 12 December.
    new_year = at("2027-01-01T18:00")
    daily = [new_year + timedelta(days=day) for day in range(365)]

    kept = backups.to_keep(daily)

    days = [f"2027-12-{day}" for day in (25, 26, 27, 28, 29, 30, 31)]
    weeks = ["2027-12-12", "2027-12-19"]
    months = ["2027-01-31", "2027-02-28", "2027-03-31", "2027-04-30", "2027-05-31"]
    months += ["2027-06-30", "2027-07-31", "2027-08-31", "2027-09-30", "2027-10-31"]
    months += ["2027-11-30"]
    assert sorted(f"{one:%Y-%m-%d}" for one in kept) == months + weeks + days


def test_of_several_copies_in_a_day_the_newest_stays():
    kept = backups.to_keep([at("2027-03-03T08:00"), at("2027-03-03T17:00")])

    assert kept == {at("2027-03-03T17:00")}


def test_copies_that_are_rare_are_all_kept():
    yearly = [at("2026-12-31T08:00"), at("2027-03-03T08:00")]

    assert backups.to_keep(yearly) == set(yearly)


def test_thinning_takes_the_note_too_and_leaves_what_is_not_a_copy(folder):
    folder.mkdir()
    old, new = "studio-2027-03-03-080000", "studio-2027-03-03-170000"
    for name in (f"{old}.sqlite3", f"{old}.json", f"{new}.sqlite3", "letter.txt"):
        (folder / name).write_text("x")

    gone = backups.thin_out(folder)

    assert [path.name for path in gone] == [f"{old}.sqlite3"]
    assert sorted(path.name for path in folder.iterdir()) == [
        "letter.txt",
        f"{new}.sqlite3",
    ]


# ------------------------------------------------------------ the reminder
# Amber after 2 days, red after 7: common practice.


@pytest.mark.parametrize(
    ("age", "is_red"),
    [
        (None, True),
        (timedelta(days=2), None),
        (timedelta(days=2, minutes=1), False),
        (timedelta(days=7), False),
        (timedelta(days=7, minutes=1), True),
    ],
)
def test_the_reminder_turns_amber_after_two_days_and_red_after_seven(age, is_red):
    StudioFactory(last_good_copy_at=None if age is None else MORNING - age)

    reminder = backups.copy_reminder(MORNING)

    assert (reminder and reminder.is_red) is is_red


def test_the_reminder_says_how_old_the_copy_is():
    StudioFactory(last_good_copy_at=at("2027-02-27T20:00"))

    assert str(backups.copy_reminder(MORNING)) == (
        "The last good copy of the book is 3 days old, from Sat 27 February 2027."
    )


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


# ------------------------------------------------------------ putting one back


@pytest.fixture
def book(copy, tmp_path, monkeypatch):
    """A book on the disk that has gone on since the copy: its name has changed."""
    path = tmp_path / "here" / "studio.sqlite3"
    path.parent.mkdir()
    shutil.copyfile(copy, path)
    spoil(path, "PRAGMA journal_mode=WAL", "UPDATE studio_studiosettings SET name='B'")
    monkeypatch.setattr(backups, "database_file", lambda: path)
    monkeypatch.setattr(restoring, "connections", NoConnections())
    return path


class NoConnections:
    """The test's own database is another one, and must stay open."""

    def close_all(self):
        """Close nothing."""


def name_in(path):
    with closing(sqlite3.connect(path)) as connection:
        return connection.execute("SELECT name FROM studio_studiosettings").fetchone()[
            0
        ]


def test_a_copy_is_put_back_and_the_book_that_was_there_is_kept(copy, book):
    done = restoring.restore(copy)

    assert name_in(book) == "Marrowick Patch Loft"
    assert done.aside.name == "studio-put-aside-2027-03-03-083000.sqlite3"
    assert name_in(done.aside) == "B"
    assert copy_checks.faults_of(book) == []
    assert not book.with_name(f"{book.name}-wal").exists()


def test_putting_back_twice_keeps_both_books(copy, book):
    first = restoring.restore(copy).aside
    second = restoring.restore(copy).aside

    assert [name_in(first), name_in(second)] == ["B", "Marrowick Patch Loft"]


def test_a_bad_copy_is_refused_and_nothing_is_changed(copy, book):
    spoil(copy, "UPDATE inventory_balance SET count = 15 WHERE count = 16")

    with pytest.raises(CommandError) as refused:
        call_command("restore", str(copy))

    assert "was not put back, and nothing was changed" in str(refused.value)
    assert "the balance says 15, the movements add up to 16" in str(refused.value)
    assert name_in(book) == "B"


def test_a_copy_is_not_put_back_while_the_studio_is_open(copy, book):
    with (
        one_server.holding(book.parent),
        pytest.raises(CommandError, match="is open in another window"),
    ):
        call_command("restore", str(copy))

    assert name_in(book) == "B"


def test_a_copy_goes_where_no_book_is_yet(copy, book):
    book.unlink()

    done = restoring.restore(copy)

    assert done.aside is None
    assert name_in(book) == "Marrowick Patch Loft"


def test_a_book_that_is_broken_is_kept_aside_as_it_is(copy, book):
    book.write_bytes(b"spilled tea")

    done = restoring.restore(copy)

    assert done.aside.read_bytes() == b"spilled tea"
    assert name_in(book) == "Marrowick Patch Loft"


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


# ------------------------------------------------------------ on the page


@pytest.fixture
def owner():
    client = Client()
    client.force_login(OwnerFactory())
    return client


def test_the_owner_carries_a_copy_away_as_a_file(stocked, folder, owner, tmp_path):
    answer = owner.post(reverse("studio:copy_carry"))
    carried = tmp_path / "carried.sqlite3"
    carried.write_bytes(b"".join(answer.streaming_content))

    assert (
        'filename="studio-2027-03-03-083000.sqlite3"'
        in answer.headers["Content-Disposition"]
    )
    assert answer.headers["Cache-Control"] == "no-store"
    assert copy_checks.faults_of(carried) == []


def test_the_copies_page_lists_what_is_there(stocked, folder, owner):
    owner.post(reverse("studio:copy_make"))

    page = owner.get(reverse("studio:copies")).content.decode()

    assert "studio-2027-03-03-083000.sqlite3" in page
    assert "The last good copy is from Wed 3 March, 08:30." in page


def test_a_faulty_copy_is_told_on_the_page(stocked, folder, owner):
    Balance.objects.filter(count=16).update(count=15)

    page = owner.post(reverse("studio:copy_carry"), follow=True).content.decode()

    assert "did not pass its checks and was not kept" in page
