"""The first morning: from an empty book to the first promise number, by keyboard."""

import pytest
from playwright.sync_api import expect

from inventory.models import Item
from studio.models import StudioSettings

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]
DEMO_NAMES = (
    "Merle",
    "Rufus",
    "Posy",
    "Marrowick",
    "Tinderbrook",
    "Cobbleford",
    "Sandglass",
    "Ringfence",
)
ROOMS = (
    "/",
    "/goods/",
    "/goods/begin/",
    "/orders/",
    "/orders/add/",
    "/orders/files/",
    "/post/",
    "/bench/",
    "/selling-days/",
    "/sizes/",
    "/studio/",
    "/studio/days/",
    "/studio/people/",
)
THREE_LINES = "Larch block template, 12\nSpare square, 30\nHemlock pattern, 7"


@pytest.fixture
def tab(browser, live_server):
    """Open this computer's own browser, as on the first start."""
    context = browser.new_context(base_url=live_server.url)
    context.set_default_timeout(20_000)
    yield context.new_page()
    context.close()


def type_on(tab, *words):
    """Type into one box after another, going on with the tabulator."""
    for n, one in enumerate(words):
        if n:
            tab.keyboard.press("Tab")
        tab.keyboard.type(one)


def open_studio(tab, word="a thimble of rain"):
    tab.goto("/")
    tab.get_by_label("What the studio is called").focus()
    type_on(tab, "The Back Room", "1 Nowhere Row", "Ada Fennimore", word)
    tab.keyboard.press("Enter")


def test_three_lines_give_the_first_promise_number(tab):
    open_studio(tab)
    expect(tab.locator("h1")).to_have_text("What have you got, and how many of each?")
    tab.locator("main textarea").focus()
    tab.keyboard.type(THREE_LINES)
    tab.get_by_role("button", name="Look it through").press("Enter")
    expect(tab.locator("h1")).to_have_text("Three lines are ready to be saved.")
    tab.get_by_role("button", name="Save them all").press("Enter")

    expect(tab.locator("main")).to_contain_text(
        "The first promise number: Larch block template, 12 can be promised now."
    )
    assert Item.objects.count() == 3
    tab.goto("/goods/")
    expect(tab.locator("main")).to_contain_text("Hemlock pattern")


def test_no_name_of_the_demo_stands_on_a_real_studios_pages(tab):
    open_studio(tab)
    expect(tab.locator("h1")).to_have_text("What have you got, and how many of each?")

    found = {}
    for room in ROOMS:
        answer = tab.goto(room)
        html = tab.content()
        names = [name for name in DEMO_NAMES if name in html]
        if names or answer.status != 200:
            found[room] = (answer.status, names)

    assert found == {}


def test_a_first_form_that_is_not_right_keeps_what_was_typed(tab):
    open_studio(tab, word="short")

    expect(tab.get_by_role("alert")).to_be_visible()
    assert not StudioSettings.objects.exists()
    assert tab.evaluate("document.activeElement.getAttribute('role')") == "alert"
    values = [
        box.input_value()
        for box in tab.locator(
            "main form :is(input:not([type=hidden]), textarea)"
        ).all()
    ]
    assert values[0] == "The Back Room"
    assert "1 Nowhere Row" in values
    assert "Ada Fennimore" in values
    assert "short" not in values
