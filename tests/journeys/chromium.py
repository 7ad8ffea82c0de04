"""Chromium, started once for all tests that need a browser."""

import os

import pytest
from django.core.servers.basehttp import WSGIRequestHandler

from studio.computer import this_computer
from studio.libraries import browser_path

# The browser's driver keeps an event loop running beside the tests.
os.environ.setdefault("DJANGO_ALLOW_ASYNC_UNSAFE", "true")
# Without it every answer of a kept connection waits 40 ms for an acknowledgement.
WSGIRequestHandler.disable_nagle_algorithm = True

HOST = "studio.test"
FLAGS = [
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    f"--host-resolver-rules=MAP {HOST} 127.0.0.1",
]


@pytest.fixture(scope="session")
def browser():
    """Start Chromium once; without it each journey is skipped and says so."""
    path = browser_path(this_computer())
    if path is None:
        pytest.skip("there is no Chromium on this computer")
    # Slow to import, and only journeys need it.
    from playwright.sync_api import sync_playwright  # noqa: PLC0415

    with sync_playwright() as playwright:
        chromium = playwright.chromium.launch(
            executable_path=path, headless=True, args=FLAGS
        )
        yield chromium
        chromium.close()
