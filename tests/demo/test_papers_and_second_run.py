"""The demo opened twice, and opened where the libraries for papers are missing."""

import sys

import pytest
from django.apps import apps

from orders.models import Packet, PostRun
from studio import computer, libraries, printing
from studio.demo import papers
from studio.demo.loading import load_demo
from studio.demo.report import report
from tests.journeys import demo_pages

PAPERS = {
    "inventory:claim_slip",
    "inventory:place_count_sheet",
    "orders:post_labels",
    "orders:post_pick_list",
    "orders:post_run_list",
    "orders:post_slips",
    "production:layout_file",
    "production:selling_day_list",
    "production:session_card",
    "studio:block_booklet",
    "studio:cloth_print",
    "studio:project_booklet_print",
    "studio:projects_print",
}


@pytest.fixture
def without_libraries(monkeypatch):
    """Take the press away, as on a computer without the libraries."""
    monkeypatch.setitem(sys.modules, "weasyprint", None)
    printing._press.cache_clear()
    yield libraries.advice(libraries.PDF, computer.this_computer().family)
    printing._press.cache_clear()


def rows_in_the_book():
    return {model._meta.label: model.objects.count() for model in apps.get_models()}


# ------------------------------------------------------------------ a second run


def test_a_second_run_finds_the_demo_and_writes_nothing(demo):
    before = rows_in_the_book()

    did_anything = load_demo()

    assert (did_anything, rows_in_the_book()) == (False, before)


def test_the_terminal_says_the_same_of_the_post_the_second_time(demo):
    first = list(report(demo))
    papers.todays_run(demo)

    second = list(report(demo))

    assert second == first
    assert "20 packets can go today, and 7 orders need you." in first


def test_papers_written_again_are_those_of_the_same_run(demo):
    first = papers.todays_run(demo)
    numbers = list(first.packets.values_list("number", "short_code"))

    second = papers.todays_run(demo)

    assert second == first
    assert PostRun.objects.filter(day=first.day).count() == 1
    assert list(second.packets.values_list("number", "short_code")) == numbers


# ------------------------------------------------------------------ no libraries


def papers_found():
    demo_pages.begin_the_work()
    pages = demo_pages.pages_of("owner", first=demo_pages.begun_with()).pages
    return [page for page in pages if page.is_paper]


def without_the_wish_for_a_page(url):
    return url.replace("?as=page", "?").replace("&as=page", "")


def test_every_paper_opens_as_a_page_that_says_what_is_missing(demo, without_libraries):
    client = demo_pages.client_of("owner")

    found = papers_found()
    answers = {
        page.name: client.get(without_the_wish_for_a_page(page.url)) for page in found
    }

    assert set(answers) == PAPERS
    for name, answer in answers.items():
        assert (name, answer.status_code) == (name, 200)
        assert answer.headers["Content-Type"].startswith("text/html")
        html = answer.content.decode()
        assert without_libraries.splitlines()[0] in html.replace("&#x27;", "'")


def test_without_libraries_the_demo_says_what_to_type_and_goes_on(
    demo, without_libraries
):
    said = list(papers.write_papers(demo))

    assert said == [
        without_libraries,
        "Until then every paper opens as a page that prints from the browser.",
    ]
    assert Packet.objects.filter(run__day=demo.date()).count() == 0


def test_a_gift_shows_no_price_as_a_page_either(demo, without_libraries):
    run = papers.todays_run(demo)
    gift = next(packet for packet in run.packets.all() if packet.orders.first().is_gift)

    slip = demo_pages.client_of("owner").get(
        f"/post/run/{run.pk}/slips/?packet={gift.number}"
    )

    words = slip.content.decode()
    assert slip.headers["Content-Type"].startswith("text/html")
    assert gift.orders.first().number in words
    assert "£" not in words
