"""What a caller asks, answered on a page with its sum. Worked by hand, stories O1, O2."""

import pytest
from playwright.sync_api import expect

from tests.factories.inventory import one_drawer_of_squares

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]
ON_THE_SHELF = [
    ["On the shelf", "+ 19", "19"],
    ["less show sets", "− 2", "17"],
    ["less incomplete", "− 1", "16"],
    ["less paid", "− 7", "9"],
    ["less held", "− 1", "8"],
    ["less kept for Cobbleford Spring Stitch Fair", "− 4", "4"],
    ["less buffer", "− 1", "3"],
]


def plain(cell):
    return cell.split("\n")[0].replace("\xa0", " ").strip()


def lines_of(sum_of):
    """Return what the rows of an opened sum say, less the reason under a label."""
    rows = sum_of.locator("tbody tr").all()
    cells = [row.locator("th, td").all_inner_texts() for row in rows]
    return [[plain(cell) for cell in row] for row in cells]


def test_have_you_got_any_nine_inch_ringfence(demo, signed_in):
    page = signed_in("owner")
    page.goto("/goods/")

    page.get_by_role("searchbox").fill("rf-090")
    page.keyboard.press("Enter")

    expect(page.locator("h1")).to_have_text(
        "Ringfence set, 9 in: three now, seven by tonight."
    )
    answers = page.locator(".answer summary").all_inner_texts()
    numbers = [int(answer.split()[0]) for answer in answers]
    assert numbers == [3, 7, 69]
    expect(page.locator("main")).to_contain_text(
        "One more on Fri 5 March if the cheque does not come."
    )


def test_the_sum_behind_a_number_opens_with_the_keyboard_alone(demo, signed_in):
    page = signed_in("owner")
    page.goto("/goods/RF-090/")
    first = page.locator(".answer details").first
    expect(first.locator("table")).to_be_hidden()

    for _ in range(60):
        page.keyboard.press("Tab")
        if page.evaluate("document.activeElement.tagName") == "SUMMARY":
            break
    page.keyboard.press("Enter")

    expect(first.locator("table")).to_be_visible()
    assert lines_of(first) == ON_THE_SHELF


def test_five_things_together_out_of_one_drawer(signed_in):
    one_drawer_of_squares()
    page = signed_in("owner")
    page.goto("/goods/ask/")
    asked = {"SG-030": 10, "RF-090": 3, "SG-090": 1, "DU-SG": 5, "SP-350": 6}

    for n, (code, count) in enumerate(asked.items()):
        page.locator(f"[name=form-{n}-item]").fill(code)
        page.locator(f"[name=form-{n}-count]").fill(str(count))
    page.get_by_role("button", name="What can I have together?").click()

    expect(page.locator("h1")).to_have_text(
        "You can have no SG-030, three RF-090, one SG-090, three DU-SG and no SP-350; "
        "what is made up gains £162.21."
    )
    expect(page.locator("[name=form-3-item]")).to_have_value("DU-SG")
    expect(page.locator("[name=form-3-count]")).to_have_value("5")
