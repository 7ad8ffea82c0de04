"""README.md and DEVELOPERS.md say what is so: names, commands, and what the demo does."""

import re
import shutil
import subprocess
import sys
import time
from dataclasses import dataclass

import pytest

from studio import printing
from studio.computer import ROOT

DOCUMENTS = {
    name: (ROOT / name).read_text(encoding="utf-8")
    for name in ("README.md", "DEVELOPERS.md")
}
BOTH = "\n".join(DOCUMENTS.values())
APPS = ("studio", "inventory", "orders", "production")
# What Django itself brings along, and the test runner's own word.
DJANGOS = {"check", "makemigrations", "migrate"}
OUTSIDE_COMMANDS = {"test"}
# A folder made at the first run is there only then.
MADE_WHEN_RUN = {".demo", ".venv", "backups"}
# Every app has these for Django; they say nothing of their own.
OF_EVERY_APP = {"__init__", "apps"}
SOURCE_TREES = (*APPS, "templates", "fixtures")


def in_ticks(text):
    """Return all that stands between backticks on one line."""
    return re.findall(r"`([^`\n]+)`", text)


def paths_named(text):
    found = [word for word in in_ticks(text) if re.fullmatch(r"[\w.*/-]+", word)]
    return [
        word for word in found if word.endswith((".py", "/", ".md", ".csv", ".html"))
    ]


def exists_somewhere(word):
    """Whether a named file or folder is in the tree, by its path or by its end."""
    if (ROOT / word).exists():
        return True
    return any(
        next((ROOT / tree).rglob(word.strip("/")), None)
        for tree in (*SOURCE_TREES, "tests")
    )


def own_commands():
    return {
        path.stem
        for path in (ROOT / "studio/management/commands").glob("*.py")
        if path.stem != "__init__"
    }


def settings_in_the_source():
    files = [
        ROOT / "manage.py",
        *(f for app in APPS for f in (ROOT / app).rglob("*.py")),
    ]
    return {
        name
        for file in files
        for name in re.findall(r"\bBENCH_POST_[A-Z_]+\b", file.read_text("utf-8"))
    }


def modules_of(app):
    return {path.stem for path in (ROOT / app).glob("*.py")} - OF_EVERY_APP


# ------------------------------------------------------------ what is named


def test_the_two_commands_stand_under_the_first_paragraph():
    heading, first, block, *_ = DOCUMENTS["README.md"].split("\n\n")

    assert heading == "# Bench & Post"
    assert "\n" in first
    assert block.splitlines() == [
        "```",
        "python3 manage.py demo",
        "python3 manage.py test",
        "```",
    ]


@pytest.mark.parametrize("name", DOCUMENTS)
def test_every_command_that_is_named_is_there(name):
    named = set(re.findall(r"manage\.py (\w+)", DOCUMENTS[name]))

    assert named - own_commands() - DJANGOS - OUTSIDE_COMMANDS == set()
    assert {"demo", "start"} <= named


@pytest.mark.parametrize("name", DOCUMENTS)
def test_every_file_and_folder_that_is_named_is_there(name):
    missing = {
        word
        for word in paths_named(DOCUMENTS[name])
        if word.strip("/") not in MADE_WHEN_RUN and not exists_somewhere(word)
    }

    assert missing == set()


@pytest.mark.parametrize("name", DOCUMENTS)
def test_every_setting_that_is_named_is_read_somewhere(name):
    named = set(re.findall(r"\bBENCH_POST_[A-Z_]+\b", DOCUMENTS[name]))
    measured = {
        found
        for file in (ROOT / "tests/measured").glob("*.py")
        for found in re.findall(r"\bBENCH_POST_[A-Z_]+\b", file.read_text("utf-8"))
    }

    assert named - settings_in_the_source() - measured == set()


def test_every_command_is_told_of():
    told = set(re.findall(r"manage\.py (\w+)", BOTH)) | set(in_ticks(BOTH))

    assert own_commands() - told == set()


def test_every_setting_is_told_of():
    assert settings_in_the_source() - set(in_ticks(BOTH)) == set()


@pytest.mark.parametrize("app", APPS)
def test_every_module_of_an_app_is_told_of(app):
    told = {word.removesuffix(".py").strip("/") for word in in_ticks(BOTH)}

    assert modules_of(app) - told == set()


