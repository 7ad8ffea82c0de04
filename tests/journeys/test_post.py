"""A packing afternoon in a real browser: print, pack, miss something, hand over."""

import pytest
from playwright.sync_api import expect

from orders.models import Packet, PostRun
from studio.models import StudioSettings
from tests.orders.paper_reading import read, size_in_mm
from tests.orders.post_world import AFTERNOON, build_loft, make_run, packet_of

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]


@pytest.fixture
def loft():
    build_loft()


@pytest.fixture
def run(loft):
    StudioSettings.objects.update(clock_stands_at=AFTERNOON)
    return make_run()


def test_the_slips_are_printed_from_the_post_page_with_two_presses(loft, signed_in):
    page = signed_in("owner")
    page.goto("/post/")

    page.get_by_role("button", name="Print today’s slips").click()

    expect(page.get_by_role("heading", level=1)).to_have_text(
        "Papers for the 20 packets of Wed 3 March."
    )
    assert Packet.objects.count() == 20
    page.get_by_role("link", name="Go to the packing table").click()
    expect(page).to_have_url(
        f"{page.url.split('/post')[0]}/post/run/{PostRun.objects.get().pk}/"
    )


def test_a_packer_packs_with_the_keyboard_alone_and_hands_the_pile_over(run, signed_in):
    page = signed_in("packer", width=390, height=844)
    page.goto(f"/post/run/{run.pk}/")

    page.get_by_role("button", name="Packed packet 1", exact=True).focus()
    page.keyboard.press("Enter")
    expect(page.get_by_text("Packed by Posy at 13:00.")).to_have_count(1)
    page.get_by_role("button", name="Packed packet 2", exact=True).press("Enter")
    expect(page.get_by_text("Packed by Posy at 13:00.")).to_have_count(2)
    page.get_by_label("Number of the counter’s receipt").fill("PC 118")
    page.keyboard.press("Enter")

    expect(page.get_by_text("2 packets are posted, receipt PC 118.")).to_be_visible()
    posted = Packet.objects.filter(state="posted").order_by("number")
    assert list(posted.values_list("number", flat=True)) == [1, 2]


def test_without_scripts_a_missing_thing_takes_its_packet_out(run, signed_in):
    page = signed_in("packer", width=390, height=844, java_script_enabled=False)
    number = packet_of("L-0437").number
    page.goto(f"/post/run/{run.pk}/")

    packet = page.locator(f"#packet-{number}")
    packet.get_by_text("Could not find something").click()
    packet.get_by_text("Grip dots, refill card").last.click()
    packet.get_by_role("button", name=f"Take packet {number} out").click()

    expect(page.get_by_text("Throw away the slip with the code")).to_be_visible()
    assert packet_of("L-0437").state == "undone"


@pytest.mark.parametrize("width", [390, 1280])
@pytest.mark.parametrize("place", ["/post/", "/post/run/{}/", "/post/run/{}/papers/"])
def test_no_page_of_the_post_is_wider_than_its_screen(run, signed_in, place, width):
    page = signed_in("owner", width=width)

    page.goto(place.format(run.pk))

    assert page.evaluate("document.documentElement.scrollWidth") == width


def test_the_big_button_is_as_tall_as_a_gloved_finger_needs(run, signed_in):
    page = signed_in("packer", width=390, height=844)
    page.goto(f"/post/run/{run.pk}/")

    box = page.get_by_role("button", name="Packed packet 1", exact=True).bounding_box()

    assert box["height"] >= 72


def test_a_browser_prints_each_slip_on_a_sheet_of_its_own(run, signed_in):
    page = signed_in("owner")
    page.goto(f"/post/run/{run.pk}/slips/?as=page")

    sheets = read(page.pdf(prefer_css_page_size=True)).pages

    # Twenty slips and the customs sheet of the one that goes abroad.
    assert [size_in_mm(sheet) for sheet in sheets] == [(148, 210)] * 21


def test_a_browser_puts_the_labels_where_the_sheet_has_them(run, signed_in):
    page = signed_in("owner")
    page.goto(f"/post/run/{run.pk}/labels/?as=page&first=4")

    first = page.locator(".label").first.bounding_box()
    sheet = page.locator(".label-sheet").first.bounding_box()

    # Open label data for 3 × 7: the fourth label lies 7.25 mm in and 53.25 mm down.
    across_mm = (first["x"] - sheet["x"]) * 25.4 / 96
    down_mm = (first["y"] - sheet["y"]) * 25.4 / 96
    assert round(across_mm, 1) == pytest.approx(7.25, abs=0.1)
    assert round(down_mm, 1) == pytest.approx(53.25, abs=0.1)
