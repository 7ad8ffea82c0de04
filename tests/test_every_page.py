"""Every page of the project, opened in a browser on the demo, at four widths.

The pages are walked once, with the demo loaded and a day's work begun, and what was
seen is written down; each test then asks one thing of all of them. The rules of
accessibility are axe-core's, which lies in `tests/axe` with its licence (MPL 2.0).
The words kept off the screens stand in DEVELOPERS.md, section Words.
"""

import re
from dataclasses import dataclass

import pytest
from django.conf import settings
from django.test import override_settings
from pytest_django.live_server_helper import LiveServer

from studio.demo.loading import load_demo
from tests.journeys import demo_book, demo_pages
from tests.journeys.chromium import HOST
from tests.journeys.demo_pages import Page
from tests.journeys.walking import ON_A_PHONE, walker_of

pytestmark = [pytest.mark.browser, pytest.mark.django_db]

# A page on which axe-core found next to nothing to try was not a page.
FEWEST_RULES = 8
# What one answer may weigh on poor wifi, in bytes of HTML.
HEAVIEST = 100_000
# A paper of many slips is one answer: so much for each slip, picture and code included.
HEAVIEST_SLIP = 10_000
# Labels hold an address and nothing else: a sheet of them has no heading to print.
WITHOUT_HEADING = {"orders:post_labels"}
# No pages: files, and the door that is there only while no studio is.
NO_PAGE = {
    "inventory:goods_export",
    "orders:file_refused",
    "orders:post_labels_css",
    "orders:post_run_csv",
    "studio:first_door",
    "studio:first_run",
}
# Addresses that lead on to a page that is walked.
LEADING_ON = {
    "inventory:item_way_add",
    "orders:packet_find",
    "production:cutting_short",
}
DOORS = ("/sign-in/", "/let-in/an-old-link/")
# Forms sent with nothing in them: what is then said is a page, too.
SENT_EMPTY = (
    "/goods/add/",
    "/goods/begin/",
    "/goods/places/add/",
    "/goods/samples/add/",
    "/goods/suppliers/add/",
    "/goods/deliveries/order/",
    "/orders/add/",
    "/orders/files/",
    "/bench/layouts/add/",
    "/bench/sessions/add/",
    "/bench/sheets/",
    "/selling-days/add/",
    "/studio/people/",
)
OFF_SCREEN = re.compile(
    r"\b(SKU|MRP|BOM|WIP|ATP|RMA|allocation|fulfilment|backorder|consignment|dunning|"
    r"fractile|censored|posterior|optimise|sync|workflow|dashboard)s?\b",
    re.IGNORECASE,
)
# Pounds without their two places of pence, and lengths as a computer would print them.
FLOATS = re.compile(r"£[\d,]*\d(\.\d)?(?![\d.,]|,\d)|£[\d,]+\.\d{3,}|\d+\.\d{4,}")
DECIMAL_INCHES = re.compile(r"\d\.\d+ (in|inch|inches)\b")
INNARDS = re.compile(r"\{\{|\{%|Fraction\(|datetime\.|<QuerySet|\bNaN\b|\bundefined\b")
# A sum of the law, not of the till: the customs form's limit is whole pounds.
WHOLE_POUNDS = {"£270"}


@dataclass
class Walked:
    """All pages that were seen, and the links that led nowhere."""

    seen: list
    refused: list
    never_reached: set

    def where(self, what):
        """Return by address and person what a question finds on the pages."""
        answers = {(one.page.role, one.page.url): what(one) for one in self.seen}
        return {page: answer for page, answer in answers.items() if answer}


@pytest.fixture(scope="module")
def walked(browser, django_db_setup, django_db_blocker):
    """Walk all pages once; afterwards the book is empty again."""
    with (
        django_db_blocker.unblock(),
        override_settings(ALLOWED_HOSTS=[*settings.ALLOWED_HOSTS, HOST]),
    ):
        server = LiveServer("localhost")
        try:
            load_demo()
            demo_pages.begin_the_work()
            found = walk(browser, f"http://{HOST}:{server.thread.port}")
        finally:
            server.stop()
            demo_book.empty()
    return found