def test_every_room_that_is_named_is_a_room_of_the_strip():
    named = re.search(r"nine rooms: ([^.]+)\.", " ".join(BOTH.split())).group(1)
    strip = (ROOT / "studio/templatetags/studio_selvedge.py").read_text("utf-8")

    rooms = re.split(r", | and ", named)
    assert len(rooms) == 9
    assert [room for room in rooms if f'"{room}"' not in strip] == []


def test_every_label_the_readme_tells_to_press_stands_on_a_page():
    """Labels in italics are looked for in the templates and in the views' words."""
    text = " ".join(DOCUMENTS["README.md"].split())
    labels = re.findall(r"(?<!\*)\*([A-Z][^*]+)\*(?!\*)", text)

    files = [*(ROOT / "templates").rglob("*.html")]
    files += [file for app in APPS for file in (ROOT / app).rglob("*.py")]
    words = "\n".join(file.read_text("utf-8") for file in files).replace("’", "'")
    pieces = {piece.strip() for label in labels for piece in label.split("…")}
    assert len(pieces) > 20
    assert {piece for piece in pieces if piece not in words} == set()


# ------------------------------------------------------------ what the demo does


def copy_of_the_tree(folder):
    """Lay the source out elsewhere, with this environment's packages beside it."""
    for name in SOURCE_TREES:
        shutil.copytree(
            ROOT / name, folder / name, ignore=shutil.ignore_patterns("__pycache__")
        )
    for name in ("manage.py", "pyproject.toml", "README.md"):
        shutil.copy(ROOT / name, folder / name)
    return folder


# What manage.py does once it stands in its environment; this one is another folder's.
STEP_INSIDE = """
import os, sys
sys.path.insert(0, os.getcwd())
from studio import bootstrap
bootstrap.keep_demo_apart(os.environ)
os.environ["DJANGO_SETTINGS_MODULE"] = "studio.settings"
from django.core.management import execute_from_command_line
execute_from_command_line(["manage.py", *sys.argv[1:]])
"""


@dataclass(frozen=True)
class Run:
    code: int
    said: str
    seconds: float


def run_demo(folder):
    started = time.monotonic()
    done = subprocess.run(  # noqa: S603 - the copy's own program
        (sys.executable, "-c", STEP_INSIDE, "demo", "--no-serve"),
        cwd=folder,
        capture_output=True,
        text=True,
        check=False,
    )
    return Run(done.returncode, done.stdout + done.stderr, time.monotonic() - started)


@pytest.fixture(scope="module")
def demo_runs(tmp_path_factory):
    """Run the demo twice in a copy of the source; return the folder and both runs."""
    folder = copy_of_the_tree(tmp_path_factory.mktemp("tree"))
    return folder, run_demo(folder), run_demo(folder)


def test_the_demo_says_the_day_in_figures(demo_runs):
    _, first, _ = demo_runs

    # Worked by hand: the demo's sheet of expected answers.
    assert first.code == 0, first.said
    words = " ".join(first.said.split())
    for sentence in (
        "28 open orders. 21 are ready, in 20 packets",
        "Postage is £53.95 plus 1 for abroad at the counter.",
        "95 packing minutes: Posy starting at 13:00 ends by 14:35;",
        "L-0451 cannot be met.",
        "7 need Merle.",
    ):
        assert sentence in words


def test_the_demo_writes_its_papers_and_nothing_outside_its_folder(demo_runs):
    folder, first, _ = demo_runs

    papers = sorted((folder / ".demo" / "papers").rglob("*.pdf"))
    can, why_not = printing.pdf_available()
    if can:
        assert len(papers) >= 3
        assert {paper.read_bytes()[:5] for paper in papers} == {b"%PDF-"}
        assert [paper.name for paper in papers if paper.name not in first.said] == []
    else:
        assert why_not in first.said
    assert (folder / ".demo" / "studio.sqlite3").exists()
    assert {path.name for path in folder.iterdir()} - {".static"} == {
        *SOURCE_TREES,
        ".demo",
        "manage.py",
        "pyproject.toml",
        "README.md",
    }


def test_a_second_run_changes_nothing_and_says_so(demo_runs):
    _, first, second = demo_runs

    assert second.code == 0, second.said
    assert "The demo studio is here already; nothing in it was changed." in second.said
    assert "Writing down people, places, items" in first.said
    assert "Writing down people, places, items" not in second.said
    assert "Postage is £53.95 plus 1 for abroad at the counter." in " ".join(
        second.said.split()
    )
    assert second.seconds < first.seconds
