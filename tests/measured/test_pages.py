"""A page takes no longer in a studio ten years old than in a young one.

The two are told apart by the length of their past alone: both have the demo's open
work, 200 sizes and as many orders a year. What 200 sizes cost against the demo's few
stands beside it, in the demo's own figure. Times are processor times of the serving
process, which holds SQLite too: other work on the computer hardly touches them.
"""

import pytest

from tests.measured.books import medians

pytestmark = pytest.mark.measured

# The list pages, and some that show one thing with all its past.
PAGES = {
    "Today": "/",
    "Goods": "/goods/",
    "One set": "/goods/SG-090/",
    "Its history": "/goods/SG-090/history/",
    "Orders": "/orders/",
    "Posted orders": "/orders/?state=posted",
    "Post": "/post/",
    "Bench": "/bench/",
    "Selling days": "/selling-days/",
    "Sizes": "/sizes/",
    "Studio": "/studio/",
}
WARMING, REPEATS = 3, 9
MOST_TIMES_THE_YOUNG_STUDIOS = 1.5
# A question may only be put where there is a past to ask about, and then once.
MORE_QUESTIONS = 3


@pytest.mark.parametrize("name", PAGES)
def test_a_page_costs_no_more_in_a_studio_ten_years_old(name, workers, figures):
    address = PAGES[name]
    demo, young, old = workers
    for worker in workers:
        for _ in range(WARMING):
            worker.open(address)
    asked = [len(worker.questions(address)) for worker in workers]

    demo_ms, young_ms, old_ms = medians(
        REPEATS,
        lambda: demo.open(address)["milliseconds"],
        lambda: young.open(address)["milliseconds"],
        lambda: old.open(address)["milliseconds"],
    )

    figures.add(
        "Server time of a page in ms, medians: the demo, and 200 sizes after one "
        "year and after ten",
        ("page", "demo", "one year", "ten years", "times", "queries", "kB"),
        name,
        f"{demo_ms:.1f}",
        f"{young_ms:.1f}",
        f"{old_ms:.1f}",
        f"{old_ms / young_ms:.2f}",
        ", ".join(map(str, asked)),
        f"{old.open(address)['kilobytes']:.0f}",
    )
    assert asked[2] <= asked[1] + MORE_QUESTIONS
    assert old_ms <= MOST_TIMES_THE_YOUNG_STUDIOS * young_ms
