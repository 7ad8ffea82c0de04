"""The Post page of the demo's day: what can go, what stays, and whom to tell."""

from datetime import date, datetime

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from inventory.models import Item
from orders import actions as desk
from orders.models import Message, Order, Packet, PostRun
from orders.queries import planned_goods
from orders.queries.post_day import post_day
from orders.queries.post_words import headline, next_step, post_sentences
from orders.queries.telling import people_to_tell
from studio.days import LONDON
from studio.models import Counter, PostStop, StudioSettings
from tests.factories.orders import a_person, asked, new_id
from tests.orders.post_world import MORNING, build_loft, person
from tests.orders.world import PLANNED

pytestmark = pytest.mark.django_db
SIX = datetime(2027, 3, 3, 18, 0, tzinfo=LONDON)


@pytest.fixture
def loft():
    build_loft()


@pytest.fixture
def owner(client, loft):
    client.force_login(person("owner"))
    return client


@pytest.fixture
def packer(client, loft):
    client.force_login(person("packer"))
    return client


def words_of(page):
    return " ".join(page.content.decode().split())


def print_slips(client, first=1):
    sent = {"request_id": str(new_id()), "first": str(first)}
    return client.post("/post/print/", sent)


def take_another(number="L-0461", code="GD-REF", **more):
    order = asked((Item.objects.get(code=code), 1, 325), number=number, **more)
    return desk.take_order(order, request_id=new_id(), now=MORNING)


# ------------------------------------------------------------ the first sentence


# The figures of these sentences were worked by hand: 20 packets, £53.95, 95 minutes.
def test_the_page_says_what_can_go_and_the_biggest_thing_is_to_print(owner):
    page = owner.get("/post/")

    said = words_of(page)
    assert (
        "<h1>20 packets can go today: £53.95 and one at the counter; "
        "Posy ends by 14:35.</h1>" in said
    )
    assert page.context["step"].words == "Print today’s slips"
    assert "Leave by 16:30; the last collection is at 16:45." in said


def test_each_packet_stands_with_its_wrap_format_service_postage_and_minutes(packer):
    said = words_of(packer.get("/post/"))

    assert (
        "<b>Box</b><br>Small parcel, next-day, <b>needed by Sun 7 March</b><br> "
        "£5.60, 9 minutes, 780 g" in said
    )
    assert "<b>Letter envelope</b><br>Letter, standard<br>" in said
    assert "price at the counter, 6 minutes, 143 g" in said


def test_joined_doorsteps_and_the_surname_next_door_are_told(packer):
    said = words_of(packer.get("/post/"))

    assert (
        "L-0439, L-0447 and L-0455 are one doorstep: one parcel at £4.30 instead of "
        "£8.60." in said
    )
    assert "L-0459 has the same surname at another address: not joined." in said


def test_what_stays_is_named_with_its_reason_and_leads_to_its_order(packer):
    page = packer.get("/post/")

    assert [state.number for state in page.context["day"].waiting] == [
        "L-0433",
        "L-0440",
        "L-0442",
        "L-0443",
        "L-0451",
        "L-0453",
        "L-0454",
    ]
    url = Order.objects.get(number="L-0440").get_absolute_url()
    assert f'<a href="{url}">L-0440, Ione Ravelin</a>: <b>not paid yet</b>' in words_of(
        page
    )


# Worked by hand: no post on Fri 5 and Sat 6, delivery Monday to Saturday.
def test_a_stoppage_is_told_by_what_it_does_to_todays_and_tomorrows_post(loft):
    assert post_sentences(post_day(MORNING)) == [
        "No post on Fri 5 and Sat 6 March.",
        "Posted today, next-day arrives tomorrow (Thu 4 March), standard on Tue 9 March.",
        "Posted on Thu 4 March, next-day arrives on Mon 8 March, "
        "standard on Wed 10 March.",
    ]


# Worked by hand: Wed 3 March posts standard on Thu 4, Fri 5, Sat 6.
def test_without_a_stoppage_only_todays_arrival_is_told(loft):
    PostStop.objects.all().delete()

    assert post_sentences(post_day(MORNING)) == [
        "Posted today, next-day arrives tomorrow (Thu 4 March), standard on Sat 6 March."
    ]


def test_a_stoppage_over_the_end_of_a_month_names_both_months(loft):
    PostStop.objects.update(first_day=date(2027, 2, 28), last_day=date(2027, 3, 1))
    before = datetime(2027, 2, 27, 9, 0, tzinfo=LONDON)

    assert post_sentences(post_day(before))[0] == (
        "No post on Sun 28 February and Mon 1 March."
    )


