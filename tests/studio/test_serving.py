"""The server: one at a time, on a free port, telling how to get in, ending cleanly."""

import os
import re
import signal
import socket
import sqlite3
import subprocess
import sys
import time
import urllib.error
import urllib.request
from contextlib import closing, contextmanager

import pytest

from studio import one_server, serving
from studio.computer import ROOT
from studio.models import SignInLink
from tests.factories.studio import OwnerFactory, StudioFactory

SECONDS_TO_START = 60


class StaysHere(urllib.request.HTTPRedirectHandler):
    """Shows where a page leads to instead of going there."""

    def redirect_request(self, *args, **kwargs):
        return None


opener = urllib.request.build_opener(StaysHere())


def fetch(url, **headers):
    try:
        # Only ever an address of the server that the test itself has started.
        request = urllib.request.Request(url, headers=headers)  # noqa: S310
        with opener.open(request) as answer:
            return answer.status, dict(answer.headers), answer.read()
    except urllib.error.HTTPError as refused:
        with refused:
            return refused.code, dict(refused.headers), refused.read()


def free_port():
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return probe.getsockname()[1]


def environment(folder, port):
    return {
        **os.environ,
        "BENCH_POST_DATA": str(folder),
        "BENCH_POST_PORT": str(port),
        "BENCH_POST_HOSTS": "loft.local",
        "DJANGO_SETTINGS_MODULE": "studio.settings",
        "DATABASE_URL": "",
        "PYTHONUNBUFFERED": "1",
    }


def command(folder, port, *words):
    return subprocess.run(  # noqa: S603 - the studio's own commands
        [sys.executable, "-m", "django", *words],
        cwd=ROOT,
        env=environment(folder, port),
        capture_output=True,
        text=True,
        timeout=SECONDS_TO_START,
        check=False,
    )


@contextmanager
def started(folder, port, *words):
    """Start the studio and wait until it says how to stop it."""
    log = folder / f"said-{port}.txt"
    with log.open("w") as said:
        process = subprocess.Popen(  # noqa: S603 - the studio's own command
            [sys.executable, "-m", "django", "start", *words],
            cwd=ROOT,
            env=environment(folder, port),
            stdout=said,
            stderr=subprocess.STDOUT,
        )
    try:
        until = time.monotonic() + SECONDS_TO_START
        while "Stop with Ctrl-C." not in log.read_text(encoding="utf-8"):
            assert process.poll() is None, log.read_text(encoding="utf-8")
            assert time.monotonic() < until, log.read_text(encoding="utf-8")
            time.sleep(0.05)
        yield process, log
    finally:
        if process.poll() is None:
            process.kill()
        process.wait()


@pytest.fixture(scope="module")
def open_studio(tmp_path_factory):
    """One started studio, without any figures, for the tests that only ask it."""
    folder, port = tmp_path_factory.mktemp("served"), free_port()
    with started(folder, port, "--only-here") as (_process, log):
        yield f"http://localhost:{port}", log, folder, port


# ------------------------------------------------------------ a whole start


def test_an_empty_folder_becomes_an_empty_studio_that_asks_for_its_name(open_studio):
    address, _log, folder, _port = open_studio

    status, headers, _ = fetch(f"{address}/")

    assert (status, headers["Location"]) == (302, "/first-run/")
    with closing(sqlite3.connect(folder / "studio.sqlite3")) as book:
        assert book.execute("SELECT COUNT(*) FROM inventory_item").fetchone() == (0,)


def test_the_screen_says_the_address_and_the_link_for_the_first_page(open_studio):
    address, log, _folder, port = open_studio

    said = log.read_text(encoding="utf-8")

    key = re.search(rf"http://localhost:{port}/first-run/([\w-]+)/", said)[1]
    assert address in said
    assert fetch(f"{address}/first-run/{key}/")[0] == 302
    assert fetch(f"{address}/first-run/{key[:-1]}/")[0] == 404


def test_the_first_page_is_closed_to_a_request_that_was_passed_on(open_studio):
    address = open_studio[0]

    here, _, _ = fetch(f"{address}/first-run/")
    passed_on, _, _ = fetch(
        f"{address}/first-run/", **{"X-Forwarded-For": "203.0.113.9"}
    )

    assert (here, passed_on) == (200, 403)


def test_the_pages_own_files_are_open_to_all_and_kept_by_the_browser(open_studio):
    address = open_studio[0]
    page = fetch(f"{address}/first-run/")[2].decode()
    name = re.search(r'href="(/static/studio/base\.[0-9a-f]+\.css)"', page)[1]

    status, headers, css = fetch(f"{address}{name}")

    assert status == 200
    assert "immutable" in headers["Cache-Control"]
    assert headers["X-Content-Type-Options"] == "nosniff"
    assert b".next-action" in css


def test_the_server_does_not_say_what_it_is_and_refuses_a_strange_name(open_studio):
    address = open_studio[0]

    known, headers, _ = fetch(f"{address}/first-run/", Host="loft.local")
    strange, _, _ = fetch(f"{address}/first-run/", Host="elsewhere.example")

    assert known == 403
    assert strange == 400
    assert "Server" not in headers


def test_a_file_of_50_mb_reaches_the_pages_that_can_say_it_is_too_big(open_studio):
    address = open_studio[0]
    head = (
        b'--b\r\nContent-Disposition: form-data; name="file"; filename="a.csv"\r\n'
        b"Content-Type: text/csv\r\n\r\n"
    )
    request = urllib.request.Request(  # noqa: S310 - the server started above
        f"{address}/first-run/",
        data=head + b"x" * 50 * 1024 * 1024 + b"\r\n--b--\r\n",
        headers={"Content-Type": "multipart/form-data; boundary=b"},
    )

    with pytest.raises(urllib.error.HTTPError) as refused:
        opener.open(request)

    with refused.value as answer:
        # Django's own answer to a form without its token, not the server's 413.
        assert answer.code == 403
        assert b"Bench &amp; Post" in answer.read()


