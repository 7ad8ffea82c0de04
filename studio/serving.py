"""Serve the studio to this machine and the home network, by one process.

One process keeps clear of the rare write-ahead-log fault that old SQLite releases have
between two; its four threads are more than three people and a phone need.
"""

from __future__ import annotations

import errno
import signal
import socket
import sys
from collections.abc import Callable, Iterator
from contextlib import ExitStack, contextmanager
from dataclasses import dataclass
from pathlib import Path
from types import FrameType
from typing import Any

import segno
import waitress.server
from django.conf import settings
from django.core.wsgi import get_wsgi_application
from django.urls import reverse

from studio import first_door, one_server, signing_in
from studio.backups import database_file
from studio.checks import uses_sqlite
from studio.errors import StudioError
from studio.models import Person, StudioSettings

THREADS = 4
PORTS_TRIED = 10
EVERYWHERE = "0.0.0.0"  # noqa: S104 - the bench phone reaches it over the home network
LOOPBACK = "127.0.0.1"
# Far above the largest file that is taken, so that a page can say it is too big, with
# what else was typed kept; beyond this the server itself cuts off without a page.
BODY_LIMIT_BYTES = 10 * settings.UPLOAD_LIMIT_BYTES

Say = Callable[[str], None]


@dataclass
class PortsTaken(StudioError):
    """None of the ports tried is free."""

    first: int
    last: int

    def __str__(self) -> str:
        return (
            f"Ports {self.first} to {self.last} are all in use by other programs. "
            "Close one of them, or set BENCH_POST_PORT to another number."
        )


def serve(
    host: str = EVERYWHERE,
    port: int | None = None,
    *,
    person: Person | None = None,
    say: Say | None = None,
) -> None:
    """Serve until Ctrl-C, printing how to get in; `person` is whom the links are for.

    Without `person` they are for the first owner. Raises PortsTaken, or
    StudioOpenElsewhere when this book is being served already.
    """
    say = say or say_on_screen
    with ExitStack() as held:
        if uses_sqlite():
            held.enter_context(one_server.holding(Path(database_file()).parent))
        listener, found = open_port(host, port or settings.PORT, say)
        held.enter_context(listener)
        answer_to(host_name())
        server = make_server(listener)
        for line in way_in(host, found, person or first_owner()):
            say(line)
        with ending_on_signals():
            server.run()
        server.close()
    say("The studio is closed. Everything is kept; start it again whenever you like.")


def make_server(listener: socket.socket) -> Any:
    """Set the server up. Headers of a server in front are believed only by a setting."""
    proxy: dict[str, Any] = {"clear_untrusted_proxy_headers": False}
    if settings.BEHIND_PROXY:
        proxy = {
            "trusted_proxy": LOOPBACK,
            "trusted_proxy_headers": {"x-forwarded-for", "x-forwarded-proto"},
            "clear_untrusted_proxy_headers": True,
        }
    return waitress.server.create_server(
        get_wsgi_application(),
        sockets=[listener],
        threads=THREADS,
        ident=None,
        max_request_body_size=BODY_LIMIT_BYTES,
        **proxy,
    )


@contextmanager
def ending_on_signals() -> Iterator[None]:
    """Stop as cleanly for a polite request to end as for Ctrl-C."""

    def stop(_number: int, _frame: FrameType | None) -> None:
        raise KeyboardInterrupt

    before = signal.signal(signal.SIGTERM, stop)
    try:
        yield
    except KeyboardInterrupt:
        return
    finally:
        signal.signal(signal.SIGTERM, before)


# ------------------------------------------------------------ ports


def open_port(host: str, port: int, say: Say) -> tuple[socket.socket, int]:
    """Listen on the port, or on the next free one, and say so."""
    for candidate in range(port, port + PORTS_TRIED):
        listener = listen(host, candidate)
        if listener is None:
            continue
        if candidate != port:
            say(
                f"Port {port} is in use by another program, so this is on port "
                f"{candidate}. Addresses printed in QR codes before may not lead here."
            )
        return listener, candidate
    raise PortsTaken(port, port + PORTS_TRIED - 1)


