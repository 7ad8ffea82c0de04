"""The first run: one line on a fresh machine makes all that the studio needs."""

import ast
import runpy
import sys
from dataclasses import replace
from pathlib import Path

import pytest

from studio import bootstrap
from studio.computer import ROOT, Finished
from tests.studio.conftest import FakeRunner, Speaker


@pytest.fixture
def environment(tmp_path):
    """A made environment, with a Python in it that is this one."""
    folder = tmp_path / "environment"
    python = bootstrap.python_of(folder)
    python.parent.mkdir(parents=True)
    python.symlink_to(sys.executable)
    version = f"{sys.version_info.major}.{sys.version_info.minor}"
    (folder / "pyvenv.cfg").write_text(f"home = /usr/bin\nversion = {version}.7\n")
    return folder


@pytest.fixture
def lock(tmp_path):
    path = tmp_path / "run.txt"
    path.write_text("thread==1.0 \\\n    --hash=sha256:00\nneedle==2.0\n")
    return path


# ------------------------------------------------------------ making the environment


def test_a_fresh_folder_gets_an_environment_and_then_the_locked_packages(
    computer, tmp_path, lock
):
    folder = tmp_path / "fresh"
    folder.mkdir()
    bootstrap.prepare(lock, folder, computer)

    python = bootstrap.python_of(folder)
    assert computer.run.lines == [
        f"{sys.executable} -m venv --clear {folder}",
        f"{python} -m pip install --require-hashes --no-input "
        f"--disable-pip-version-check --retries 2 -r {lock}",
    ]
    assert computer.say[1].startswith("Fetching and installing 2 packages.")


def test_the_second_run_starts_no_program_at_all(computer, environment, lock):
    bootstrap.prepare(lock, environment, computer)
    again = replace(computer, run=FakeRunner(), say=Speaker())

    bootstrap.prepare(lock, environment, again)

    assert (again.run.lines, again.say) == ([], [])


def test_a_changed_lock_is_installed_into_the_environment_that_is_there(
    computer, environment, lock
):
    bootstrap.prepare(lock, environment, computer)
    lock.write_text(lock.read_text() + "thimble==3.0\n")
    again = replace(computer, run=FakeRunner())

    bootstrap.prepare(lock, environment, again)

    assert [line.split(" -m ")[1][:11] for line in again.run.lines] == [
        "pip --versi",
        "pip install",
    ]


def test_a_stamp_is_not_left_behind_when_installing_failed(computer, environment, lock):
    failing = replace(computer, run=FakeRunner(install=Finished(1, "boom")))

    with pytest.raises(bootstrap.SetupFailed):
        bootstrap.prepare(lock, environment, failing)

    assert bootstrap.read_stamp(environment, lock) == ""


def test_an_environment_made_with_another_python_is_made_anew(
    computer, environment, lock
):
    bootstrap.prepare(lock, environment, computer)
    note = environment / "pyvenv.cfg"
    note.write_text("version = 3.4.1\n")
    bootstrap.write_stamp(environment, lock, bootstrap.stamp_of(lock, "3.4"))
    moved_on = Path(sys.executable).with_name("python3.99")
    bootstrap.python_of(environment).unlink()
    bootstrap.python_of(environment).symlink_to(moved_on)
    again = replace(computer, run=FakeRunner())

    bootstrap.prepare(lock, environment, again)

    assert again.run.lines[0] == f"{sys.executable} -m venv --clear {environment}"


def test_a_disk_without_room_is_refused_before_anything_is_written(
    computer, environment, lock
):
    crowded = replace(computer, free_bytes=lambda folder: 29_900_000)

    with pytest.raises(bootstrap.SetupFailed) as told:
        bootstrap.prepare(lock, environment, crowded)

    assert str(told.value) == (
        "the disk has 29 MB free and the packages need up to 500 MB. Make room, then "
        "run the same line again."
    )
    assert crowded.run.lines == []


