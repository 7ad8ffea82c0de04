"""Make the environment that the studio's commands run in, and step into it.

Standard library only. A stamp inside the environment says which lock of packages it
holds, so that only the first run, and the first after a change, takes time.
"""

from __future__ import annotations

import hashlib
import importlib.util
import os
import re
import sys
from collections.abc import Mapping, MutableMapping
from pathlib import Path

from studio import computer as machine
from studio import libraries
from studio.computer import ROOT, Computer, Finished

ENVIRONMENT = ROOT / ".venv"
LOCKS = ROOT / "studio" / "requirements"
DEMO = ROOT / ".demo"
# Set while stepping inside; finding it outside means that the step did not work.
STEPPING_INSIDE = "BENCH_POST_STEPPING_INSIDE"
HOMEBREW_LIBRARIES = Path("/opt/homebrew/lib")

# The packages for the tests, installed and compiled, take about 340 MB.
ROOM_BYTES = 500_000_000
NO_PACKAGE_TOOL = "ensurepip"
# What pip, venv and the system say when something is wrong, and what that means.
REASONS = (
    (
        r"no space left on device|errno 28|not enough space on the disk",
        "the disk is full. Free about 500 MB, then run the same line again.",
    ),
    (
        r"do not match the hashes",
        "a package that arrived is not the one this studio was tested with, and was "
        "not installed. Try once more; if it stays so, get a fresh copy of Bench & "
        "Post.",
    ),
    (
        r"failed to establish a new connection|name resolution|getaddrinfo failed|"
        r"newconnectionerror|timed out|connecttimeout|network is unreachable|"
        r"proxyerror|connection aborted|connection refused|ssl:|sslerror",
        "the packages could not be fetched from the internet. Look to the connection, "
        "then run the same line again.",
    ),
    (
        r"read-only file system|permission denied|access is denied|errno 13|errno 30",
        "this folder may not be written to. Move Bench & Post into a folder of your "
        "own, then run the same line there.",
    ),
    (
        r"no matching distribution|could not find a version|failed building wheel|"
        r"failed to build",
        "a package is not published ready-made for this Python on this system. Use a "
        "Python from 3.11 to 3.13 in the usual 64-bit form.",
    ),
)


class SetupFailed(Exception):
    """Setting up stopped; the text says why and what to do next."""


def enter(arguments: list[str]) -> None:
    """Return only inside the studio's environment, with its packages in place."""
    command = arguments[1] if len(arguments) > 1 else ""
    computer = machine.this_computer()
    try:
        prepare(lock_for(command), ENVIRONMENT, computer)
        if not is_inside(ENVIRONMENT, sys.prefix):
            step_inside(ENVIRONMENT, sys.orig_argv[1:], os.environ, computer)
    except SetupFailed as failure:
        sys.exit(f"Bench & Post cannot start: {failure}")
    os.environ.pop(STEPPING_INSIDE, None)
    libraries.provide(command, computer)


def lock_for(command: str) -> Path:
    return LOCKS / ("test.txt" if command == "test" else "run.txt")


# ------------------------------------------------------------ the environment


def is_inside(environment: Path, prefix: str) -> bool:
    return os.path.realpath(prefix) == os.path.realpath(environment)


def python_of(environment: Path) -> Path:
    if sys.platform == "win32":
        return environment / "Scripts" / "python.exe"
    return environment / "bin" / "python"


def prepare(lock: Path, environment: Path, computer: Computer) -> None:
    """Create the environment and fill it from the lock, unless that is done already."""
    stamp = stamp_of(lock, python_version_of(environment))
    if stamp == read_stamp(environment, lock) and is_whole(environment):
        return
    refuse_full_disk(environment.parent, computer)
    if not can_install(environment, computer):
        create(environment, computer)
    install(lock, environment, computer)
    write_stamp(environment, lock, stamp_of(lock, python_version_of(environment)))


def is_whole(environment: Path) -> bool:
    """Whether the environment still has the Python that it was made with.

    A system that moves on to a newer Python leaves an environment whose packages
    that Python does not see, or one whose Python is gone.
    """
    python = python_of(environment)
    named = re.search(r"python(3\.\d+)$", os.path.realpath(python))
    made_with = python_version_of(environment)
    return python.exists() and (named is None or named[1] == made_with)


def python_version_of(environment: Path) -> str:
    """Read "3.11" from the environment's own note; "" when there is none."""
    try:
        note = (environment / "pyvenv.cfg").read_text(encoding="utf-8")
    except OSError:
        return ""
    found = re.search(r"^version(?:_info)?\s*=\s*(3\.\d+)", note, re.MULTILINE)
    return found[1] if found else ""


def refuse_full_disk(folder: Path, computer: Computer) -> None:
    """Stop before the first file, because a full disk makes half an environment."""
    free = computer.free_bytes(folder)
    if free < ROOM_BYTES:
        raise SetupFailed(
            f"the disk has {free // 1_000_000} MB free and the packages need up to "
            f"{ROOM_BYTES // 1_000_000} MB. Make room, then run the same line again."
        )


