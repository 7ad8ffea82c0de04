"""Blocks and projects drawn as sizes change, and a block laid out without any script."""

import re

import pytest
from playwright.sync_api import expect

from studio.models import OwnBlock

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]


def cut_list(page):
    return page.locator("#worked-out table").first


def test_the_cut_list_follows_the_size_while_it_is_typed(signed_in):
    # Sawtooth Star block, a quilting magazine, 2013: 12 in takes a goose square of 7¼.
    page = signed_in("owner")
    page.goto("/blocks/sawtooth-star/")

    page.get_by_label("Finished size", exact=True).fill("12")

    expect(cut_list(page)).to_contain_text("7¼ in square")
    expect(page.locator("h1")).to_have_text("Sawtooth star, 12 in square finished.")
    expect(page.get_by_label("Finished size", exact=True)).to_be_focused()
    assert "size=12" in page.url


def test_a_size_between_the_marks_is_said_and_taken_back_with_the_next(signed_in):
    page = signed_in("owner")
    page.goto("/blocks/sawtooth-star/")

    page.get_by_label("Finished size", exact=True).fill("9 1/4")
    expect(page.get_by_role("alert")).to_contain_text("nearest kind sizes are 9 in")
    page.get_by_label("Finished size", exact=True).fill("9 1/2")

    expect(page.get_by_role("alert")).to_have_count(0)
    expect(cut_list(page)).to_be_visible()


def test_a_project_is_drawn_again_as_it_grows(signed_in):
    page = signed_in("workshop", width=390, height=844)
    page.goto("/blocks/projects/")

    page.get_by_label("Blocks down").fill("5")

    expect(page.locator(".project-size")).to_have_text("Cushion, 16 × 40 in finished")


def test_the_bed_is_asked_for_as_soon_as_one_is_to_be_covered(signed_in):
    page = signed_in("owner")
    page.goto("/blocks/projects/")
    expect(page.get_by_label("Hanging down")).to_be_hidden()

    page.get_by_label("How large").select_option(label="to cover a bed")

    expect(page.get_by_label("Hanging down")).to_be_visible()


def test_a_block_is_laid_out_and_kept_by_the_keyboard_without_any_script(signed_in):
    page = signed_in("owner", java_script_enabled=False)
    page.goto("/blocks/own/")

    page.get_by_label("Steps across").fill("2")
    page.get_by_label("Steps down").fill("1")
    page.get_by_role("button", name="Show that grid").press("Enter")
    page.get_by_role("button", name="Column 1, row 1: bare.").press("Enter")
    page.get_by_label("First cloth").fill("dark")
    page.get_by_role("button", name="Column 2, row 1: bare.").press("Enter")
    page.get_by_label("Name").fill("Two tone")
    page.get_by_role("button", name="Keep the block").press("Enter")

    expect(page.locator("h1")).to_have_text("Two tone, 4 × 2 in finished.")
    assert OwnBlock.objects.get().lines.splitlines() == [
        "Name: Two tone",
        "Steps: 2 by 1",
        "square: ground at 1 1",
        "square: dark at 2 1",
    ]


def test_what_is_in_hand_is_drawn_as_it_is_turned(signed_in):
    page = signed_in("owner", width=390, height=844)
    page.goto("/blocks/own/")
    hand = page.locator("#own-hand svg")

    page.get_by_label("Patch", exact=True).select_option("flying geese")
    expect(hand).to_have_attribute("width", "96")
    page.get_by_label("a quarter to the right").check()

    expect(hand).to_have_attribute("height", "96")
    expect(hand).to_have_attribute("viewBox", re.compile("0 0 48 96"))