def test_an_environment_without_pip_is_made_anew(computer, environment, lock):
    runner = FakeRunner(**{"pip --version": Finished(1, "No module named pip")})

    bootstrap.prepare(lock, environment, replace(computer, run=runner))

    assert runner.lines[1] == f"{sys.executable} -m venv --clear {environment}"


def test_pip_is_left_to_compile_what_it_installs():
    command = bootstrap.install_command(Path("python"), Path("run.txt"))

    assert "--no-compile" not in command
    assert "--require-hashes" in command


@pytest.mark.parametrize(
    ("command", "name"), [("test", "test.txt"), ("demo", "run.txt"), ("", "run.txt")]
)
def test_only_the_tests_fetch_the_tools_for_testing(command, name):
    assert bootstrap.lock_for(command).name == name


# ------------------------------------------------------------ Debian's missing part


@pytest.fixture
def without_venv(monkeypatch):
    monkeypatch.setattr(bootstrap, "NO_PACKAGE_TOOL", "a_module_nobody_has")
    return f"python3.{sys.version_info.minor}-venv"


def test_root_on_debian_gets_the_environment_maker_installed(
    computer, tmp_path, without_venv
):
    bootstrap.create(tmp_path / "fresh", computer)

    assert computer.run.lines[0].endswith(" update")
    assert computer.run.lines[1].endswith(f" install {without_venv}")
    assert " -m venv " in computer.run.lines[2]


def test_anyone_else_on_debian_is_told_the_line_to_type(
    computer, tmp_path, without_venv
):
    person = replace(computer, is_root=False)

    with pytest.raises(bootstrap.SetupFailed) as told:
        bootstrap.create(tmp_path / "fresh", person)

    assert str(told.value).endswith(f"sudo apt-get install {without_venv}")
    assert person.run.lines == []


def test_another_system_is_told_where_a_full_python_comes_from(
    computer, tmp_path, without_venv
):
    fedora = replace(computer, family="fedora")

    with pytest.raises(bootstrap.SetupFailed, match=r"python\.org"):
        bootstrap.create(tmp_path / "fresh", fedora)


# ------------------------------------------------------------ stepping inside


def test_the_same_line_runs_again_with_the_environment_s_python(
    computer, environment, monkeypatch
):
    steps = []
    monkeypatch.setattr(bootstrap.os, "execve", lambda *step: steps.append(step))
    words = ["-X", "dev", "manage.py", "demo"]

    bootstrap.step_inside(environment, words, {"HOME": "/home/her"}, computer)

    python = str(bootstrap.python_of(environment))
    assert steps[0][:2] == (python, [python, *words])
    assert (
        steps[0][2].items()
        >= {
            "HOME": "/home/her",
            bootstrap.STEPPING_INSIDE: "1",
        }.items()
    )


def test_on_windows_the_exit_code_of_the_second_python_is_passed_on(
    computer, environment, monkeypatch
):
    monkeypatch.setattr(bootstrap.sys, "platform", "win32")

    with pytest.raises(SystemExit) as ended:
        bootstrap.step_inside(environment, ["manage.py"], {}, computer)

    assert ended.value.code == 7


def test_a_step_that_did_not_arrive_is_not_tried_for_ever(
    computer, environment, monkeypatch
):
    monkeypatch.setattr(bootstrap.os, "execve", lambda *step: None)
    tried = {bootstrap.STEPPING_INSIDE: "1"}

    with pytest.raises(bootstrap.SetupFailed, match="does not take over"):
        bootstrap.step_inside(environment, ["manage.py"], tried, computer)


def test_the_environment_s_own_python_stays_where_it_is(monkeypatch, environment):
    steps = []
    monkeypatch.setattr(bootstrap, "ENVIRONMENT", environment)
    monkeypatch.setattr(bootstrap.sys, "prefix", str(environment))
    monkeypatch.setattr(bootstrap, "prepare", lambda *given: None)
    monkeypatch.setattr(bootstrap, "step_inside", lambda *step: steps.append(step))
    monkeypatch.setenv(bootstrap.STEPPING_INSIDE, "1")

    bootstrap.enter(["manage.py", "check"])

    assert steps == []
    # A program started from here must be free to step inside for itself.
    assert bootstrap.STEPPING_INSIDE not in bootstrap.os.environ