def walk(chromium, address):
    owner = demo_pages.pages_of("owner", first=demo_pages.begun_with())
    helpers = [demo_pages.pages_of(role) for role in ("workshop", "packer")]
    with walker_of(chromium, address, "owner") as walker:
        seen = [walker.look_at(page) for page in owner.pages]
        seen += [walker.send_empty(Page("", url, "sent empty")) for url in SENT_EMPTY]
    for theirs in helpers:
        with walker_of(chromium, address, theirs.role) as walker:
            seen += [walker.look_at(page, ON_A_PHONE) for page in theirs.pages]
    with walker_of(chromium, address) as walker:
        seen += [walker.look_at(Page("", url, "stranger")) for url in DOORS]
    everything = [owner, *helpers]
    return Walked(
        seen,
        [one for theirs in everything for one in theirs.refused],
        demo_pages.never_reached([page for one in everything for page in one.pages]),
    )


def test_every_address_that_shows_a_page_was_walked(walked):
    assert walked.never_reached == (
        NO_PAGE | LEADING_ON | {"studio:sign_in", "studio:let_in"}
    )


def test_no_link_on_any_page_leads_to_nothing_or_to_a_closed_door(walked):
    assert walked.refused == []


def test_every_page_keeps_the_rules_of_accessibility(walked):
    assert walked.where(lambda one: one.broken) == {}
    assert min(one.rules_passed for one in walked.seen) >= FEWEST_RULES


def test_no_page_scrolls_sideways_at_any_width_or_at_twice_the_size(walked):
    assert walked.where(lambda one: one.sideways) == {}


def test_whatever_is_pressed_is_large_enough_for_a_finger_and_for_a_glove(walked):
    assert walked.where(lambda one: [] if one.page.is_paper else one.small) == {}


def test_every_page_is_light_enough_for_poor_wifi(walked):
    def too_heavy(one):
        most = max(HEAVIEST, HEAVIEST_SLIP * len(one.headings))
        return one.html_bytes if one.html_bytes > most else 0

    assert walked.where(too_heavy) == {}


def test_no_page_asks_for_anything_from_another_host(walked):
    assert walked.where(lambda one: one.asked_elsewhere) == {}


def test_no_page_complains_in_the_browser(walked):
    assert walked.where(complaints) == {}


def complaints(one):
    """Return what the browser said, less the plain answer of a refused door."""
    if one.page.role == "stranger":
        return [said for said in one.complaints if "status of 410" not in said]
    return one.complaints


def test_every_page_opens_with_one_whole_sentence(walked):
    def wrong(one):
        if one.page.name in WITHOUT_HEADING:
            return one.headings
        count = len(one.headings)
        if count != 1 and not (one.page.is_paper and count):
            return f"{count} headings"
        return [said for said in one.headings if said[-1:] not in (".", "?", "!")]

    assert walked.where(wrong) == {}


def test_words_of_the_trade_of_software_are_kept_off_every_page(walked):
    assert walked.where(lambda one: OFF_SCREEN.findall(one.words)) == {}


def test_lengths_and_money_stand_as_people_write_them(walked):
    def strange(one):
        sums = {found.group() for found in FLOATS.finditer(one.words)} - WHOLE_POUNDS
        return sums | {found.group() for found in DECIMAL_INCHES.finditer(one.words)}

    assert walked.where(strange) == {}


def test_nothing_of_the_insides_shows_on_any_page(walked):
    assert walked.where(lambda one: INNARDS.findall(one.words)) == {}


def test_a_form_sent_empty_says_what_it_needs(walked):
    silent = [
        one.page.url
        for one in walked.seen
        if one.page.role == "sent empty" and not one.is_told_off
    ]

    assert silent == []


@pytest.mark.parametrize(
    ("words", "found"),
    [
        ("£13.50 and £1,204.00, at £270.00.", []),
        ("£12.5", ["£12.5"]),
        ("£12", ["£12"]),
        ("£2.040", ["£2.040"]),
        ("4.8749 mm", ["4.8749"]),
        ("88.9 × 88.9 mm", []),
    ],
)
def test_the_look_for_floats_finds_them(words, found):
    assert [one.group() for one in FLOATS.finditer(words)] == found