def can_install(environment: Path, computer: Computer) -> bool:
    if not is_whole(environment):
        return False
    pip = [str(python_of(environment)), "-m", "pip", "--version"]
    return computer.run(pip).code == 0


def create(environment: Path, computer: Computer) -> None:
    if is_inside(environment, sys.prefix):
        raise SetupFailed(
            f"the environment in {environment} no longer works. Delete that folder, "
            "then run the same line with your system's own Python."
        )
    computer.say(f"Making an environment for the studio's packages in {environment}.")
    command = [sys.executable, "-m", "venv", "--clear", str(environment)]
    if importlib.util.find_spec(NO_PACKAGE_TOOL) is None:
        supply_venv(computer)
    finished = computer.run(command)
    if finished.code:
        raise SetupFailed(reason_for(finished))


def supply_venv(computer: Computer) -> None:
    """Install Python's environment maker, which Debian packs apart from Python."""
    package = f"python3.{sys.version_info.minor}-venv"
    if computer.family not in ("debian", "ubuntu"):
        raise SetupFailed(
            "this Python came without its environment maker (ensurepip). Install "
            "Python from python.org or your system's full package, then run the same "
            "line again."
        )
    if not computer.is_root:
        raise SetupFailed(
            "Python's environment maker is missing. Type this, then run the same line "
            f"again: sudo apt-get install {package}"
        )
    computer.say(f"Installing {package}, which makes environments.")
    finished = libraries.apt_install([package], computer)
    if finished.code:
        raise SetupFailed(reason_for(finished))


def install(lock: Path, environment: Path, computer: Computer) -> None:
    """Fetch exactly the packages of the lock; a changed one is refused by its hash.

    pip compiles what it installs, so that later starts do not have to.
    """
    count = len(re.findall(r"^[A-Za-z0-9]\S*==", lock.read_text("utf-8"), re.MULTILINE))
    computer.say(
        f"Fetching and installing {count} packages. This takes about a minute, and is "
        "only done once."
    )
    finished = computer.run(install_command(python_of(environment), lock))
    if finished.code:
        raise SetupFailed(reason_for(finished))


def install_command(python: Path, lock: Path) -> list[str]:
    options = "--require-hashes --no-input --disable-pip-version-check --retries 2"
    return [str(python), "-m", "pip", "install", *options.split(), "-r", str(lock)]


def reason_for(finished: Finished) -> str:
    """Say in a sentence why a step failed, from what its program said."""
    for pattern, sentence in REASONS:
        if re.search(pattern, finished.output, re.IGNORECASE):
            return sentence
    last_lines = " / ".join(finished.output.strip().splitlines()[-3:])
    return (
        f"a step of the setting up ended with code {finished.code} and said: "
        f"{last_lines or 'nothing'}. Put that right, then run the same line again."
    )


# ------------------------------------------------------------ the stamp


def stamp_of(lock: Path, python_version: str) -> str:
    digest = hashlib.sha256(lock.read_bytes()).hexdigest()
    return f"{digest} python {python_version}\n"


def stamp_path(environment: Path, lock: Path) -> Path:
    return environment / f"installed-{lock.stem}.stamp"


def read_stamp(environment: Path, lock: Path) -> str:
    try:
        return stamp_path(environment, lock).read_text(encoding="utf-8")
    except OSError:
        return ""


def write_stamp(environment: Path, lock: Path, stamp: str) -> None:
    try:
        stamp_path(environment, lock).write_text(stamp, encoding="utf-8")
    except OSError as failure:
        raise SetupFailed(reason_for(Finished(1, str(failure)))) from failure


# ------------------------------------------------------------ stepping inside


def step_inside(
    environment: Path,
    words: list[str],
    variables: Mapping[str, str],
    computer: Computer,
) -> None:
    """Run the same line again with the environment's Python, in place of this one."""
    if STEPPING_INSIDE in variables:
        raise SetupFailed(
            f"the environment in {environment} does not take over. Delete that "
            "folder, then run the same line again."
        )
    line = [str(python_of(environment)), *words]
    inside = {**variables, STEPPING_INSIDE: "1", **library_folders(variables)}
    if sys.platform == "win32":
        # Windows cannot put one program in the place of another.
        sys.exit(computer.hand_over(line, inside))
    os.execve(line[0], line, inside)


def library_folders(variables: Mapping[str, str]) -> dict[str, str]:
    """Show Homebrew's libraries, which macOS does not look for by itself."""
    name = "DYLD_FALLBACK_LIBRARY_PATH"
    if not HOMEBREW_LIBRARIES.is_dir() or name in variables:
        return {}
    return {name: f"{HOMEBREW_LIBRARIES}:/usr/local/lib:/usr/lib"}


def keep_demo_apart(environment: MutableMapping[str, str]) -> None:
    """Point the demo at a folder of its own, whatever real studio is set up here."""
    environment["BENCH_POST_DATA"] = str(DEMO)
    environment.pop("DATABASE_URL", None)
