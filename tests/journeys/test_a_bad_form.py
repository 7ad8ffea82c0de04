"""A form that is not right: what was typed stays, and the keyboard is enough."""

import pytest
from playwright.sync_api import expect

from inventory.models import Claim
from orders.models import Order

pytestmark = [
    pytest.mark.browser,
    pytest.mark.django_db(transaction=True),
    pytest.mark.usefixtures("demo"),
]


def focus_by_tab(page, label):
    """Go on with the tabulator until the box of this name has the keys."""
    wanted = page.get_by_label(label, exact=False).first.get_attribute("id")
    for _ in range(80):
        page.keyboard.press("Tab")
        if page.evaluate("document.activeElement.id") == wanted:
            return
    pytest.fail(f"The keyboard never came to {label}.")


def test_a_hold_for_too_many_keeps_the_name_and_leads_to_its_box(signed_in):
    page = signed_in("owner")
    page.goto("/goods/RF-090/hold/")
    before = Claim.objects.count()

    focus_by_tab(page, "How many")
    page.keyboard.press("Control+A")
    page.keyboard.type("lots")
    page.keyboard.press("Enter")

    alert = page.get_by_role("alert")
    expect(alert).to_be_visible()
    assert Claim.objects.count() == before
    box = page.get_by_label("How many", exact=False).first
    expect(box).to_have_value("lots")
    alert.get_by_role("link").first.focus()
    page.keyboard.press("Enter")
    expect(box).to_be_focused()


def test_an_order_typed_in_half_keeps_all_its_lines(signed_in):
    page = signed_in("owner")
    page.goto("/orders/add/")
    before = Order.objects.count()
    focus_by_tab(page, "Item, line 1")
    page.keyboard.type("RF-090")
    page.keyboard.press("Tab")
    page.keyboard.type("2")
    page.keyboard.press("Enter")

    expect(page.get_by_role("alert").first).to_be_visible()
    assert Order.objects.count() == before
    expect(page.get_by_label("Item, line 1", exact=False).first).to_have_value("RF-090")
