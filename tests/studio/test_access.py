"""Closed by default: every address of the project, tried by everybody."""

import runpy
from dataclasses import dataclass

import pytest
from django.http import HttpResponse
from django.test import Client
from django.urls import URLPattern, get_resolver, path, reverse

from studio import backups, people
from studio.access import for_roles
from studio.computer import ROOT
from studio.models import Person
from studio.urls import urlpatterns as project_urls
from tests.factories.studio import (
    OwnerFactory,
    PackerFactory,
    StudioFactory,
    WorkshopFactory,
)

pytestmark = pytest.mark.django_db
HOME_NETWORK_NAME = "loft.local"

# The ways in. Whatever else is open to all is a hole.
OPEN_TO_ALL = {
    "studio:first_door",
    "studio:first_run",
    "studio:let_in",
    "studio:people",
    "studio:say_who",
    "studio:sign_in",
    "studio:sign_in_code",
    "studio:word",
}
MADE_UP_WORDS = {
    "int": "990099",
    "str": "no-such-thing",
    "slug": "no-such-thing",
    "uuid": "0f8fad5b-d9cb-469f-a165-70867728950e",
    "path": "no/such/thing",
}


@dataclass(frozen=True)
class Address:
    name: str
    url: str
    roles: tuple


def addresses():
    return list(addresses_of(get_resolver().url_patterns, "/", ""))


def addresses_of(patterns, prefix, space):
    for pattern in patterns:
        route = prefix + filled_in(pattern)
        if isinstance(pattern, URLPattern):
            name = f"{space}{pattern.name}"
            roles = getattr(pattern.callback, "roles", "says nothing")
            yield Address(name, route, roles)
        else:
            inner = f"{space}{pattern.namespace}:" if pattern.namespace else space
            yield from addresses_of(pattern.url_patterns, route, inner)


def filled_in(pattern):
    """Put made-up words in the place of what an address leaves open."""
    route = str(pattern.pattern)
    for name, converter in pattern.pattern.converters.items():
        kind = type(converter).__name__.removesuffix("Converter").lower()
        kind = {"string": "str"}.get(kind, kind)
        word = MADE_UP_WORDS.get(kind, "no-such-thing")
        route = route.replace(f"<{kind}:{name}>", word).replace(f"<{name}>", word)
    return route


EVERY_ADDRESS = addresses()
CLOSED = [address for address in EVERY_ADDRESS if address.name not in OPEN_TO_ALL]


@pytest.fixture
def studio(db):
    return StudioFactory()


@pytest.fixture
def no_copies_meanwhile(monkeypatch):
    """A copy would wait for the end of the very transaction the test runs in."""

    def refuse():
        raise backups.NoBookYet

    monkeypatch.setattr(backups, "make_copy", refuse)


def client_of(role):
    makers = {
        "owner": OwnerFactory,
        "workshop": WorkshopFactory,
        "packer": PackerFactory,
    }
    client, person = Client(raise_request_exception=False), makers[role]()
    client.force_login(person)
    return client, person


def test_the_list_of_addresses_holds_the_rooms_that_were_written_by_hand():
    names = {address.name for address in addresses()}

    assert {"studio:today", "studio:studio", "studio:take_back"} <= names
    assert names >= OPEN_TO_ALL


def test_every_page_says_whom_it_is_for():
    known = {Person.Role.OWNER, Person.Role.WORKSHOP, Person.Role.PACKER}

    silent = [one.name for one in EVERY_ADDRESS if one.roles == "says nothing"]
    open_to_all = {one.name for one in EVERY_ADDRESS if one.roles is None}
    strange = [one.name for one in CLOSED if not set(one.roles or ["none"]) <= known]

    assert silent == []
    assert open_to_all == OPEN_TO_ALL
    assert strange == []


@pytest.mark.parametrize("method", ["get", "post"])
def test_a_stranger_is_led_to_the_sign_in_page_from_everywhere(studio, method):
    client = Client()

    led_to = {
        address.name: getattr(client, method)(address.url).headers.get("Location", "")
        for address in CLOSED
    }

    elsewhere = {
        name: url
        for name, url in led_to.items()
        if url.partition("?")[0] != reverse("studio:sign_in")
    }
    assert elsewhere == {}


@pytest.mark.parametrize("role", ["owner", "workshop", "packer"])
@pytest.mark.parametrize("method", ["get", "post"])
def test_every_page_opens_to_its_own_roles_alone(
    studio, no_copies_meanwhile, role, method
):
    client, person = client_of(role)
    outcomes = {}

    for address in CLOSED:
        client.force_login(person)
        answer = getattr(client, method)(address.url)
        outcomes[address.name] = (
            "led to sign in"
            if answer.headers.get("Location", "").startswith("/sign-in/")
            else {403: "refused", 500: "broken"}.get(answer.status_code, "opened")
        )

    assert outcomes == {
        one.name: "opened" if role in one.roles else "refused" for one in CLOSED
    }


def test_before_there_is_a_studio_every_address_leads_to_the_first_page(db):
    client = Client(REMOTE_ADDR="192.168.1.30")

    answers = {address.name: client.get(address.url) for address in EVERY_ADDRESS}

    assert answers.pop("studio:first_run").status_code == 403
    assert answers.pop("studio:first_door").status_code == 404
    assert {answer.headers["Location"] for answer in answers.values()} == {
        reverse("studio:first_run")
    }


# ------------------------------------------------------------ a page that says nothing


def says_nothing(request):
    return HttpResponse("secret")


@for_roles("owner")
def for_the_owner(request):
    return HttpResponse(f"kept for {request.person.name}")


class WithCarelessPage:
    """The project's addresses, and one that somebody forgot to close."""

    urlpatterns = [
        *project_urls,
        path("careless/", says_nothing),
        path("careful/", for_the_owner),
    ]


