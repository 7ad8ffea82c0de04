"""The demo's clock, moved by its banner: every page goes by it. Worked by hand, O7.

Without its three gifts by next-day, the post of 3 March is £53.95 − £12.60 = £41.35
in 17 packets and 95 − 23 = 72 minutes.
"""

import pytest
from playwright.sync_api import expect

pytestmark = [
    pytest.mark.browser,
    pytest.mark.django_db(transaction=True),
    pytest.mark.usefixtures("demo"),
]
ROOMS = (
    "/",
    "/goods/",
    "/orders/",
    "/post/",
    "/bench/",
    "/selling-days/",
    "/sizes/",
    "/studio/",
)


def move(page, to):
    page.get_by_role("button", name=to, exact=True).click()
    page.wait_for_load_state()


@pytest.fixture
def page(signed_in):
    page = signed_in("owner")
    page.goto("/post/")
    return page


def heading(page):
    return page.locator("h1")


@pytest.mark.parametrize(
    ("button", "stands"),
    [
        ("12:10", "Wed 3 March 2027, 12:10"),
        ("18:00", "Wed 3 March 2027, 18:00"),
        ("19:15", "Wed 3 March 2027, 19:15"),
        ("the next morning", "Thu 4 March 2027, 08:30"),
    ],
)
def test_every_room_goes_by_the_clock_that_was_set(page, button, stands):
    move(page, button)

    for room in ROOMS:
        page.goto(room)
        expect(page.locator(".clock-banner")).to_contain_text(
            f"The demo’s clock stands at {stands}."
        )


def test_at_ten_past_twelve_the_gifts_can_still_go(page):
    move(page, "12:10")

    expect(heading(page)).to_have_text(
        "20 packets can go today: £53.95 and one at the counter; Posy ends by 14:35."
    )
    expect(page.locator("main")).to_contain_text(
        "Today is the last useful posting, next-day only. L-0434, L-0435 and L-0457 "
        "can go."
    )


def test_at_six_the_post_speaks_of_the_next_collection_and_the_gifts_are_lost(page):
    move(page, "18:00")

    expect(heading(page)).to_have_text(
        "17 packets can go on Thu 4 March: £41.35 and one at the counter; "
        "Posy ends by 14:12."
    )
    post = page.locator("main")
    expect(post).to_contain_text("L-0434 cannot be met")
    expect(post).to_contain_text(
        "Courier at £9.80: have it ready Thu 4 March before 15:00; it arrives on Fri 5 "
        "March."
    )
    page.goto("/")
    expect(heading(page)).to_have_text(
        "17 packets can go on Thu 4 March, and 7 orders need you."
    )
    expect(page.get_by_role("link", name="Print slips on Thu 4 March")).to_be_visible()
    expect(page.locator("main")).to_contain_text(
        "L-0434, L-0435, L-0451 and L-0457 cannot be met."
    )


def test_at_a_quarter_past_seven_the_first_hour_is_over_and_the_repeat_is_next(page):
    move(page, "19:15")

    page.goto("/selling-days/")

    expect(heading(page)).to_contain_text("Tinderbrook TV repeat, 4 March 2027")


def test_the_next_morning_is_a_day_later_for_the_post_and_for_today(page):
    move(page, "the next morning")

    expect(heading(page)).to_have_text(
        "17 packets can go today: £41.35 and one at the counter; Posy ends by 14:12."
    )
    expect(page.locator("main")).to_contain_text(
        "Posted today, next-day arrives on Mon 8 March, standard on Wed 10 March."
    )
    page.goto("/")
    expect(page.locator("main")).to_contain_text("Thu 4 March, 08:30.")
    move(page, "08:30")
    expect(page.locator(".clock-banner")).to_contain_text("Thu 4 March 2027, 08:30")


def test_a_clock_moved_back_brings_the_morning_back(page):
    move(page, "18:00")
    move(page, "08:30")

    expect(heading(page)).to_have_text(
        "20 packets can go today: £53.95 and one at the counter; Posy ends by 14:35."
    )
