"""A cutting session with a bad signal, on the workshop's phone, in a real browser."""

import pytest
from playwright.sync_api import expect

from inventory.models import Entry
from inventory.queries.balances import balance_differences
from production.models import CuttingLog
from tests.factories.bench import the_morning
from tests.factories.production import held
from tests.journeys.conftest import HOST, sign_in

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]
BOUNCE_MS = 750
PIECES = ("A425", "SQ350", "A388", "C200")


@pytest.fixture
def phone(signed_in):
    """Open the phone page of the story's session."""
    _, session = the_morning()
    page = signed_in("workshop", width=390, height=844, has_touch=True)
    page.goto(f"/bench/cutting/{session.pk}/")
    return page


def sheets(page, count):
    for _ in range(count):
        page.get_by_role("button", name="Sheet done").click()
        page.wait_for_timeout(BOUNCE_MS)


def spoil(page, reason, *, piece=None, where="Somewhere else"):
    page.get_by_role("button", name="Piece spoiled").click()
    if piece:
        page.get_by_role("button", name=piece).click()
    page.get_by_role("button", name=reason).click()
    page.get_by_role("button", name=where).click()


def go_on_with(page, layout):
    page.get_by_role("button", name="Stop").click()
    page.get_by_role("button", name=layout).click()


def no_signal(page):
    page.context.set_offline(True)


def signal_again(page):
    page.context.set_offline(False)


def waits(page):
    return page.locator("[data-panel=sheet]:not([hidden]) [data-waits]")


def all_sent(page):
    expect(waits(page)).to_have_text("", timeout=20_000)


def lose_replies(page, times):
    """Let the studio store a press and lose its answer, so that it is sent again."""
    lost = []

    def store_and_hang_up(route):
        if len(lost) >= times:
            route.continue_()
            return
        lost.append(route.request.post_data)
        # The driver does not know the made-up name; the studio is told it as usual.
        name = route.request.url.split("/")[2]
        answer = route.fetch(
            url=route.request.url.replace(HOST, "127.0.0.1"),
            headers={**route.request.all_headers(), "host": name},
        )
        assert answer.status == 200
        route.abort("connectionreset")

    page.route("**/bench/cutting/log/", store_and_hang_up)
    return lost


def visible_buttons(page):
    found = page.locator("main").get_by_role("button").all()
    return [button for button in found if button.is_visible()]


def test_four_huge_buttons_and_nothing_to_type(phone):
    buttons = visible_buttons(phone)

    names = [button.inner_text() for button in buttons]
    boxes = [button.bounding_box() for button in buttons]
    links = [link for link in phone.get_by_role("link").all() if link.is_visible()]

    assert names == ["Sheet done", "Piece spoiled", "Stop", "Undo"]
    assert min(box["height"] for box in boxes) >= 72
    assert min(box["width"] for box in boxes) >= 72
    assert max(box["y"] + box["height"] for box in boxes) <= 844
    assert [link.inner_text() for link in links] == ["Go to the page"]
    assert phone.locator("input:visible, textarea:visible, select:visible").count() == 0


def test_the_four_buttons_fit_on_a_small_phone_too(phone):
    phone.set_viewport_size({"width": 360, "height": 700})

    boxes = [button.bounding_box() for button in visible_buttons(phone)]

    assert len(boxes) == 4
    assert min(box["height"] for box in boxes) >= 72
    assert max(box["y"] + box["height"] for box in boxes) <= 700


def test_the_page_stands_on_a_plain_network_where_much_is_missing(phone):
    missing = phone.evaluate(
        "[isSecureContext, typeof crypto.randomUUID, 'serviceWorker' in navigator]"
    )

    assert missing == [False, "undefined", False]


def test_the_session_of_the_story(phone):
    sheets(phone, 1)
    no_signal(phone)
    sheets(phone, 2)
    expect(waits(phone)).to_have_text("3 done, 2 wait to be sent.")
    for reason in ("Cracked", "Cracked", "Wrong text", "Scratched"):
        spoil(phone, reason)
    lost = lose_replies(phone, 3)
    signal_again(phone)
    all_sent(phone)
    go_on_with(phone, "LG")
    sheets(phone, 2)
    spoil(phone, "Cracked", piece="A388")
    for _ in range(3):
        spoil(phone, "Cracked", piece="SQ350", where="Right edge")
    all_sent(phone)
    go_on_with_that_is_all = phone.get_by_role("link", name="That is all for today")
    phone.get_by_role("button", name="Stop").click()
    go_on_with_that_is_all.click()

    # Worked by hand: the cutting log with a bad signal.
    assert len(lost) == 3
    assert {code: held(code) for code in PIECES} == {
        "A425": 46,
        "SQ350": 18,
        "A388": 21,
        "C200": 20,
    }
    assert held("A425", state="second") == 1
    assert held("SHEET") == 14 - 5
    assert balance_differences() == []
    expect(phone.locator("h1")).to_contain_text("5 sheets were cut on Sat 6 March")
    page = phone.locator("main")
    expect(page).to_contain_text("Promises need 24 SQ350; 18 are loose: 6 short.")
    expect(page).to_contain_text("Cut 1 sheet of LB, 26 minutes, for 6 SQ350")
    notes = phone.locator(".notice-seen")
    expect(notes).to_have_count(1)
    expect(notes).to_contain_text("3 of 12 SQ350 on LG were spoiled.")
    expect(notes).to_contain_text("All 3 lay at the right edge.")


def test_two_pages_that_send_the_same_presses_count_them_once(phone):
    other = phone.context.new_page()
    other.goto(phone.url)
    no_signal(phone)
    sheets(phone, 5)
    lost = lose_replies(phone, 2)

    signal_again(phone)
    other.evaluate("window.dispatchEvent(new Event('online'))")
    all_sent(phone)

    assert CuttingLog.objects.count() == 5
    assert held("A425") == 5 + 5 * 15
    assert len(lost) > 0


