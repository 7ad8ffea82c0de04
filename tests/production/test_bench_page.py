"""The bench page says what the next session holds and takes each change back."""

from datetime import date, datetime, time
from uuid import uuid4

import pytest
from django.contrib.messages import get_messages
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from inventory.models import Arrival
from production import actions as making
from production.models import Batch, Layout, MakingUpLog
from studio.models import WorkSession
from tests.factories.bench import (
    EARLY,
    SATURDAY,
    a_bench,
    merle,
    plan,
    posy,
    promise,
    rufus,
    the_morning,
)
from tests.factories.production import LONDON, a_session, held, new_id

pytestmark = pytest.mark.django_db


@pytest.fixture
def owner(client):
    client.force_login(merle())
    return client


def bench_html(client):
    return client.get(reverse("production:bench")).content.decode()


def post(client, name, *args, **fields):
    """Send a form; return the page that follows and what it says."""
    form = {"request_id": str(uuid4()), **fields}
    page = client.post(reverse(f"production:{name}", args=args), form, follow=True)
    said = [str(one) for one in get_messages(page.wsgi_request)]
    shown = [str(one) for one in page.context["messages"]] if page.context else []
    return page, said or shown


def test_the_sentence_says_what_the_next_session_holds(owner):
    a_bench()
    session = a_session(SATURDAY)
    plan("LG", 3, session)
    plan("LB", 1, session)
    plan("LP", 1, session)

    html = bench_html(owner)

    # 165 net; 3 × 30 + 26 + 16 = 132: the repeat slot of the stories, worked by hand.
    assert "Saturday’s session has 165 minutes; 132 are planned." in html


@pytest.mark.parametrize(
    ("sheets", "sentence"),
    [
        (0, "Saturday’s session has 165 minutes; nothing is planned in it yet."),
        (6, "Saturday’s session has 165 minutes, but 180 are planned: 15 too many."),
    ],
)
def test_the_sentence_says_when_too_little_or_too_much_is_planned(
    owner, sheets, sentence
):
    a_bench()
    session = a_session(SATURDAY)
    if sheets:
        plan("LG", sheets, session)

    html = bench_html(owner)

    assert sentence in html


def test_an_empty_studio_says_what_to_do_first(owner):
    html = bench_html(owner)

    assert "No session is in the diary. Ask the helper when he can come." in html
    assert "Add a session" in html


def test_the_workshop_starts_the_session_and_the_owner_prints_its_card(client):
    _, session = the_morning()
    actions = {}
    for person in (merle(), rufus()):
        client.force_login(person)
        actions[person.role] = client.get("/bench/").context["action"]

    assert {role: (a["words"], a["url"]) for role, a in actions.items()} == {
        "owner": ("Print the session card", f"/bench/cutting/{session.pk}/card/"),
        "workshop": ("Start the session", f"/bench/cutting/{session.pk}/"),
    }


PAGES = [
    "/bench/",
    "/bench/sessions/add/",
    "/bench/sessions/{session}/change/",
    "/bench/sessions/{session}/hours/",
    "/bench/sheets/",
    "/bench/batches/{batch}/move/",
    "/bench/cutting/add/",
    "/bench/cutting/{session}/",
    "/bench/cutting/{session}/after/",
    "/bench/cutting/{session}/card/?as=page",
]


@pytest.mark.parametrize("page", PAGES)
def test_the_owner_and_the_workshop_open_the_bench_and_the_packer_does_not(
    client, page
):
    _, session = the_morning()
    url = page.format(session=session.pk, batch=session.batches.first().pk)
    found = {}
    for person in (merle(), rufus(), posy()):
        client.force_login(person)
        found[person.role] = client.get(url).status_code
    client.logout()

    stranger = client.get(url)

    assert found == {"owner": 200, "workshop": 200, "packer": 403}
    assert stranger.status_code == 302


def test_money_is_for_the_owner_alone(client):
    items = a_bench(loose={"A1025": 5})
    items["A1025"].cost_mills = 2600
    items["A1025"].save()
    pages = {}
    for person in (merle(), rufus()):
        client.force_login(person)
        pages[person.role] = bench_html(client)

    # Five at £2.60, worked by hand.
    assert "Five A1025 have no partner: £13.00 asleep." in pages["owner"]
    assert (
        "5 A1025 have no partner. 5 SQ950 would complete 5 SG-090."
        in (pages["workshop"])
    )
    assert "£" not in pages["workshop"]