@pytest.mark.parametrize("role", [None, "packer", "owner"])
def test_a_page_that_says_nothing_is_closed_to_everybody(studio, settings, role):
    settings.ROOT_URLCONF = WithCarelessPage
    client = client_of(role)[0] if role else Client()

    answer = client.get("/careless/")

    assert answer.status_code == 403
    assert b"secret" not in answer.content


def test_a_page_for_the_owner_knows_who_the_owner_is(studio, settings):
    settings.ROOT_URLCONF = WithCarelessPage

    answer = client_of("owner")[0].get("/careful/")

    assert answer.content == b"kept for Merle Oakenby"


def test_a_form_sent_after_the_sign_in_has_ended_comes_back_to_its_own_page(studio):
    at = {"HTTP_REFERER": "http://testserver/studio/days/"}
    elsewhere = {"HTTP_REFERER": "http://elsewhere.example/trap"}

    kept = Client().post(reverse("studio:stop_add"), headers=None, **at)
    thrown = Client().post(reverse("studio:stop_add"), headers=None, **elsewhere)

    assert kept.url == "/sign-in/?next=http%3A//testserver/studio/days/"
    assert thrown.url == "/sign-in/?next=/"


# ------------------------------------------------------------ headers
# Which headers, and the least they say: OWASP ASVS 5.0.0, 3.4.3 to 3.4.6 and 14.3.2.


@pytest.fixture
def at_home(settings):
    """Ask as a phone on the home network does: plain HTTP, and no localhost."""
    settings.ALLOWED_HOSTS = [HOME_NETWORK_NAME]
    return Client(headers={"host": f"{HOME_NETWORK_NAME}:8321"})


def test_pages_carry_their_headers_over_the_home_network(studio, at_home):
    headers = at_home.get(reverse("studio:sign_in")).headers

    policy = headers["Content-Security-Policy"]
    directives = dict(
        one.strip().split(" ", 1) for one in policy.split(";") if one.strip()
    )
    assert directives["default-src"] == "'self'"
    assert directives["object-src"] == "'none'"
    assert directives["base-uri"] == "'none'"
    assert directives["frame-ancestors"] == "'none'"
    assert directives["form-action"] == "'self'"
    assert "unsafe" not in policy
    assert headers["X-Content-Type-Options"] == "nosniff"
    assert headers["Referrer-Policy"] == "same-origin"
    assert headers["X-Frame-Options"] == "DENY"
    assert "camera=()" in headers["Permissions-Policy"]
    assert headers["Cache-Control"] == "no-store"
    assert "Strict-Transport-Security" not in headers
    assert "Cross-Origin-Opener-Policy" not in headers


def test_no_page_has_a_script_or_a_style_inside_it(studio):
    client, person = client_of("owner")
    inside = {}

    for address in EVERY_ADDRESS:
        client.force_login(person)
        page = client.get(address.url)
        html = "" if page.streaming else page.content.decode(errors="replace")
        marks = ("<style", " style=", "<script>", "javascript:", " onclick=")
        found = [mark for mark in marks if mark in html]
        if found:
            inside[address.name] = found

    assert inside == {}


def test_a_link_that_is_a_key_is_told_to_no_other_site_and_its_form_can_be_sent(studio):
    # The Fetch standard, "append a request Origin header": under "no-referrer" a form
    # comes with the origin "null", which is no origin to trust.
    page = Client().get(reverse("studio:let_in", args=["a-key"]))

    assert page.headers["Referrer-Policy"] == "same-origin"


def test_an_unknown_name_for_this_computer_is_refused(studio, at_home):
    answer = at_home.get(
        reverse("studio:sign_in"), headers={"host": "elsewhere.example"}
    )

    assert answer.status_code == 400


def test_the_sign_in_works_over_plain_http_under_the_home_networks_name(
    studio, at_home
):
    owner = people.set_password(OwnerFactory(), password="a thimble of rain")
    host = f"{HOME_NETWORK_NAME}:8321"
    strict = Client(enforce_csrf_checks=True, headers={"host": host})
    strict.get(reverse("studio:sign_in"))
    token = strict.cookies["csrftoken"].value

    strict.post(
        reverse("studio:sign_in"),
        {
            "name": owner.name,
            "word": "a thimble of rain",
            "device_name": "loft laptop",
            "request_id": MADE_UP_WORDS["uuid"],
            "csrfmiddlewaretoken": token,
        },
        headers={"origin": f"http://{host}"},
    )

    cookie = strict.cookies["sessionid"]
    assert strict.session["_auth_user_id"] == str(owner.pk)
    assert cookie["httponly"] is True
    assert cookie["samesite"] == "Lax"
    assert cookie["secure"] == ""


def test_a_form_sent_from_another_place_changes_nothing_and_is_told_kindly(studio):
    client = Client(enforce_csrf_checks=True)
    client.force_login(OwnerFactory())

    answer = client.post(
        reverse("studio:closed_add"),
        {"closed-day": "3 March 2027", "closed-reason": "rest"},
    )

    assert answer.status_code == 403
    assert "nothing was sent" in answer.content.decode()


@pytest.mark.parametrize(("https", "is_https"), [("yes", True), ("no", False)])
def test_cookies_stay_on_https_where_there_is_https(monkeypatch, https, is_https):
    monkeypatch.setenv("BENCH_POST_HTTPS", https)

    loaded = runpy.run_path(str(ROOT / "studio" / "settings.py"))

    assert loaded["SESSION_COOKIE_SECURE"] is is_https
    assert loaded["CSRF_COOKIE_SECURE"] is is_https
    assert bool(loaded["SECURE_HSTS_SECONDS"]) is is_https
