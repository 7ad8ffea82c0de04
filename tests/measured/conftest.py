"""Books to measure on, made once a run, and the table of what was measured."""

import os
from pathlib import Path

import pytest

from tests.measured import books
from tests.measured.figures import Figures

FIGURES = pytest.StashKey[Figures]()


def pytest_configure(config):
    config.stash[FIGURES] = Figures()


def pytest_terminal_summary(terminalreporter, config):
    figures = config.stash.get(FIGURES, None)
    if figures and figures.tables:
        terminalreporter.section("what was measured")
        terminalreporter.write_line(str(figures))


@pytest.fixture(scope="session")
def figures(request):
    if FIGURES not in request.config.stash:
        request.config.stash[FIGURES] = Figures()
    return request.config.stash[FIGURES]


@pytest.fixture(scope="session")
def shelf_of_books(tmp_path_factory):
    """Where the books stand: BENCH_POST_MEASURED_BOOKS keeps them for another run."""
    kept = os.environ.get("BENCH_POST_MEASURED_BOOKS")
    return Path(kept) if kept else tmp_path_factory.mktemp("books")


@pytest.fixture(scope="session")
def demo_book(shelf_of_books):
    folder = shelf_of_books / "demo"
    if not folder.exists():
        books.make_demo(folder)
    return folder


@pytest.fixture(scope="session")
def young_book(shelf_of_books, demo_book):
    """The last of the ten years alone: the same sizes at the same pace."""
    folder = shelf_of_books / "one-year"
    if not folder.exists():
        books.make_ten_years(demo_book, folder, BENCH_POST_MEASURED_YEARS="1")
    return folder


@pytest.fixture(scope="session")
def long_book(shelf_of_books, demo_book):
    folder = shelf_of_books / "ten-years"
    if not folder.exists():
        books.make_ten_years(demo_book, folder)
    return folder


@pytest.fixture(scope="session")
def workers(demo_book, young_book, long_book):
    """One process on each book."""
    three = [books.Worker.on(book) for book in (demo_book, young_book, long_book)]
    yield three
    for worker in three:
        worker.close()
