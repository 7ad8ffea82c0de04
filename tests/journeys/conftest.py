"""A real browser against a real server, under a name that is not this computer's own.

On a home network the studio is a plain-HTTP host with a name; browsers leave out there
what they allow on 127.0.0.1, and a journey must feel that. So every journey opens the
studio as `studio.test`, a name reserved for tests (RFC 6761), which the browser is told
to find here.

    page = signed_in("workshop", width=390, height=844)
    page.goto("/bench/")

Mark the file with `pytestmark = pytest.mark.browser`. The database is truly written
(no transaction is rolled back), because the server reads it in threads of its own.
"""

import pytest
from django.test import Client

from studio.models import StudioSettings
from tests.factories.production import a_person, the_studio
from tests.journeys import demo_book
from tests.journeys.chromium import HOST

CAST = {
    "owner": "Merle Oakenby",
    "workshop": "Rufus Penhallin",
    "packer": "Posy Oakenby",
}


@pytest.fixture(scope="session")
def kept_demo(tmp_path_factory, django_db_setup, django_db_blocker):
    """Load the demo once and keep it aside."""
    path = tmp_path_factory.mktemp("demo") / "demo.sqlite3"
    with django_db_blocker.unblock():
        demo_book.keep(path)
    return path


@pytest.fixture
def demo(kept_demo, transactional_db):
    """Stand in the demo studio on Wednesday 3 March 2027 at half past eight."""
    demo_book.put_back(kept_demo)


@pytest.fixture
def address(live_server, settings):
    """Return where the studio is found, by name and over plain HTTP."""
    settings.ALLOWED_HOSTS = [*settings.ALLOWED_HOSTS, HOST]
    return f"http://{HOST}:{live_server.thread.port}"


@pytest.fixture
def signed_in(browser, address):
    """Return a function that opens a page for somebody; scripts must not complain."""
    contexts, complaints = [], []

    def open_page(role, *, width=1280, height=900, **options):
        if not StudioSettings.objects.exists():
            the_studio()
        context = browser.new_context(
            base_url=address,
            viewport={"width": width, "height": height},
            **options,
        )
        contexts.append(context)
        sign_in(context, role, address)
        context.set_default_timeout(10_000)
        page = context.new_page()
        page.on("pageerror", lambda error: complaints.append(str(error)))
        page.on("console", lambda said: complaints.extend(refusals(said)))
        return page

    yield open_page
    for context in contexts:
        context.close()
    assert complaints == []


def sign_in(context, role, address):
    """Hand the browser the cookie of a session, as signing in would."""
    client = Client()
    client.force_login(a_person(CAST[role], role))
    cookie = client.cookies["sessionid"].value
    context.add_cookies([{"name": "sessionid", "value": cookie, "url": address}])


def refusals(said):
    """Return what the page's own content policy refused."""
    return [said.text] if "Content Security Policy" in said.text else []
