"""What Python cannot bring along is installed, or the line to type is told."""

from dataclasses import replace

import pytest

from studio import libraries
from studio.computer import Finished, family_of
from tests.studio.conftest import FakeRunner


# The ID lines of the systems' own /etc/os-release files, from memory.
@pytest.mark.parametrize(
    ("system", "release", "family"),
    [
        ("Linux", 'NAME="Debian GNU/Linux"\nID=debian\n', "debian"),
        ("Linux", "ID=raspbian\nID_LIKE=debian\n", "debian"),
        ("Linux", "ID=ubuntu\nID_LIKE=debian\n", "ubuntu"),
        ("Linux", 'ID=linuxmint\nID_LIKE="ubuntu debian"\n', "ubuntu"),
        ("Linux", "ID=fedora\n", "fedora"),
        ("Linux", 'ID="rocky"\nID_LIKE="rhel centos fedora"\n', "fedora"),
        ("Linux", "ID=arch\n", "arch"),
        ("Linux", "ID=alpine\n", "other"),
        ("Linux", "", "other"),
        ("Darwin", "", "macos"),
        ("Windows", "", "windows"),
    ],
)
def test_a_system_is_known_by_its_family(system, release, family):
    assert family_of(system, release) == family


# ------------------------------------------------------------ PDF libraries, browser

APT = "apt-get -q -o Acquire::Retries=1 -o DPkg::Lock::Timeout=120"
PANGO = "libpango-1.0-0 libpangoft2-1.0-0 libharfbuzz-subset0"


def test_root_on_debian_gets_the_pdf_libraries_for_the_demo(computer):
    libraries.provide("demo", computer)

    assert computer.run.lines == [
        f"{APT} update",
        f"{APT} -y --no-install-recommends install {PANGO}",
    ]


def test_the_tests_also_get_a_browser_and_a_reader_of_papers(computer):
    libraries.provide("test", computer)

    assert computer.run.lines[1].endswith(f"{PANGO} chromium poppler-utils")


def test_on_ubuntu_the_browser_is_left_to_the_person(computer):
    ubuntu = replace(computer, family="ubuntu")

    libraries.provide("test", ubuntu)

    assert ubuntu.run.lines[1].endswith(f"{PANGO} poppler-utils")
    assert ubuntu.say[-1] == (
        "Missing on this computer: Chromium, which the page tests drive. "
        "To put that right, type: sudo snap install chromium\n"
        "Until then the tests marked browser are skipped by name."
    )


@pytest.mark.parametrize(
    ("family", "line"),
    [
        ("debian", f"sudo apt-get install --no-install-recommends {PANGO}"),
        ("ubuntu", f"sudo apt-get install --no-install-recommends {PANGO}"),
        ("fedora", "sudo dnf install pango"),
        ("arch", "sudo pacman -S pango"),
        ("macos", "brew install pango"),
        ("windows", "pacman -S mingw-w64-ucrt-x86_64-pango"),
    ],
)
def test_without_root_the_line_to_type_is_told_and_nothing_is_run(
    computer, family, line
):
    person = replace(computer, family=family, is_root=False)

    libraries.provide("start", person)

    assert person.run.lines == []
    assert len(person.say) == 1
    assert f"type: {line}" in person.say[0]


def test_an_unknown_system_is_told_what_is_missing(computer):
    other = replace(computer, family="other")

    libraries.provide("start", other)

    assert other.say == [
        "Missing on this computer: the libraries that make PDF papers. Until "
        "then papers open as pages, to be printed from the browser."
    ]


def test_nothing_is_asked_of_a_computer_that_has_it_all(computer):
    complete = replace(
        computer,
        can_load=lambda names: True,
        find_program=lambda names: names[0],
    )

    libraries.provide("test", complete)

    assert (complete.run.lines, complete.say) == ([], [])


def test_a_command_that_prints_nothing_asks_for_no_libraries(computer):
    libraries.provide("check", computer)

    assert computer.run.lines == []


def test_a_failed_installation_tells_the_line_and_lets_the_studio_go_on(computer):
    offline = replace(
        computer,
        run=FakeRunner(update=Finished(100, "E: The list could not be fetched.")),
    )

    libraries.provide("demo", offline)

    assert offline.say[1:] == [
        "That did not work: E: The list could not be fetched.",
        libraries.advice(libraries.PDF, "debian"),
    ]
