"""The locks pin every package by its hash and say nothing of where it comes from."""

import re
import tomllib

import pytest

from studio.bootstrap import LOCKS as FOLDER
from studio.computer import ROOT

LOCKS = [FOLDER / "run.txt", FOLDER / "test.txt"]


def pins(lock):
    return dict(re.findall(r"^([a-z0-9-]+)==([^\s;]+)", lock.read_text(), re.MULTILINE))


def direct_dependencies():
    project = tomllib.loads((ROOT / "pyproject.toml").read_text())["project"]
    optional = project["optional-dependencies"]
    return project["dependencies"], optional["test"] + optional["postgres"]


def as_pin(dependency):
    name, _, version = dependency.partition("==")
    return name.partition("[")[0], version


def test_every_direct_dependency_is_pinned_exactly_and_locked_so():
    run, test = direct_dependencies()

    assert pins(LOCKS[0]).items() >= {as_pin(dependency) for dependency in run}
    assert pins(LOCKS[1]).items() >= {as_pin(dependency) for dependency in run + test}


def test_the_tests_run_on_the_very_packages_that_the_studio_runs_on():
    assert pins(LOCKS[1]).items() >= pins(LOCKS[0]).items()


@pytest.mark.parametrize("lock", LOCKS, ids=lambda lock: lock.name)
def test_every_locked_package_has_its_hashes(lock):
    packages = re.split(r"^(?=[a-z0-9])", lock.read_text(), flags=re.MULTILINE)[1:]

    without = [
        package.split("==")[0]
        for package in packages
        if not re.search(r"--hash=sha256:[0-9a-f]{64}\b", package)
    ]

    # One name may stand twice: a release for older Pythons and one for newer.
    assert {package.split("==")[0] for package in packages} == set(pins(lock))
    assert without == []


@pytest.mark.parametrize("lock", LOCKS, ids=lambda lock: lock.name)
def test_a_lock_names_no_host_and_no_folder(lock):
    found = re.findall(
        r"https?:|file:|--index-url|--extra-index-url|--find-links|@ |\bgit\+",
        lock.read_text(),
    )

    assert found == []