def test_when_the_counter_takes_too_few_the_page_says_where_to_stop(loft):
    Counter.objects.update(packets_a_visit=2)

    assert headline(post_day(MORNING)) == (
        "2 of 20 packets can go today: stop after L-0435; Posy ends by 13:16."
    )


def test_after_the_last_collection_the_next_day_is_meant(loft):
    # Three gifts fall away as too late: 17 packets, 95 - 7 - 9 - 7 = 72 minutes.
    day = post_day(SIX, planned=PLANNED)

    assert headline(day) == (
        "17 packets can go on Thu 4 March: £41.35 and one at the counter; "
        "Posy ends by 14:12."
    )
    assert next_step(day).words == "Print the slips on Thu 4 March"


def test_a_post_that_is_not_set_up_says_what_to_write_first(client):
    StudioSettings.objects.create(pk=1, name="The loft", clock_stands_at=MORNING)
    client.force_login(a_person())

    said = words_of(client.get("/post/"))

    assert "No post counter is set up." in said
    assert 'href="/studio/days/"' in said


def test_the_workshop_is_not_let_into_the_post(client, loft):
    client.force_login(person("workshop"))

    assert client.get("/post/").status_code == 403


# ------------------------------------------------------------ making the run


def test_printing_freezes_the_numbers_and_opens_the_papers(owner):
    answer = print_slips(owner)

    run = PostRun.objects.get()
    assert answer.url == f"/post/run/{run.pk}/papers/"
    assert list(run.packets.values_list("number", flat=True)) == list(range(1, 21))
    assert run.by == person("owner")


def test_printing_twice_makes_one_run_and_gives_no_new_numbers(owner):
    print_slips(owner)
    codes = set(Packet.objects.values_list("short_code", flat=True))

    again = print_slips(owner)

    assert again.url == f"/post/run/{PostRun.objects.get().pk}/papers/"
    assert set(Packet.objects.values_list("short_code", flat=True)) == codes


def test_later_orders_add_only_new_slips(owner):
    print_slips(owner)
    for number, name in [("L-0461", "Ada Fen"), ("L-0462", "Ida Moss")]:
        take_another(
            number, buyer=name, address=f"{number[-1]} Mill Row, Orrin, ZY1 4AA"
        )
    take_another("L-0463", buyer="Una Holt", address="9 Weir Lane, Orrin, ZY1 4AB")

    page = owner.get("/post/")
    answer = print_slips(owner, first=page.context["first_new"])

    assert page.context["step"].words == "Print the 3 new slips"
    assert page.context["step"].why == (
        "3 new packets since the slips were printed: print only those."
    )
    papers = owner.get(answer.url)
    assert [packet.number for packet in papers.context["packets"]] == [21, 22, 23]
    assert "Papers for 3 packets of Wed 3 March: only those." in words_of(papers)


def test_a_page_sent_without_its_number_makes_no_run(owner):
    page = owner.post("/post/print/", {}, follow=True)

    assert PostRun.objects.count() == 0
    assert "This page cannot be sent as it is." in words_of(page)


def test_when_everything_is_packed_the_pile_goes_to_the_counter(owner):
    print_slips(owner)
    for packet in Packet.objects.all():
        desk.set_packet_packed(packet, now=MORNING)

    page = owner.get("/post/")

    assert page.context["step"].words == "Take 20 packets to the counter"
    assert "20 packets are packed: £53.95 and one at the counter." in words_of(page)


def test_when_all_is_posted_nothing_is_left_to_do(owner):
    print_slips(owner)
    desk.post_packets(Packet.objects.all(), request_id=new_id(), now=MORNING)

    page = owner.get("/post/")

    assert "20 are posted today, and nothing else can go." in words_of(page)
    assert page.context["step"].kind == "nothing"


def test_one_order_or_many_ask_the_book_as_often(owner):
    with CaptureQueriesContext(connection) as before:
        owner.get("/post/")
    for number in range(12):
        take_another(
            f"M-{number:04}",
            buyer=f"Buyer {number}",
            address=f"{number + 1} Long Row, Orrin, ZY3 4AA",
        )

    with CaptureQueriesContext(connection) as after:
        page = owner.get("/post/")

    assert len(page.context["rows"]) == 32
    assert len(after) == len(before)


# ------------------------------------------------------------ what is planned


