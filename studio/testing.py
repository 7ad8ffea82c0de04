"""Run every check of the project and then its tests, each step told in a sentence.

Words after `test` go to pytest as they stand, and the checks are then left out unless
`--checks` is among them. Without words the tests run twice: first on a PostgreSQL of
their own, where its programs are here, then on SQLite.
"""

from __future__ import annotations

import os
import sys
import tempfile
import time
from collections.abc import Sequence
from dataclasses import dataclass

from studio.computer import ROOT, Computer, this_computer

IMPORT_CONTRACTS = "from importlinter.cli import lint_imports_command as c; c()"

# Every core takes a file at a time, and a file's tests stay with one core, so that what
# a file loads once is loaded once.
ON_EVERY_CORE = ("-n", "auto", "--dist", "loadfile")

# What the run on PostgreSQL answers where there is none (EX_UNAVAILABLE of BSD's
# sysexits.h).
NOT_HERE = 69


@dataclass(frozen=True)
class Step:
    """A check: what it looks at, and the words for the environment's Python."""

    subject: str
    words: tuple[str, ...]


CHECKS = (
    Step("how the source is laid out", ("-m", "ruff", "format", "--check")),
    Step("the source for common mistakes", ("-m", "ruff", "check")),
    Step("the types", ("-m", "mypy")),
    Step("who imports whom", ("-c", IMPORT_CONTRACTS, "--no-logo")),
    Step("the settings", ("manage.py", "check")),
    Step(
        "that no migration is missing",
        ("manage.py", "makemigrations", "--check", "--dry-run"),
    ),
)
ON_POSTGRES = Step(
    "the tests on PostgreSQL, less those in a browser",
    ("-m", "tests.private_postgres"),
)


def run(words: Sequence[str]) -> int:
    """Return the exit code: pytest's own, or 1 when only a check failed."""
    computer = this_computer()
    os.chdir(ROOT)
    with tempfile.TemporaryDirectory(prefix="bench-post-") as folder:
        # The maker's own figures are no place for tests.
        os.environ.setdefault("BENCH_POST_DATA", folder)
        return _check_and_test(words, computer)


def _check_and_test(words: Sequence[str], computer: Computer) -> int:
    wants_checks = not words or "--checks" in words
    failed = run_checks(CHECKS, computer) if wants_checks else []
    # Asked for another database, the tests below run on that one.
    if not words and "DATABASE_URL" not in os.environ:
        failed += tests_on_postgres(computer)
    computer.say(announcement(failed))
    # pytest has the screen to itself, so that its summary is the last thing said.
    return exit_code(computer.hand_over(pytest_line(words), os.environ), failed)


def pytest_line(words: Sequence[str]) -> list[str]:
    own_words = [word for word in words if word != "--checks"]
    cores = () if own_words else ON_EVERY_CORE
    return [sys.executable, "-m", "pytest", *cores, *own_words]


def run_checks(checks: Sequence[Step], computer: Computer) -> list[str]:
    """Run every check, whatever the ones before it found; return what failed."""
    return [step.subject for step in checks if not passes(step, computer)]


def passes(step: Step, computer: Computer) -> bool:
    started = time.monotonic()
    finished = computer.run([sys.executable, *step.words])
    seconds = time.monotonic() - started
    if finished.code == 0:
        computer.say(f"Checked {step.subject}: good ({seconds:.1f} s).")
        return True
    computer.say(f"Checked {step.subject}: not good ({seconds:.1f} s).")
    computer.say(finished.output.rstrip())
    return False


def tests_on_postgres(computer: Computer) -> list[str]:
    """Run the tests on a PostgreSQL of their own; return what failed."""
    computer.say(f"Running {ON_POSTGRES.subject}; this takes minutes.")
    finished = computer.run([sys.executable, *ON_POSTGRES.words])
    said = finished.output.strip()
    if finished.code == NOT_HERE:
        computer.say(f"{said} The tests run on SQLite alone.")
        return []
    if finished.code:
        computer.say(said)
        return [ON_POSTGRES.subject]
    last_line = "".join(said.splitlines()[-1:])
    computer.say(f"Checked {ON_POSTGRES.subject}: good ({last_line}).")
    return []


def announcement(failed: Sequence[str]) -> str:
    if not failed:
        return "Running the tests."
    return (
        f"Not good: {'; '.join(failed)}. The tests run all the same, but this run "
        "counts as failed."
    )


def exit_code(of_pytest: int, failed_checks: Sequence[str]) -> int:
    return of_pytest or (1 if failed_checks else 0)
