"""A PostgreSQL server of the tests' own, on loopback, gone when the tests are done.

`python3 -m tests.private_postgres tests/inventory` runs pytest on it. Without words
it runs the whole suite less the tests marked `browser`, which see no database of
their own. Standard library only. Works as root too: PostgreSQL refuses root, so the
server then belongs to another user.
"""

from __future__ import annotations

import contextlib
import os
import shutil
import signal
import socket
import subprocess
import sys
import tempfile
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

from studio.testing import NOT_HERE, ON_EVERY_CORE

try:
    import pwd
except ImportError:  # Windows, where nobody is root.
    pwd = None

PROGRAMS = ("initdb", "pg_ctl")
# Where Debian, Homebrew and installers put them beside the usual path; from memory.
FOLDERS = (
    "/usr/lib/postgresql/*/bin",
    "/usr/local/bin",
    "/usr/local/pgsql/bin",
    "/opt/homebrew/opt/postgresql*/bin",
    "/usr/pgsql-*/bin",
)
# Users that may own the server when root runs the tests; PostgreSQL's own first.
OWNERS = ("postgres", "nobody")
PORT_TRIES = 3
# Nothing here has to survive a power cut.
SWIFT = {
    "fsync": "off",
    "synchronous_commit": "off",
    "full_page_writes": "off",
    "shared_buffers": "64MB",
}
EVERYTHING = (
    *ON_EVERY_CORE,
    "-q",
    "-m",
    "not browser and not measured and not reference",
)


class NoPostgres(Exception):
    """PostgreSQL cannot be had here; the sentence says what is missing."""


@dataclass(frozen=True)
class Owner:
    """Whom the server runs as; None of both is whoever runs the tests."""

    user_id: int | None = None
    group_id: int | None = None


@dataclass(frozen=True)
class Server:
    """Where a running server answers; tests make a database of their own beside."""

    port: int

    @property
    def url(self) -> str:
        return f"postgres://studio@127.0.0.1:{self.port}/postgres"


def programs() -> dict[str, str]:
    """Find PostgreSQL's programs side by side; the newest server wins."""
    for folder in [None, *sorted(_folders(), key=_version, reverse=True)]:
        found = {name: shutil.which(name, path=folder) for name in PROGRAMS}
        if all(found.values()):
            return {name: str(path) for name, path in found.items()}
    raise NoPostgres(
        f"PostgreSQL's programs {' and '.join(PROGRAMS)} are not on this computer."
    )


def _folders() -> list[str]:
    root = Path("/")
    return [str(path) for name in FOLDERS for path in root.glob(name.lstrip("/"))]


def _version(folder: str) -> tuple[int, ...]:
    digits = "".join(c if c.isdigit() else " " for c in folder)
    return tuple(int(number) for number in digits.split())


def owner() -> Owner:
    """Choose a user who is not root, because PostgreSQL refuses to run as root."""
    if pwd is None or os.geteuid() != 0:
        return Owner()
    for name in OWNERS:
        with contextlib.suppress(KeyError):
            found = pwd.getpwnam(name)
            return Owner(found.pw_uid, found.pw_gid)
    raise NoPostgres(
        "PostgreSQL does not run as root, and none of the users "
        f"{' and '.join(OWNERS)} is here to run it."
    )


@contextlib.contextmanager
def running() -> Iterator[Server]:
    """Start an empty server, and stop it whatever happens."""
    found, user = programs(), owner()
    with tempfile.TemporaryDirectory(prefix="bench-post-postgres-") as folder:
        _give(Path(folder), user)
        data = Path(folder) / "cluster"
        _run(_making_line(found["initdb"], data), user, folder)
        port = _start(found["pg_ctl"], data, user, folder)
        try:
            yield Server(port)
        finally:
            line = [found["pg_ctl"], "-D", str(data), "-m", "immediate", "-w", "stop"]
            _run(line, user, folder)


def _give(folder: Path, user: Owner) -> None:
    if user.user_id is not None and user.group_id is not None:
        os.chown(folder, user.user_id, user.group_id)


def _making_line(initdb: str, data: Path) -> list[str]:
    # Without passwords: it answers on loopback alone, and only for minutes.
    return [
        *(initdb, "-D", str(data), "--username=studio", "--auth=trust"),
        *("--encoding=UTF8", "--locale=C", "--no-sync"),
    ]


def _start(pg_ctl: str, data: Path, user: Owner, folder: str) -> int:
    """Start on a free port; another program may be quicker to it, so try again."""
    log = data.parent / "log.txt"
    for tries_left in reversed(range(PORT_TRIES)):
        port = free_port()
        line = [pg_ctl, "-D", str(data), "-l", str(log), "-w", "-o", _options(port)]
        try:
            _run([*line, "start"], user, folder)
        except NoPostgres:
            if not tries_left:
                raise
        else:
            return port
    raise NoPostgres("No free port was found.")


def free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        port: int = probe.getsockname()[1]
        return port


def _options(port: int) -> str:
    settings = {
        "port": str(port),
        "listen_addresses": "127.0.0.1",
        "unix_socket_directories": "",
        **SWIFT,
    }
    return " ".join(f"-c {name}={value}" for name, value in settings.items())


def _run(line: Sequence[str], user: Owner, folder: str) -> None:
    done = subprocess.run(
        list(line),
        cwd=folder,
        user=user.user_id,
        group=user.group_id,
        extra_groups=None if user.user_id is None else [],
        stdin=subprocess.DEVNULL,
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        encoding="utf-8",
        errors="replace",
        check=False,
    )
    if done.returncode:
        raise NoPostgres(f"PostgreSQL did not start: {done.stdout.strip()}")


def _stop_when_told(number: int, _frame: object) -> None:
    raise SystemExit(128 + number)


def main(words: Sequence[str]) -> int:
    """Run pytest with these words on the private server; return its exit code."""
    # So that the server is stopped also when the tests are.
    signal.signal(signal.SIGTERM, _stop_when_told)
    try:
        with running() as server:
            return subprocess.run(
                [sys.executable, "-m", "pytest", *(words or EVERYTHING)],
                env={**os.environ, "DATABASE_URL": server.url},
                check=False,
            ).returncode
    except NoPostgres as missing:
        sys.stdout.write(f"{missing}\n")
        return NOT_HERE


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