def test_a_session_without_minutes_is_asked_about(owner):
    a_session(date(2027, 3, 2), time(18, 30), time(20, 30), net_minutes=0)

    html = bench_html(owner)

    # The sentence for the fault planted in the demo.
    assert "The diary shows Tue 2 March; no minutes were worked." in html


def test_minutes_worked_are_written_and_asked_no_more(owner):
    session = a_session(date(2027, 3, 2), time(18, 30), time(20, 30))

    page, _ = post(owner, "session_hours", session.pk, minutes_worked="95")

    session.refresh_from_db()
    assert session.minutes_worked == 95
    assert page.context["asked"] == []


def test_minutes_that_cannot_be_are_kept_and_explained(owner):
    session = a_session(date(2027, 3, 2))

    page, _ = post(owner, "session_hours", session.pk, minutes_worked="9 to 5")

    html = page.content.decode()
    assert "9 to 5 does not fit here. Write a whole number from 0 to 960." in html
    assert 'value="9 to 5"' in html


def test_cannot_come_is_one_tap_and_can_be_undone(owner):
    _, session = the_morning()

    page, said = post(owner, "session_cancel", session.pk)
    session.refresh_from_db()
    cancelled = (session.net_minutes, session.note)
    undo = page.context["undo"]
    owner.post(undo["url"], {"request_id": undo["request_id"]})
    session.refresh_from_db()

    assert cancelled == (0, "Rufus cannot come")
    assert said[0].endswith("Move its batches to another session, or drop them.")
    assert undo["words"] == "He can come after all"
    assert (session.net_minutes, session.note) == (165, "")
    assert session.starts == time(9)


def test_a_session_is_added_and_its_setting_up_taken_off(owner):
    a_bench()
    helper = rufus()
    form = {"person": helper.pk, "day": "9 March", "starts": "18:30", "ends": "20:30"}

    for _ in range(2):
        post(owner, "session_add", **form)

    session = WorkSession.objects.get()
    assert (session.day, session.net_minutes) == (date(2027, 3, 9), 105)


def test_a_session_that_ends_before_it_starts_is_explained(owner):
    helper = rufus()

    page, _ = post(
        owner,
        "session_add",
        person=helper.pk,
        day="9 March",
        starts="20:30",
        ends="18:30",
    )

    html = page.content.decode()
    assert "The session ends before it starts. Check the two times." in html
    assert 'value="20:30"' in html
    assert WorkSession.objects.count() == 0


def test_other_hours_change_the_minutes(owner):
    _, session = the_morning()

    post(owner, "session_change", session.pk, starts="10:00", ends="12:00")

    session.refresh_from_db()
    assert session.net_minutes == 105


def test_sheets_planned_by_hand_are_expected_and_can_be_dropped(owner):
    a_bench()
    session = a_session(SATURDAY)
    layout = Layout.objects.get(code="LB")

    page, said = post(
        owner, "sheets_plan", layout=layout.pk, sheets="2", session=session.pk
    )
    coming = Arrival.objects.get(closed_at=None)
    undo = page.context["undo"]
    owner.post(undo["url"])

    # 48 squares, 5 in 100 spoiled, rounded down: 45. Worked by hand.
    assert said == ["2 sheets of LB planned, 52 minutes."]
    assert (coming.item.code, coming.count) == ("SQ350", 45)
    assert Batch.objects.get().state == "dropped"
    assert Arrival.objects.filter(closed_at=None).count() == 0


def test_sheets_without_a_layout_are_asked_for_it(owner):
    a_bench()

    page, _ = post(owner, "sheets_plan", layout="", sheets="0", session="")

    html = page.content.decode()
    assert "Choose the layout." in html
    assert "0 is not a number of goods this book can take." in html