def test_any_other_python_steps_inside(monkeypatch, environment):
    steps = []
    monkeypatch.setattr(bootstrap, "ENVIRONMENT", environment)
    monkeypatch.setattr(bootstrap, "prepare", lambda *given: None)
    monkeypatch.setattr(bootstrap, "step_inside", lambda *step: steps.append(step[0]))

    bootstrap.enter(["manage.py", "check"])

    assert steps == [environment]


# ------------------------------------------------------------ saying why


# What the programs say: copied from pip 23.2, venv and the C library's messages.
@pytest.mark.parametrize(
    ("said", "told"),
    [
        ("OSError: [Errno 28] No space left on device", "the disk is full"),
        (
            "ERROR: THESE PACKAGES DO NOT MATCH THE HASHES FROM THE REQUIREMENTS FILE.",
            "a package that arrived is not the one",
        ),
        (
            "NewConnectionError: Failed to establish a new connection: [Errno -3] "
            "Temporary failure in name resolution\n"
            "ERROR: No matching distribution found for django==5.2.19",
            "could not be fetched from the internet",
        ),
        (
            "OSError: [Errno 30] Read-only file system: '/media/stick/.venv'",
            "this folder may not be written to",
        ),
        (
            "Error: [Errno 13] Permission denied: '/srv/studio/.venv'",
            "this folder may not be written to",
        ),
        (
            "ERROR: No matching distribution found for pillow==13.0.0",
            "not published ready-made for this Python",
        ),
        ("one\ntwo\nthree\nfour", "code 3 and said: two / three / four"),
        ("", "said: nothing"),
    ],
)
def test_a_failure_is_told_in_a_sentence(said, told):
    sentence = bootstrap.reason_for(Finished(3, said))

    assert told in sentence
    assert sentence.endswith(".")


def test_the_sentence_closes_the_run(monkeypatch):
    def fail(*given):
        raise bootstrap.SetupFailed("the disk is full.")

    monkeypatch.setattr(bootstrap, "prepare", fail)

    with pytest.raises(SystemExit) as ended:
        bootstrap.enter(["manage.py", "demo"])

    assert ended.value.code == "Bench & Post cannot start: the disk is full."


def test_an_old_python_says_that_it_is_too_old(monkeypatch):
    monkeypatch.setattr(sys, "version_info", (3, 7, 16, "final", 0))

    with pytest.raises(SystemExit) as ended:
        runpy.run_path(str(ROOT / "manage.py"), run_name="__main__")

    assert "and this is Python 3.7. Install a newer one" in ended.value.code


def test_an_old_python_can_read_the_line_that_says_so():
    source = (ROOT / "manage.py").read_text(encoding="utf-8")

    tree = ast.parse(source, feature_version=(3, 4))

    assert "from __future__" not in source
    assert isinstance(tree.body[3], ast.If)


# ------------------------------------------------------------ standard library only


@pytest.mark.parametrize("name", ["bootstrap", "computer", "libraries", "testing"])
def test_what_makes_the_environment_needs_nothing_from_it(name):
    tree = ast.parse((ROOT / "studio" / f"{name}.py").read_text(encoding="utf-8"))
    imported = {
        alias.name if isinstance(node, ast.Import) else node.module
        for node in ast.walk(tree)
        if isinstance(node, ast.Import | ast.ImportFrom)
        for alias in node.names
    }

    outside = {
        module for module in imported if module.split(".")[0] not in stdlib_or_studio()
    }

    assert outside == set()
    assert (ROOT / "studio" / "__init__.py").read_text() == ""


def stdlib_or_studio():
    return sys.stdlib_module_names | {"studio"}
