"""Say what computer this is, start programs on it, and speak to whoever sits there.

Standard library only: this runs before the studio's own environment exists.
"""

from __future__ import annotations

import ctypes
import ctypes.util
import os
import platform
import shutil
import subprocess
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
OS_RELEASE = Path("/etc/os-release")
# Where ready-made PDF libraries are put on Windows (WeasyPrint's installation guide).
WINDOWS_FOLDERS = (
    r"C:\msys64\ucrt64\bin",
    r"C:\msys64\mingw64\bin",
    r"C:\Program Files\GTK3-Runtime Win64\bin",
)


@dataclass(frozen=True)
class Finished:
    """A program that has ended: its exit code and everything it said."""

    code: int
    output: str


@dataclass(frozen=True)
class Computer:
    """What the setting-up asks of a computer; a test hands in a made-up one.

    `family` is one of debian, ubuntu, fedora, arch, macos, windows and other.
    """

    family: str
    is_root: bool
    run: Callable[[Sequence[str]], Finished]
    hand_over: Callable[[Sequence[str], Mapping[str, str]], int]
    say: Callable[[str], None]
    can_load: Callable[[Sequence[str]], bool]
    find_program: Callable[[Sequence[str]], str | None]
    free_bytes: Callable[[Path], int]


def this_computer() -> Computer:
    return Computer(
        family=family_of(platform.system(), _os_release()),
        is_root=hasattr(os, "geteuid") and os.geteuid() == 0,
        run=run,
        hand_over=hand_over,
        say=say,
        can_load=can_load,
        find_program=find_program,
        free_bytes=free_bytes,
    )


def family_of(system: str, os_release: str) -> str:
    """Name the family of systems that takes the same packages by the same command."""
    if system in ("Darwin", "Windows"):
        return {"Darwin": "macos", "Windows": "windows"}[system]
    names = _release_names(os_release)
    # Ubuntu before Debian: Ubuntu calls itself like Debian, never the other way.
    for family in ("ubuntu", "debian", "fedora", "arch"):
        if family in names:
            return family
    return "other"


def _os_release() -> str:
    try:
        return OS_RELEASE.read_text(encoding="utf-8")
    except OSError:
        return ""


def _release_names(os_release: str) -> set[str]:
    names: set[str] = set()
    for line in os_release.splitlines():
        key, _, value = line.partition("=")
        if key in ("ID", "ID_LIKE"):
            names.update(value.strip("\"'").lower().split())
    return names


def run(command: Sequence[str]) -> Finished:
    """Run a program to its end without asking anything of the person at the keys."""
    try:
        done = subprocess.run(
            list(command),
            cwd=ROOT,
            stdin=subprocess.DEVNULL,
            stdout=subprocess.PIPE,
            stderr=subprocess.STDOUT,
            env=_quiet_environment(os.environ),
            encoding="utf-8",
            errors="replace",
            check=False,
        )
    except OSError as failure:
        return Finished(code=127, output=str(failure))
    return Finished(code=done.returncode, output=done.stdout)


def hand_over(line: Sequence[str], environment: Mapping[str, str]) -> int:
    """Let a program have the screen and the keys; return its exit code."""
    try:
        return subprocess.run(list(line), env=environment, check=False).returncode
    except KeyboardInterrupt:
        # The program had the same key press and has ended by itself.
        return 130


def _quiet_environment(environment: Mapping[str, str]) -> dict[str, str]:
    # PIP_USER would send packages to the home folder instead of the environment.
    return {**environment, "DEBIAN_FRONTEND": "noninteractive", "PIP_USER": "0"}


def say(sentence: str) -> None:
    print(sentence, flush=True)


def can_load(names: Sequence[str]) -> bool:
    """Whether a shared library can be loaded under one of its names."""
    return any(_loads(name) for name in names) or any(
        (Path(folder) / name).is_file() for folder in _dll_folders() for name in names
    )


def _loads(name: str) -> bool:
    try:
        ctypes.CDLL(name)
    except OSError:
        return False
    return True


def _dll_folders() -> Sequence[str]:
    if platform.system() != "Windows":
        return ()
    chosen = os.environ.get("WEASYPRINT_DLL_DIRECTORIES")
    return chosen.split(";") if chosen else WINDOWS_FOLDERS


def find_program(names: Sequence[str]) -> str | None:
    """Find the first of these programs, given by name or by whole path."""
    return next((found for name in names if (found := shutil.which(name))), None)


def free_bytes(folder: Path) -> int:
    return shutil.disk_usage(folder).free
