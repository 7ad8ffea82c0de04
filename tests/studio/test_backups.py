"""Copies: made while the studio is open, checked, kept for a while, put back."""

import hashlib
import io
import json
import sqlite3
from contextlib import closing
from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
from django.core.management import call_command
from django.urls import reverse

from inventory.models import Balance, Item
from inventory.queries.balances import balance_differences
from studio import backups, checks, copy_checks
from studio.models import StudioSettings
from tests.conftest import MORNING
from tests.factories.studio import StudioFactory
from tests.studio.pages import clock_at, spoil

pytestmark = [
    pytest.mark.django_db(transaction=True),
    pytest.mark.skipif(
        not checks.uses_sqlite(), reason="PostgreSQL's copies are made by pg_dump."
    ),
]
LONDON = ZoneInfo("Europe/London")


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


def test_a_copy_of_a_book_in_use_holds_what_is_finished_and_is_one_file_alone(
    tmp_path, monkeypatch
):
    # sqlite.org, "WAL-mode file format": bytes 18 and 19 are 2 under write-ahead
    # logging and 1 without it.
    book, copy = tmp_path / "book.sqlite3", tmp_path / "copy.sqlite3"
    monkeypatch.setattr(backups, "database_file", lambda: book)
    monkeypatch.setattr(backups, "has_tables", lambda: True)
    with closing(sqlite3.connect(book, isolation_level=None)) as writer:
        writer.execute("PRAGMA journal_mode=WAL")
        writer.execute("CREATE TABLE goods (count INTEGER)")
        writer.execute("INSERT INTO goods VALUES (1)")
        writer.execute("BEGIN IMMEDIATE")
        writer.execute("INSERT INTO goods VALUES (2)")

        backups.copy_pages(copy)

        in_use = book.read_bytes()[18:20]
    with copy_checks.reading(copy) as inside:
        copied = inside.execute("SELECT count FROM goods").fetchall()
    assert copied == [(1,)]
    assert (in_use, copy.read_bytes()[18:20]) == (b"\2\2", b"\1\1")


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


def test_a_new_copy_thins_the_studios_own_folder_but_not_a_stick(
    stocked, folder, tmp_path, monkeypatch
):
    stick = tmp_path / "stick"
    for where in (None, stick):
        clock_at(monkeypatch, MORNING)
        backups.make_copy(where)
        clock_at(monkeypatch, MORNING + timedelta(hours=9))
        backups.make_copy(where)

    here, carried = backups.kept_copies(), backups.kept_copies(stick)

    assert [copy.path.name for copy in here] == ["studio-2027-03-03-173000.sqlite3"]
    assert [copy.path.name for copy in carried] == [
        "studio-2027-03-03-173000.sqlite3",
        "studio-2027-03-03-083000.sqlite3",
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


# ------------------------------------------------------------ on the page


def test_the_owner_carries_a_copy_away_as_a_file(stocked, folder, at_owners, tmp_path):
    answer = at_owners.post(reverse("studio:copy_carry"))
    carried = tmp_path / "carried.sqlite3"
    carried.write_bytes(b"".join(answer.streaming_content))

    assert (
        'filename="studio-2027-03-03-083000.sqlite3"'
        in answer.headers["Content-Disposition"]
    )
    assert answer.headers["Cache-Control"] == "no-store"
    assert copy_checks.faults_of(carried) == []


def test_the_copies_page_lists_what_is_there(stocked, folder, at_owners):
    at_owners.post(reverse("studio:copy_make"))

    page = at_owners.get(reverse("studio:copies")).content.decode()

    assert "studio-2027-03-03-083000.sqlite3" in page
    assert "The last good copy is from Wed 3 March, 08:30." in page


def test_a_faulty_copy_is_told_on_the_page(stocked, folder, at_owners):
    Balance.objects.filter(count=16).update(count=15)

    page = at_owners.post(reverse("studio:copy_carry"), follow=True).content.decode()

    assert "did not pass its checks and was not kept" in page
