"""Minutes a sheet, learned at the bench: said, taken over by a press, never silently."""

from datetime import datetime, time, timedelta

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from production import actions as making
from production.learning import MinutesMoved
from production.models import CuttingLog, Layout
from production.queries.minutes import minutes_learned, minutes_of
from tests.factories.bench import SATURDAY, a_bench, merle, plan, rufus
from tests.factories.production import LONDON, a_session, new_id

pytestmark = pytest.mark.django_db
NINE = datetime(2027, 3, 6, 9, 0, tzinfo=LONDON)
SAYS = "Rufus takes 33 minutes a sheet of LG over the last {} logs; the layout says 30."


@pytest.fixture
def owner(client):
    client.force_login(merle())
    return client


def lg():
    return Layout.objects.get(code="LG")


def cut(session, minutes=None, *, sheets=1, at=NINE, code="LG", by=None):
    return making.log_cutting(
        Layout.objects.get(code=code),
        sheets=sheets,
        minutes=minutes,
        session=session,
        request_id=new_id(),
        logged_at=at,
        now=at,
        by=by,
    )


def cards(count=9, minutes=66, sheets=2):
    """So many cards of two sheets of LG, typed in by Merle for Rufus's session."""
    session = a_session(SATURDAY)
    return [cut(session, minutes, sheets=sheets, by=merle()) for _ in range(count)]


def page_of(client, url):
    return client.get(url).content.decode()


def pressed(client, url, query):
    return client.post(f"{url}?{query}", {"request_id": new_id()}, follow=True)


def take_over(client, minutes, said):
    url = reverse("production:layout_minutes", args=[lg().pk])
    return pressed(client, url, f"minutes={minutes}&said={said}")


def call(client, log, called):
    url = reverse("production:cutting_minutes", args=[log.pk])
    return pressed(client, url, f"called={called}")


# ------------------------------------------------------------------ what is said


@pytest.mark.parametrize("url", ["/bench/", "/bench/sheets/", "the layout"])
def test_other_minutes_are_said_where_layouts_and_sessions_are_planned(owner, url):
    a_bench()
    cards()

    html = page_of(owner, url if url[0] == "/" else f"/bench/layouts/{lg().pk}/")

    # Worked by hand: 66 minutes for two sheets, nine times.
    assert SAYS.format(9) in html
    assert "Let LG say 33" in html
    assert lg().minutes == 30


def test_too_few_logs_leave_her_own_figure_and_say_so(owner):
    a_bench()
    cards(2)

    html = page_of(owner, f"/bench/layouts/{lg().pk}/")

    assert "Only 2 logs say how long a sheet of LG takes" in html
    assert "the layout’s own figure stays: 30 minutes." in html
    assert "Let LG say" not in html
    assert "Minutes a sheet</h2>" not in page_of(owner, "/bench/")


def test_the_session_says_what_its_sheets_take_at_the_pace_of_the_logs(owner):
    a_bench()
    cards()
    plan("LG", 5, a_session(SATURDAY + timedelta(days=3), time(9), time(12)))

    html = page_of(owner, "/bench/")

    # Worked by hand: 5 × 30 = 150 are planned of 165, and a little under 5 × 33 = 165.
    assert (
        "At the pace of the logs all of it takes 165 minutes, 15 more than planned."
        in html
    )


def test_a_session_that_does_not_hold_the_pace_says_by_how_much(owner):
    a_bench()
    cards(minutes=72)
    plan("LG", 5, a_session(SATURDAY + timedelta(days=3), time(9), time(12)))

    html = page_of(owner, "/bench/")

    # Worked by hand: 5 × 36 = 180 of 165 minutes.
    assert "takes 180 minutes, 30 more than planned and 15 too many for the" in html


def test_the_helper_sees_it_and_the_owner_decides(client):
    a_bench()
    cards(10, 66)
    client.force_login(rufus())

    html = page_of(client, "/bench/")
    answer = take_over(client, 33, 30)

    assert SAYS.format(10) in html
    assert "Let LG say" not in html
    assert answer.status_code == 403
    assert lg().minutes == 30


def test_presses_of_one_session_say_how_long_a_sheet_took(owner):
    a_bench()
    session = a_session(SATURDAY)
    for n in range(5):
        cut(session, at=NINE + timedelta(minutes=33 * n), by=rufus())

    found = minutes_learned(lg())

    # Worked by hand: five presses have four times between them.
    assert found.sentence == SAYS.format(4)


def test_two_presses_at_once_share_the_minutes_of_both(owner):
    a_bench()
    session = a_session(SATURDAY)
    for minutes in (0, 66, 67, 132, 133, 198, 199):
        cut(session, at=NINE + timedelta(minutes=minutes), by=rufus())

    found = minutes_learned(lg())

    # Worked by hand: 66, 65 and 65 minutes for two sheets each, so 32.5 or a little less.
    assert found.learned.logs == 3
    assert found.offer_minutes == 32


def test_the_first_press_of_a_session_says_no_minutes(owner):
    a_bench()
    for n in range(4):
        cut(
            a_session(SATURDAY + timedelta(days=n)),
            at=NINE + timedelta(days=n),
            by=rufus(),
        )

    found = minutes_learned(lg())

    assert found.learned.logs == 0
    assert found.sentence.startswith("No log says yet")