def test_the_page_hears_from_the_wiring_when_more_is_made(owner, monkeypatch):
    monkeypatch.setattr(planned_goods, "_told", [lambda now: PLANNED])

    said = words_of(owner.get("/post/"))

    assert "L-0451 cannot be met: SG-045 is next cut on Sat 6 March." in said


# ------------------------------------------------------------ whom to tell


def to_tell(now=MORNING):
    return {
        one.number: one
        for one in people_to_tell(post_day(now, planned=PLANNED), "Merle, the loft")
    }


# Worked by hand: cut on Sat 6, posted Mon 8; standard Tue 9, Wed 10, Thu 11 March.
def test_a_late_order_is_told_the_latest_likely_day(loft):
    one = to_tell()["L-0433"]

    assert one.text == (
        "Dear Bettina Tolliver-Nash,\n\n“Sandglass set, 4½ in” of your order L-0433 is "
        "not ready yet. We expect to post on Mon 8 March, so that it is likely to be "
        "with you by Thu 11 March. The rest of your order is kept for you. If you "
        "would rather not wait, say so and we pay the money back.\n\nMerle, the loft"
    )
    assert one.about == "delay to Thu 11 March"


# Worked by hand: cut on Sat 6, posted Mon 8, next-day on Tue 9 March.
def test_a_gift_that_comes_late_is_told_so_with_what_can_be_done(loft):
    text = to_tell()["L-0451"].text

    assert "your gift, L-0451, cannot arrive by Sun 7 March" in text
    assert "likely to be there by Tue 9 March" in text
    assert "you could fetch it from us or we can post a card today" in text


# Worked by hand: asked at 18:00, next-day on Thu 4 is Mon 8; the courier brings it Fri 5.
def test_a_gift_asked_too_late_is_offered_the_courier(loft):
    text = to_tell(SIX)["L-0434"].text

    assert "likely to be there by Mon 8 March" in text
    assert "a courier could bring it on Fri 5 March for £9.80" in text


def test_what_cannot_be_had_again_is_told_with_the_money_that_goes_back(loft):
    text = to_tell()["L-0453"].text

    assert "cannot be had any more" in text
    assert "We can pay back £46.00 at once" in text


def test_nobody_is_told_of_what_is_not_paid_or_is_fetched(loft):
    assert sorted(to_tell()) == ["L-0433", "L-0451", "L-0453"]


def tell(client, number):
    one = to_tell()[number]
    sent = {"request_id": str(new_id()), "about": one.about, "text": one.text}
    return client.post(f"/post/told/{number}/", sent, follow=True)


@pytest.fixture
def planned(monkeypatch):
    monkeypatch.setattr(planned_goods, "_told", [lambda now: PLANNED])


def test_telling_is_noted_once_and_shown(owner, planned):
    tell(owner, "L-0453")
    page = tell(owner, "L-0453")

    note = Message.objects.get()
    assert (note.order.number, note.said_at) == ("L-0453", MORNING)
    assert "Told on Wed 3 March, 08:30: gone." in words_of(page)


def test_a_note_can_be_taken_back(owner, planned):
    page = tell(owner, "L-0453")

    owner.post(page.context["undo"]["url"], {"request_id": str(new_id())})

    assert Message.objects.count() == 0


def test_a_new_day_is_a_new_thing_to_tell(owner, planned, monkeypatch):
    tell(owner, "L-0433")
    later = {"SG-045": type(PLANNED["SG-045"])(date(2027, 3, 13), "Cut on Sat 13.")}
    monkeypatch.setattr(planned_goods, "_told", [lambda now: later])

    page = owner.get("/post/")

    by_number = {one.number: one for one in page.context["to_tell"]}
    assert by_number["L-0433"].told is None
    assert "Thu 18 March" in by_number["L-0433"].text


def test_only_the_owner_tells(packer):
    page = packer.get("/post/")

    assert "Whom to tell" not in words_of(page)
    assert tell(packer, "L-0453").status_code == 403


def test_an_empty_telling_is_not_noted(owner):
    sent = {"request_id": str(new_id()), "about": "gone", "text": " "}
    page = owner.post("/post/told/L-0453/", sent, follow=True)

    assert Message.objects.count() == 0
    assert "Keep the words that were sent, please." in words_of(page)


def test_a_short_order_that_sends_part_is_told_that_the_rest_follows_free(loft):
    desk.send_part(Order.objects.get(number="L-0433"))

    text = to_tell()["L-0433"].text

    assert "The rest of your order leaves now; you pay no second postage." in text
