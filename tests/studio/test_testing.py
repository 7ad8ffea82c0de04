"""One line runs all checks and then the tests, and fails when any of them does."""

import sys
from dataclasses import replace

import pytest

from studio import testing
from studio.computer import Finished
from tests.studio.conftest import FakeRunner


def test_every_check_runs_even_after_one_has_failed(computer):
    mistyped = replace(computer, run=FakeRunner(mypy=Finished(1, "A wrong type.")))

    failed = testing.run_checks(testing.CHECKS, mistyped)

    assert failed == ["the types"]
    assert len(mistyped.run.lines) == len(testing.CHECKS)
    assert "A wrong type." in mistyped.say


def test_a_failed_check_is_announced_before_the_tests_begin():
    sentence = testing.announcement(["the types", "the settings"])

    assert sentence == (
        "Not good: the types; the settings. The tests run all the same, but this run "
        "counts as failed."
    )


@pytest.mark.parametrize(
    ("of_pytest", "failed_checks", "code"),
    [(0, [], 0), (0, ["the types"], 1), (5, [], 5), (1, ["the types"], 1)],
)
def test_the_run_is_good_only_when_all_of_it_was(of_pytest, failed_checks, code):
    assert testing.exit_code(of_pytest, failed_checks) == code


def on_postgres(computer, finished):
    made_up = replace(computer, run=FakeRunner(private_postgres=finished))
    return testing.tests_on_postgres(made_up)


def test_tests_that_fail_on_postgresql_alone_make_the_run_fail(computer):
    failed = on_postgres(computer, Finished(1, "1 failed, 3 passed in 2.00s"))

    assert failed == ["the tests on PostgreSQL, less those in a browser"]
    assert computer.say[-1] == "1 failed, 3 passed in 2.00s"


def test_tests_that_pass_on_postgresql_are_told_in_one_line(computer):
    failed = on_postgres(computer, Finished(0, "....\n4 passed in 2.00s\n"))

    assert failed == []
    assert computer.say[-1] == (
        "Checked the tests on PostgreSQL, less those in a browser: good "
        "(4 passed in 2.00s)."
    )


def test_a_computer_without_postgresql_is_told_so_and_fails_nothing(computer):
    failed = on_postgres(computer, Finished(testing.NOT_HERE, "initdb is not here."))

    assert failed == []
    assert computer.say[-1] == "initdb is not here. The tests run on SQLite alone."


@pytest.fixture
def lines(computer, monkeypatch, tmp_path):
    """Every line that a run would have started, pytest's last."""
    monkeypatch.setenv("BENCH_POST_DATA", str(tmp_path))
    monkeypatch.delenv("DATABASE_URL", raising=False)
    monkeypatch.chdir(testing.ROOT)
    runner = computer.run

    def hand_over(line, environment):
        runner(line)
        return 0

    made_up = replace(computer, hand_over=hand_over)
    monkeypatch.setattr(testing, "this_computer", lambda: made_up)
    return runner.lines


def test_without_words_the_checks_come_first_and_pytest_closes_the_run(lines):
    testing.run([])

    assert len(lines) == len(testing.CHECKS) + 2
    assert lines[-2:] == [
        f"{sys.executable} -m tests.private_postgres",
        f"{sys.executable} -m pytest -n auto --dist loadfile",
    ]


def test_asked_for_another_database_the_tests_run_on_that_one_alone(lines, monkeypatch):
    monkeypatch.setenv("DATABASE_URL", "postgres://studio@127.0.0.1:5432/studio")

    testing.run([])

    assert len(lines) == len(testing.CHECKS) + 1
    assert lines[-1] == f"{sys.executable} -m pytest -n auto --dist loadfile"


def test_words_go_to_pytest_and_leave_the_checks_out(lines):
    testing.run(["tests/inventory", "-k", "promise"])

    assert lines == [f"{sys.executable} -m pytest tests/inventory -k promise"]


def test_the_checks_can_be_asked_for_beside_words(lines):
    testing.run(["--checks", "-x"])

    assert len(lines) == len(testing.CHECKS) + 1
    assert lines[-1] == f"{sys.executable} -m pytest -x"