# ------------------------------------------------------------------ taken over


def test_one_press_takes_the_minutes_over_and_one_puts_them_back(owner):
    a_bench()
    cards()

    page = take_over(owner, 33, 30)
    after = lg().minutes
    undo = page.context["undo"]
    owner.post(undo["url"], {"request_id": undo["request_id"]})

    assert "Layout LG says 33 minutes a sheet now." in page.content.decode()
    assert (after, undo["words"], lg().minutes) == (33, "Put 30 back", 30)


def test_taken_over_twice_is_taken_over_once(owner):
    a_bench()
    cards()
    take_over(owner, 33, 30)

    take_over(owner, 33, 30)

    assert lg().minutes == 33


def test_minutes_that_moved_meanwhile_are_not_written_over(owner):
    a_bench()
    cards()
    Layout.objects.filter(code="LG").update(minutes=35)

    page = take_over(owner, 33, 30)

    assert (
        "Layout LG says 35 minutes a sheet by now, not 30, so nothing was changed."
        in page.content.decode()
    )
    assert lg().minutes == 35
    with pytest.raises(MinutesMoved):
        making.take_over_minutes(lg(), minutes=33, said=30)


@pytest.mark.parametrize("typed", ["0", "-1", "1000000", "no"])
def test_minutes_that_are_none_are_refused_with_a_sentence(owner, typed):
    a_bench()

    page = take_over(owner, typed, 30)

    assert f"{typed} does not fit here." in page.content.decode()
    assert lg().minutes == 30


def test_sheets_planned_before_keep_their_minutes(owner):
    a_bench()
    cards()
    batch = plan("LG", 2, a_session(SATURDAY + timedelta(days=3)))

    take_over(owner, 33, 30)

    batch.refresh_from_db()
    assert batch.minutes == 60
    assert plan("LG", 2, None).minutes == 66


# ------------------------------------------------------------------ odd logs

ODD = (
    "2 sheets of LG on Sat 6 March took 260 minutes, and 66 were expected: was it "
    "interrupted, or is the figure wrong?"
)


def with_an_odd_one():
    a_bench()
    cards()
    return cut(a_session(SATURDAY), 260, sheets=2, by=merle())


def test_an_odd_log_is_shown_with_why_and_still_counts(owner):
    with_an_odd_one()

    html = page_of(owner, "/bench/")

    assert ODD in html
    assert SAYS.format(10) in html


def test_a_log_called_wrong_is_left_out_and_kept_as_written(owner):
    odd = with_an_odd_one()

    page = call(owner, odd, "wrong")

    html = page.content.decode()
    odd.refresh_from_db()
    assert "is left out of what the logs teach; it stays in the book." in html
    assert ODD not in html
    assert SAYS.format(9) in html
    assert (odd.minutes, odd.sheets) == (260, 2)
    assert "Left out as a wrong figure" in page_of(owner, f"/bench/layouts/{lg().pk}/")


def test_a_log_called_right_counts_and_is_not_asked_about_again(owner):
    odd = with_an_odd_one()

    html = call(owner, odd, "right").content.decode()

    assert ODD not in html
    assert SAYS.format(10) in html


@pytest.mark.parametrize("called", ["right", "wrong"])
def test_what_was_said_of_a_log_is_taken_back_by_one_press(owner, called):
    odd = with_an_odd_one()
    undo = call(owner, odd, called).context["undo"]

    html = owner.post(
        undo["url"], {"request_id": undo["request_id"]}, follow=True
    ).content.decode()

    odd.refresh_from_db()
    assert odd.minutes_called == ""
    assert ODD in html


def test_another_word_for_a_log_is_refused_with_a_sentence(owner):
    odd = with_an_odd_one()

    html = call(owner, odd, "perhaps").content.decode()

    assert "Say whether the minutes are right or a wrong figure." in html
    assert ODD in html


def test_a_log_taken_back_teaches_nothing(owner):
    a_bench()
    logs = cards()
    for log in logs[:7]:
        making.take_back_cutting(log, request_id=new_id(), now=NINE)

    assert minutes_learned(lg()).learned.logs == 2
    assert CuttingLog.objects.count() == 9


def queries_of(layouts):
    with CaptureQueriesContext(connection) as queries:
        minutes_of(layouts)
    return len(queries)


def test_many_layouts_are_read_by_one_question(owner):
    a_bench()
    session = a_session(SATURDAY)
    for code in ("LA", "LB", "LE", "LP", "LG"):
        for _ in range(4):
            cut(session, 40, code=code, by=merle())
    layouts = list(Layout.objects.all())

    # The logs with who cut them; everything else is worked out.
    assert queries_of(layouts[:1]) == 1
    assert queries_of(layouts) == 1


def test_only_the_last_twenty_logs_teach(owner):
    a_bench()
    session = a_session(SATURDAY)
    for n in range(30):
        cut(session, 45 if n < 10 else 33, at=NINE + timedelta(seconds=n), by=merle())

    found = minutes_learned(lg())

    assert found.sentence == SAYS.format(20)
