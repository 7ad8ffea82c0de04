"""The four moments the studio is for, walked on the demo as a person would walk them.

The figures were worked by hand beforehand (the demo's own sheet of expected answers).
"""

import re

import pytest
from playwright.sync_api import expect

from inventory.models import Item
from inventory.queries.balances import balance_differences
from inventory.queries.promises import can_promise_by_item
from orders.models import Packet
from production.models import Batch, Layout, Line, SellingDay
from studio import clock
from tests.factories.production import held

pytestmark = [
    pytest.mark.browser,
    pytest.mark.django_db(transaction=True),
    pytest.mark.usefixtures("demo"),
]
SLOT = "Tinderbrook TV slot, 22 April 2027"
# Pressing the cutter's page faster than this is taken for one press.
BOUNCE_MS = 750


def says(page, sentence):
    expect(page.locator("h1")).to_have_text(sentence)


def press(page, words):
    page.get_by_role("button", name=words, exact=True).click()


def follow(page, words):
    page.get_by_role("link", name=words, exact=True).first.click()


# ------------------------------------------------------------ what to make


def test_a_number_is_promised_pinned_and_becomes_work_on_the_bench(signed_in):
    page = signed_in("owner")
    page.goto("/")

    page.get_by_text("Seven weeks to go").click()
    follow(page, f"To cut for {SLOT}")
    row = page.get_by_role("row").filter(has_text="RF-090")
    expect(row).to_contain_text("The record cannot say: more than 40.")
    row.get_by_role("textbox").first.fill("44")
    row.get_by_role("textbox").first.press("Enter")

    row = page.get_by_role("row").filter(has_text="RF-090")
    expect(row).to_contain_text("your number")
    expect(row.get_by_role("textbox").first).to_have_value("44")
    slot = SellingDay.objects.get(name=SLOT)
    line = Line.objects.get(selling_day=slot, item__code="RF-090")
    assert (line.wanted, line.is_pinned) == (44, True)

    press(page, "Make these batches")
    follow(page, "Go to the bench")
    bench = page.locator("main")
    expect(bench).to_contain_text(f"For {SLOT}.")
    expect(bench).to_contain_text(re.compile(r"Ringfence set, 9 in: make up 4[01]\."))
    written = Batch.objects.filter(selling_day=slot, state=Batch.State.PLANNED)
    cutting = written.filter(kind=Batch.Kind.CUTTING)
    # Three of the 44 can be promised from the shelf, so 41 at most are to be made up.
    assert written.get(item__code="RF-090").count == 41
    assert {batch.session is not None for batch in cutting} == {True}
    for batch in cutting:
        words = "sheet" if batch.count == 1 else "sheets"
        expect(bench).to_contain_text(f"{batch.layout.code}, {batch.count} {words}")


# ------------------------------------------------------------ the workshop


def test_what_the_workshop_logs_stands_on_goods_and_on_today_at_once(signed_in):
    layout = Layout.objects.get(code="LC")
    gives = {one.piece.code: one.count for one in layout.gives.all()}
    before = {code: held(code) for code in gives}
    sheets = held("SHEET")
    phone = signed_in("workshop", width=390, height=844, has_touch=True)
    phone.goto("/bench/")
    phone.get_by_role("link", name="Start it on Sat 6 March 2027").click()

    press(phone, "Sheet done")
    waits = phone.locator("[data-panel=sheet]:not([hidden]) [data-waits]")
    expect(waits).to_have_text("", timeout=20_000)
    expect(phone.locator("[data-panel=sheet]:not([hidden])")).to_contain_text(
        "1 of 1 sheets done"
    )

    assert {code: held(code) - before[code] for code in gives} == gives
    assert held("SHEET") == sheets - 1
    page = signed_in("owner")
    page.goto("/goods/A575/")
    expect(page.locator("main")).to_contain_text(
        f"{before['A575'] + gives['A575']} can be promised now"
    )
    page.goto("/")
    expect(page.locator("main")).not_to_contain_text("Six A575 would free")
    assert balance_differences() == []


# ------------------------------------------------------------ the post


def promised():
    return can_promise_by_item(Item.objects.all(), now=clock.now())


def test_a_day_of_post_from_the_slips_to_the_receipt_and_back(signed_in):
    owner = signed_in("owner")
    owner.goto("/")
    follow(owner, "Print today’s slips")
    press(owner, "Print today’s slips")
    says(owner, "Papers for the 20 packets of Wed 3 March.")
    before = promised()

    packer = signed_in("packer", width=390, height=844)
    packer.goto("/post/")
    follow(packer, "Packing table")
    for number in (1, 2, 3):
        packed = re.compile(f"^Packed,? packet {number}$")
        packer.get_by_role("button", name=packed).click()
        expect(packer.get_by_text(re.compile("^Packed by Posy"))).to_have_count(number)
    packer.get_by_label("Number of the counter’s receipt").fill("PC 118")
    press(packer, "All 20 posted")

    expect(packer.get_by_text("20 packets are posted, receipt PC 118.")).to_be_visible()
    owner.goto("/")
    says(owner, "7 orders are open and none can go yet.")
    expect(owner.locator("main")).to_contain_text("7 need Merle.")
    # What was promised went, so what can be promised is what it was.
    assert promised() == before
    assert balance_differences() == []

    press(packer, "Not posted")
    expect(packer.get_by_text("20 packets are here again")).to_be_visible()
    assert set(
        Packet.objects.values_list("state", flat=True).filter(run__day="2027-03-03")
    ) == {"packed"}
    owner.goto("/")
    says(owner, "20 packets can go today, and 7 orders need you.")
    assert promised() == before
    assert balance_differences() == []


# ------------------------------------------------------------ which sizes


def test_the_sizes_page_shows_what_sells_and_plans_with_one_tap(signed_in):
    page = signed_in("owner")
    page.goto("/sizes/")

    says(page, "Make 26 of Sandglass set, 3 in next, and 7 more sizes want making.")
    rows = page.get_by_role("region", name="Sizes of Sandglass").get_by_role("row")
    middle = rows.filter(has_text="4½ in")
    expect(middle).to_contain_text("77")
    expect(middle).to_contain_text("208 of 364")
    page.locator(".next-action-label").click()

    expect(page.get_by_text("26 of Sandglass set, 3 in are planned.")).to_be_visible()
    page.goto("/bench/")
    expect(page.locator("main")).to_contain_text("Sandglass set, 3 in: make up 26.")
    assert Batch.objects.get(item__code="SG-030").count == 26