def test_a_batch_is_moved_and_dropped_and_taken_up_again(owner):
    _, session = the_morning()
    later = a_session(date(2027, 3, 9), time(18, 30), time(20, 30))
    batch = session.batches.first()

    post(owner, "batch_move", batch.pk, session=later.pk)
    batch.refresh_from_db()
    moved_to = batch.session
    page, _ = post(owner, "batch_drop", batch.pk)
    batch.refresh_from_db()
    dropped = batch.state
    owner.post(page.context["undo"]["url"])
    batch.refresh_from_db()

    assert moved_to == later
    assert (dropped, batch.state) == ("dropped", "planned")


def test_sets_made_up_are_counted_in_once_and_taken_back(owner):
    items = a_bench(loose={"A425": 5, "SQ350": 9})
    batch = making.plan_making_up(
        items["SG-030"], count=4, request_id=new_id(), now=EARLY
    )
    form = {"count": "3", "request_id": str(uuid4())}

    pages = [post(owner, "batch_made", batch.pk, **form) for _ in range(2)]
    counted = (held("SG-030"), held("SQ350"))
    undo = pages[1][0].context["undo"]
    owner.post(undo["url"], {"request_id": undo["request_id"]})

    assert counted == (3, 6)
    assert MakingUpLog.objects.count() == 1
    assert (held("SG-030"), held("SQ350")) == (0, 9)


def test_sets_without_their_parts_are_asked_about_and_what_was_typed_stays(owner):
    items = a_bench(loose={"A425": 5, "SQ350": 2})
    batch = making.plan_making_up(
        items["SG-030"], count=4, request_id=new_id(), now=EARLY
    )

    page, _ = post(owner, "batch_made", batch.pk, count="4")

    html = page.content.decode()
    assert "SQ350" in html
    assert 'value="4"' in html
    assert "Why it goes on with parts that the book does not have" in html
    assert held("SG-030") == 0


def test_a_log_is_taken_back_from_the_bench(owner):
    _, session = the_morning()
    log = making.log_cutting(
        Layout.objects.get(code="LA"),
        sheets=2,
        session=session,
        request_id=new_id(),
        now=datetime(2027, 3, 3, 8, 0, tzinfo=LONDON),
    )

    page, said = post(owner, "cutting_take_back", log.pk)

    assert said == ["Taken back: 2 sheets of LA."]
    assert (held("A425"), held("SHEET")) == (5, 14)
    assert page.context["logs"][0].work.is_taken_back


def test_what_the_sheets_complete_counts_no_square_twice(owner):
    items = a_bench(loose={"A425": 10})
    promise(items["RF-090"], 3)
    plan("LG", 1, a_session(SATURDAY))

    html = bench_html(owner)

    # LG gives 9 A388, 9 C200, 5 SQ350 good ones: 3 promised RF-090 take three squares,
    # two are left for one kind or the other. Worked by hand.
    assert "complete 5 × Ringfence set, 9 in, no piece counted twice." in html or (
        "complete 3 × Ringfence set, 9 in; and 2 × Sandglass set, 3 in, no piece"
        in html
    )


def test_a_layout_that_gives_no_whole_sets_is_named(owner):
    a_bench()

    html = bench_html(owner)

    # The fault planted in the demo: ten of two pieces and six squares.
    assert "Layout LG gives 10 A388 but 6 SQ350: four short for each sheet." in html


def queries_of(client):
    with CaptureQueriesContext(
        connection,
    ) as queries:
        client.get("/bench/")
    return len(queries)


def test_the_bench_asks_the_book_as_often_for_many_as_for_one(owner):
    items, session = the_morning()
    making.log_cutting(
        Layout.objects.get(code="LA"),
        sheets=1,
        spoiled=[(items["A425"], 1, "cracked", "")],
        session=session,
        request_id=new_id(),
        now=EARLY,
    )
    bench_html(owner)
    one = queries_of(owner)
    for n in range(3):
        later = a_session(date(2027, 3, 9 + n))
        plan("LB", 1, later)
        plan("LG", 1, later)
        making.log_cutting(
            Layout.objects.get(code="LG"),
            sheets=1,
            spoiled=[(items["SQ350"], 1, "cracked", "left edge")],
            session=later,
            request_id=new_id(),
            now=EARLY,
        )
        making.plan_making_up(
            items["SG-030"],
            count=4,
            session=later,
            request_id=new_id(),
            now=EARLY,
        )
        a_session(date(2027, 2, 20 + n))

    many = queries_of(owner)

    assert many == one