def listen(host: str, port: int) -> socket.socket | None:
    """Take a port, or return nothing where another program answers on it."""
    if answers(port):
        return None
    listener = socket.socket(socket.AF_INET, socket.SOCK_STREAM)
    if sys.platform != "win32":
        # Lets a studio that was just stopped start again; Windows means something else.
        listener.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
    try:
        listener.bind((host, port))
    except OSError as refused:
        listener.close()
        if refused.errno in (errno.EADDRINUSE, errno.EACCES):
            return None
        raise
    return listener


def answers(port: int) -> bool:
    """Whether some program on this machine takes calls on the port already."""
    with socket.socket(socket.AF_INET, socket.SOCK_STREAM) as caller:
        caller.settimeout(0.5)
        return caller.connect_ex((LOOPBACK, port)) == 0


# ------------------------------------------------------------ addresses


def host_name() -> str:
    return (
        StudioSettings.objects.filter(pk=1).values_list("host_name", flat=True).first()
        or ""
    )


def answer_to(name: str) -> None:
    """Let pages be asked for under the name the owner has given this computer."""
    if name and name not in settings.ALLOWED_HOSTS:
        settings.ALLOWED_HOSTS.append(name)


def home_address(name: str, port: int) -> str:
    """Return the address for other devices of the house.

    The owner's own name for this computer comes first, because it stays the same;
    then the number it has on the home network now; then its own name for itself.
    """
    scheme, usual = ("https", 443) if settings.HTTPS else ("http", 80)
    host = name or network_number() or f"{socket.gethostname()}.local"
    return f"{scheme}://{host}" + ("" if port == usual else f":{port}")


def network_number() -> str:
    """Return this machine's number on its network; nothing is sent to find it."""
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe:
        try:
            probe.connect(("10.255.255.255", 9))
        except OSError:
            return ""
        number = str(probe.getsockname()[0])
    return "" if first_door.is_loopback(number) else number


# ------------------------------------------------------------ what is said


def first_owner() -> Person | None:
    return Person.objects.filter(role=Person.Role.OWNER, is_active=True).first()


def way_in(host: str, port: int, person: Person | None) -> Iterator[str]:
    """Say the addresses and the links that let a device in."""
    here = f"http://localhost:{port}"
    there = home_address(host_name(), port) if host == EVERYWHERE else ""
    yield ""
    yield f"On this computer:      {here}"
    if there:
        yield f"On the home network:   {there}"
    yield ""
    if person is None:
        yield from way_in_first(there or here)
    else:
        yield from way_in_links(here, there, person)
    yield "Stop with Ctrl-C."


def way_in_first(address: str) -> Iterator[str]:
    """Without a studio the first page opens here, or by this link elsewhere."""
    url = address + reverse("studio:first_door", args=[first_door.key()])
    yield "There is no studio yet. Open the first address to begin, or from another"
    yield f"device this link, which works until the studio is open: {url}"


def way_in_links(here: str, there: str, person: Person) -> Iterator[str]:
    minutes = signing_in.LINK_LASTS.seconds // 60
    own = link(here, person, "This computer")
    yield f"To let this computer in for {person.first_name}, open this link; it works"
    yield f"once, for {minutes} minutes: {own}"
    if there:
        other = link(there, person, "Phone")
        yield ""
        yield f"To let a phone in for {person.first_name}, point its camera here, or"
        yield f"open {other}"
        yield qr_for_terminal(other)


def link(address: str, person: Person, device_name: str) -> str:
    new = signing_in.make_link(person, device_name=device_name)
    return address + reverse("studio:let_in", args=[new.token])


def qr_for_terminal(text: str) -> str:
    """Draw a QR code in half blocks; light on dark, as most terminals are."""
    rows = [[*row] for row in segno.make_qr(text, error="l").matrix_iter(border=2)]
    if len(rows) % 2:
        rows.append([0] * len(rows[0]))
    blocks = {(0, 0): "█", (0, 1): "▀", (1, 0): "▄", (1, 1): " "}
    return "\n".join(
        "".join(blocks[upper, lower] for upper, lower in zip(above, below, strict=True))
        for above, below in zip(rows[::2], rows[1::2], strict=True)
    )


def say_on_screen(sentence: str) -> None:
    """Print, leaving out what an old terminal cannot show rather than stopping."""
    encoding = sys.stdout.encoding or "ascii"
    shown = sentence.encode(encoding, "replace").decode(encoding)
    sys.stdout.write(f"{shown}\n")
    sys.stdout.flush()