def test_a_second_start_on_the_same_book_is_refused(open_studio):
    _address, _log, folder, _port = open_studio

    second = command(folder, free_port(), "start", "--only-here")

    assert second.returncode == 1
    assert "is open in another window" in second.stderr


def test_copies_and_the_proof_can_be_had_while_the_studio_is_open(open_studio):
    _address, _log, folder, port = open_studio

    copied = command(folder, port, "backup")
    proved = command(folder, port, "verify")

    assert copied.returncode == 0
    assert len(list((folder / "backups").glob("studio-*.sqlite3"))) == 1
    assert proved.returncode == 0
    assert "0 movements, 0 balances: all agree." in proved.stdout


def test_nothing_is_put_back_while_the_studio_is_open(open_studio):
    _address, _log, folder, port = open_studio
    command(folder, port, "backup", "--to", str(folder / "stick"))
    [copy] = (folder / "stick").glob("*.sqlite3")

    refused = command(folder, port, "restore", str(copy))

    assert refused.returncode == 1
    assert "is open in another window" in refused.stderr


@pytest.mark.parametrize(
    "ending", [signal.SIGINT, signal.SIGTERM], ids=["Ctrl-C", "asked to end"]
)
@pytest.mark.skipif(os.name == "nt", reason="Windows sends these two otherwise.")
def test_the_studio_ends_with_a_sentence_and_a_port_in_use_is_passed_over(
    tmp_path, ending
):
    with socket.socket() as other:
        other.bind(("127.0.0.1", 0))
        other.listen()
        port = other.getsockname()[1]

        with started(tmp_path, port, "--only-here") as (process, log):
            process.send_signal(ending)
            code = process.wait(timeout=SECONDS_TO_START)
            said = log.read_text(encoding="utf-8")

    assert code == 0
    assert f"Port {port} is in use by another program, so this is on port" in said
    assert said.endswith(
        "The studio is closed. Everything is kept; start it again whenever you like.\n"
    )
    assert "Traceback" not in said


# ------------------------------------------------------------ what is said


@pytest.fixture
def studio(db):
    return StudioFactory(host_name="loft.local")


def test_the_links_are_for_the_owner_and_the_phones_has_the_home_networks_name(studio):
    owner = OwnerFactory()

    said = "\n".join(serving.way_in(serving.EVERYWHERE, 8321, owner))

    phone = re.search(r"http://loft\.local:8321/let-in/[\w-]+/", said)[0]
    assert re.search(r"http://localhost:8321/let-in/[\w-]+/", said)
    assert serving.qr_for_terminal(phone) in said
    assert {link.person for link in SignInLink.objects.all()} == {owner}
    assert SignInLink.objects.count() == 2


def test_a_studio_that_answers_this_computer_alone_offers_no_phone_link(studio):
    said = "\n".join(serving.way_in(serving.LOOPBACK, 8321, OwnerFactory()))

    assert "loft.local" not in said
    assert SignInLink.objects.count() == 1


@pytest.mark.parametrize(
    ("name", "port", "https", "address"),
    [
        ("loft.local", 8321, False, "http://loft.local:8321"),
        ("loft.local", 80, False, "http://loft.local"),
        ("studio.example.org", 443, True, "https://studio.example.org"),
    ],
)
def test_the_home_address_leaves_out_the_usual_port(
    settings, name, port, https, address
):
    settings.HTTPS = https

    assert serving.home_address(name, port) == address


def test_without_a_name_of_its_own_the_computer_goes_by_its_number(monkeypatch):
    monkeypatch.setattr(serving, "network_number", lambda: "192.168.1.20")

    assert serving.home_address("", 8321) == "http://192.168.1.20:8321"


def test_the_terminals_qr_code_has_a_row_of_blocks_for_two_of_modules():
    # ISO/IEC 18004: version 1 is 21 modules wide; with a margin of 2 that is 25.
    lines = serving.qr_for_terminal("HTTP://A").splitlines()

    assert len(lines) == 13
    assert {len(line) for line in lines} == {25}
    assert set("".join(lines)) <= set("█▀▄ ")


def test_a_name_the_owner_gives_is_answered_to(settings):
    settings.ALLOWED_HOSTS = ["localhost"]

    serving.answer_to("loft.local")
    serving.answer_to("loft.local")
    serving.answer_to("")

    assert settings.ALLOWED_HOSTS == ["localhost", "loft.local"]


# ------------------------------------------------------------ ports and locks


def test_when_every_port_is_in_use_the_sentence_says_what_to_do(monkeypatch):
    monkeypatch.setattr(serving, "answers", lambda port: True)

    with pytest.raises(serving.PortsTaken) as taken:
        serving.open_port(serving.LOOPBACK, 8321, print)

    assert (taken.value.first, taken.value.last) == (8321, 8330)
    assert "set BENCH_POST_PORT to another number" in str(taken.value)


def test_a_free_port_is_taken_without_a_word():
    port, said = free_port(), []

    listener, found = serving.open_port(serving.LOOPBACK, port, said.append)
    listener.close()

    assert (found, said) == (port, [])


def test_a_book_is_held_by_one_and_free_again_afterwards(tmp_path):
    first, second, third = (one_server.holding(tmp_path) for _ in range(3))

    with first, pytest.raises(one_server.StudioOpenElsewhere) as refused:
        second.__enter__()

    assert refused.value.folder == tmp_path
    with third:
        assert (tmp_path / one_server.LOCK_NAME).exists()