def test_two_pages_that_press_at_once_lose_nothing(phone):
    other = phone.context.new_page()
    other.goto(phone.url)
    no_signal(phone)
    for page in (phone, other, phone, other):
        page.get_by_role("button", name="Sheet done").click()
        page.wait_for_timeout(BOUNCE_MS)
    expect(waits(phone)).to_have_text("4 done, 4 wait to be sent.")

    signal_again(phone)
    all_sent(phone)

    assert CuttingLog.objects.count() == 4


def test_a_page_closed_without_a_signal_sends_when_it_is_opened_again(phone):
    url = phone.url
    no_signal(phone)
    sheets(phone, 2)
    context = phone.context
    phone.close()

    context.set_offline(False)
    again = context.new_page()
    again.goto(url)
    all_sent(again)

    assert held("A425") == 5 + 30


def test_undo_takes_out_what_waits_and_takes_back_what_went(phone):
    sheets(phone, 1)
    all_sent(phone)
    no_signal(phone)
    sheets(phone, 1)
    undo = phone.get_by_role("button", name="Undo")
    undo.click()
    undo.click()
    signal_again(phone)
    all_sent(phone)

    # The first went and came back by an entry of its own; the second never went.
    assert CuttingLog.objects.count() == 1
    assert Entry.objects.filter(verb="reversed").count() == 1
    assert held("A425") == 5
    assert held("SHEET") == 14
    expect(phone.locator("[data-panel=sheet]:not([hidden])")).to_contain_text(
        "0 of 3 sheets done"
    )


def test_undo_of_a_press_whose_answer_was_lost_takes_it_back(phone):
    lost = lose_replies(phone, 1)
    phone.get_by_role("button", name="Sheet done").click()
    expect(waits(phone)).to_have_text("1 done, 1 waits to be sent.")
    phone.wait_for_timeout(300)

    phone.get_by_role("button", name="Undo").click()
    all_sent(phone)

    assert len(lost) == 1
    assert CuttingLog.objects.count() == 1
    assert (held("A425"), held("SHEET")) == (5, 14)


def test_a_press_the_studio_refuses_is_kept_to_look_at_and_others_go_on(phone):
    go_on_with(phone, "LG")
    sheets(phone, 1)
    for _ in range(7):
        spoil(phone, "Cracked", piece="SQ350")
    all_sent(phone)
    look = phone.locator("#cutting-looks")
    expect(look).to_contain_text("7 SQ350 are logged as spoiled but only 6 were cut.")
    sheets(phone, 1)
    all_sent(phone)

    assert held("SQ350") == 9 + 12 - 6
    phone.reload()
    expect(look).to_contain_text("7 SQ350 are logged as spoiled")
    phone.get_by_role("button", name="Stop").click()
    phone.get_by_role("button", name="It is dealt with").click()
    expect(look).to_be_hidden()


def test_signed_out_in_the_middle_nothing_is_lost(phone, address):
    phone.context.clear_cookies(name="sessionid")
    sheets(phone, 2)
    notice = phone.locator("#cutting-signed-out")
    expect(notice).to_contain_text("Sign in again; nothing is lost.")
    stored_before = CuttingLog.objects.count()

    sign_in(phone.context, "workshop", address)
    phone.evaluate("window.dispatchEvent(new Event('online'))")
    all_sent(phone)

    assert stored_before == 0
    expect(notice).to_be_hidden()
    assert held("A425") == 5 + 30


def test_a_page_open_too_long_asks_for_a_fresh_token_itself(phone):
    phone.context.clear_cookies(name="csrftoken")

    sheets(phone, 1)
    all_sent(phone)

    assert held("A425") == 5 + 15
    assert CuttingLog.objects.count() == 1


def test_a_glove_that_bounces_is_one_press(phone):
    button = phone.get_by_role("button", name="Sheet done")

    button.dblclick()
    all_sent(phone)

    assert CuttingLog.objects.count() == 1
    expect(phone.locator("#cutting-said")).to_contain_text("That was one press.")


def test_a_spoiled_piece_before_any_sheet_is_told_to_wait(phone):
    phone.get_by_role("button", name="Piece spoiled").click()

    expect(phone.locator("#cutting-said")).to_contain_text("Press “Sheet done” first")
    assert len(visible_buttons(phone)) == 4


def test_the_phones_back_button_closes_a_panel_and_not_the_page(phone):
    no_signal(phone)
    phone.get_by_role("button", name="Stop").click()

    phone.go_back()

    assert visible_buttons(phone)[0].inner_text() == "Sheet done"


def test_without_scripts_the_same_four_buttons_do_the_same(signed_in):
    _, session = the_morning()
    page = signed_in("workshop", width=390, height=844, java_script_enabled=False)
    page.goto(f"/bench/cutting/{session.pk}/?layout=LG")
    names = [button.inner_text() for button in visible_buttons(page)]

    page.get_by_role("button", name="Sheet done").click()
    spoil(page, "Cracked", piece="SQ350", where="Right edge")
    page.get_by_role("button", name="Sheet done").click()
    page.get_by_role("button", name="Undo").click()

    assert names == ["Sheet done", "Piece spoiled", "Stop", "Undo"]
    expect(page.locator("main")).to_contain_text("Taken back: 1 sheet of LG.")
    assert (held("SQ350"), held("SHEET")) == (9 + 6 - 1, 13)
    row = CuttingLog.objects.get(sheets=0).spoiled.get()
    assert (row.reason, row.where) == ("cracked", "right edge")
