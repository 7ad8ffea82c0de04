"""Two books on disk, the demo's and one ten years long, and a process on each."""

import json
import os
import shutil
import statistics
import subprocess
import sys
from dataclasses import dataclass
from pathlib import Path

from studio.computer import ROOT

MAKE_DEMO = """
import django; django.setup()
from django.core.management import call_command
from studio.demo.loading import load_demo
call_command("migrate", interactive=False, verbosity=0)
load_demo()
"""
MAKE_TEN_YEARS = """
import django; django.setup()
from tests.measured.ten_years import write_ten_years
write_ten_years()
"""
ANSWER_FOR_PAGES = """
import django; django.setup()
from tests.measured.page_worker import main
main()
"""


def environment(folder):
    """Return the environment of a process that opens the book in a folder."""
    kept = {key: value for key, value in os.environ.items() if key != "DATABASE_URL"}
    own = {"BENCH_POST_DATA": str(folder), "DJANGO_SETTINGS_MODULE": "studio.settings"}
    return {**kept, **own}


def run_on(folder, program, **settings):
    """Run a program on a book in a process of its own; return what it printed."""
    done = subprocess.run(  # noqa: S603 - programs written here
        [sys.executable, "-c", program],
        cwd=ROOT,
        env={**environment(folder), **settings},
        stdout=subprocess.PIPE,
        encoding="utf-8",
        check=True,
    )
    return done.stdout


def make_demo(folder):
    folder.mkdir(parents=True)
    run_on(folder, MAKE_DEMO)


def make_ten_years(demo, folder, **settings):
    shutil.copytree(demo, folder)
    run_on(folder, MAKE_TEN_YEARS, **settings)


@dataclass
class Worker:
    """A process that opens pages of one book and says how long each took."""

    process: subprocess.Popen

    @classmethod
    def on(cls, folder: Path):
        process = subprocess.Popen(  # noqa: S603 - a program written here
            [sys.executable, "-c", ANSWER_FOR_PAGES],
            cwd=ROOT,
            env=environment(folder),
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            encoding="utf-8",
        )
        return cls(process)

    def ask(self, **wish):
        self.process.stdin.write(json.dumps(wish) + "\n")
        self.process.stdin.flush()
        return json.loads(self.process.stdout.readline())

    def open(self, address):
        answer = self.ask(address=address)
        assert answer["status"] == 200, (address, answer)
        return answer

    def questions(self, address):
        return self.ask(address=address, questions=True)["questions"]

    def close(self):
        # Its input at an end, it ends.
        with self.process:
            self.process.stdin.close()


def medians(repeats, *measures):
    """Take turns at the measures, so that what else the computer does meets all alike;
    return the median of each."""
    taken = [[measure() for measure in measures] for _ in range(repeats)]
    return [statistics.median(column) for column in zip(*taken, strict=True)]
