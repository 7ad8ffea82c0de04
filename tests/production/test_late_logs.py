"""A log for a session long closed gets a sentence, and nothing of it is lost."""

import json
from datetime import date, datetime, timedelta
from uuid import uuid4

import pytest

from inventory.models import Item
from production.models import CuttingLog
from production.presses import SessionLongClosed, check_still_open
from studio import clock
from studio.days import show_day
from tests.factories.bench import a_bench, merle, rufus
from tests.factories.production import LONDON, a_session, held

pytestmark = pytest.mark.django_db
LOG = "/bench/cutting/log/"
CARD = "/bench/cutting/add/?layout=LA"


def days_ago(days):
    return clock.today(clock.now()) - timedelta(days=days)


def sent(client, session, what="sheet", **more):
    press = {"what": what, "request_id": str(uuid4()), "layout": "LA", **more}
    body = json.dumps(press | {"session": session.pk})
    response = client.post(LOG, body, content_type="application/json")
    return response.status_code, response.json()["sentence"]


@pytest.fixture
def helper(client):
    a_bench()
    client.force_login(rufus())
    return client


@pytest.fixture
def owner(client):
    a_bench()
    client.force_login(merle())
    return client


def test_a_session_is_closed_four_weeks_after_its_day():
    day = date(2027, 2, 6)

    check_still_open(day, today=date(2027, 3, 6))
    with pytest.raises(SessionLongClosed) as refused:
        check_still_open(day, today=date(2027, 3, 7))

    assert str(refused.value) == (
        "The session of Sat 6 February 2027 was 29 days ago and is closed, so this was "
        "not counted by itself. Nothing is lost: if the sheets are there, type them in "
        "at the bench with the day on which they were cut."
    )


@pytest.mark.parametrize("what", ["sheet", "spoiled"])
def test_a_press_for_a_session_long_closed_is_told_so(helper, what):
    session = a_session(days_ago(29))
    spoiled = [{"piece": "A425", "count": 1, "reason": "cracked"}]

    status, sentence = sent(helper, session, what, spoiled=spoiled)

    assert status == 422
    assert sentence.startswith(f"The session of {show_day(session.day)} was 29 days")
    assert (CuttingLog.objects.count(), held("SHEET")) == (0, 14)


def test_a_press_of_four_weeks_ago_still_counts(helper):
    session = a_session(days_ago(28))

    status, _ = sent(helper, session)

    assert (status, held("A425")) == (200, 15)
    assert CuttingLog.objects.get().session == session


def test_a_press_that_counted_in_time_is_answered_again_however_late(helper):
    session, press = a_session(days_ago(20)), str(uuid4())
    sent(helper, session, request_id=press)
    session.day = days_ago(60)
    session.save()

    status, sentence = sent(helper, session, request_id=press)

    assert (status, sentence) == (200, "Logged: 1 sheet of LA.")
    assert held("A425") == 15


def card(day, **more):
    return {"request_id": str(uuid4()), "sheets": "3", "day": day, "note": "Rainy."} | {
        key: str(value) for key, value in more.items()
    }


def test_an_old_card_is_asked_about_and_kept_as_typed(owner):
    day = days_ago(40)

    html = owner.post(CARD, card(day.isoformat(), minutes=66)).content.decode()

    assert f"{show_day(day)} was 40 days ago, and its session is long closed." in html
    assert "It was that long ago: count it all the same" in html
    assert all(
        f'value="{typed}"' in html for typed in ("3", "66", "Rainy.", day.isoformat())
    )
    assert CuttingLog.objects.count() == 0


def test_an_old_card_that_was_meant_counts_for_its_day(owner):
    session = a_session(days_ago(40))
    said = card(session.day.isoformat(), at="10:00", counts_late="on")

    for _ in range(2):
        owner.post(CARD, said)

    log = CuttingLog.objects.get()
    assert (log.session, log.sheets, held("A425")) == (session, 3, 45)
    assert log.logged_at == datetime.combine(
        session.day, datetime.min.time().replace(hour=10), LONDON
    )


def test_a_card_of_a_day_to_come_is_refused_and_kept(owner):
    day = days_ago(-2)

    html = owner.post(CARD, card(day.isoformat())).content.decode()

    assert f"{show_day(day)} is still to come, so nothing was cut on it." in html
    assert "count it all the same" not in html
    assert 'value="Rainy."' in html
    assert CuttingLog.objects.count() == 0


def test_the_page_asks_nothing_of_a_card_of_this_month(owner):
    html = owner.get(CARD).content.decode()
    owner.post(CARD, card(days_ago(3).isoformat()))

    assert "count it all the same" not in html
    assert CuttingLog.objects.get().sheets == 3


def test_more_spoiled_than_cut_is_told_and_the_whole_card_stays(owner):
    box = f"spoiled-{Item.objects.get(code='A425').pk}"

    html = owner.post(
        CARD, card("", **{f"{box}-cracked": 40, f"{box}-other": 6})
    ).content.decode()

    # Worked by hand: three sheets give 45.
    assert "46 A425 are logged as spoiled but only 45 were cut." in html
    assert all(f'value="{typed}"' in html for typed in ("3", "40", "6", "Rainy."))
    assert (CuttingLog.objects.count(), held("A425")) == (0, 0)
