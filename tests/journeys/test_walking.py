"""The walk through every page sees what is wrong on a page that is wrong on purpose."""

import pytest

from tests.journeys.demo_pages import Page
from tests.journeys.walking import LAPTOP, NARROW, PHONE, Seen, Walker

pytestmark = pytest.mark.browser
NOWHERE = "http://studio.test"
WRONG = """
<!doctype html>
<html lang="en-GB"><head><title>A page</title></head>
<body><main>
<h1>Nine sheets</h1>
<p><input name="count"></p>
<p><a href="/">Back</a></p>
<p>A word with <a href="/">a link in it</a> and more words.</p>
<details><summary>The sum</summary><p>£12.5 for the workflow.</p></details>
<button style="width: 20px; height: 20px; padding: 0">+</button>
<div style="width: 500px">wide</div>
<img src="http://elsewhere.test/one.png">
</main></body></html>
"""


@pytest.fixture
def seen(browser):
    context = browser.new_context()
    context.route("http://elsewhere.test/*", lambda route: route.abort())
    walker = Walker(context, NOWHERE)
    walker.seen = Seen(Page("", "/", ""))
    walker.tab.set_content(WRONG)
    yield walker.write_down((LAPTOP, PHONE, NARROW))
    context.close()


def test_what_breaks_the_rules_of_accessibility_is_named(seen):
    rules = {broken.split(":")[0] for broken in seen.broken}

    assert {"label", "image-alt"} <= rules


def test_what_is_wider_than_the_screen_is_seen_where_it_is(seen):
    assert set(seen.sideways) == {PHONE, NARROW}


def test_what_is_too_small_to_press_is_named_and_a_link_in_a_sentence_is_not(seen):
    named = " ".join(seen.small)

    assert "button “+” 20 × 20" in named
    assert "a “Back”" in named
    assert "a link in it" not in named


def test_words_in_a_folded_part_are_read(seen):
    assert "£12.5 for the workflow." in seen.words


def test_what_is_asked_of_another_host_is_noted(seen):
    assert seen.asked_elsewhere == ["http://elsewhere.test/one.png"]


def test_the_heading_is_read_as_it_stands(seen):
    assert seen.headings == ["Nine sheets"]
