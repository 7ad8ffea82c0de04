"""The pages of selling days, as Merle presses them."""

import re
from datetime import datetime, time, timedelta
from uuid import uuid4

import pytest
from django.urls import reverse

from inventory import actions as stock
from inventory.models import Outlet
from production import actions as making
from production.models import Batch, SellingDay
from production.queries.plans import plan_for
from tests.factories.production import (
    LONDON,
    MONDAY_1_FEB,
    a_channel,
    a_person,
    a_session,
    a_slot,
    a_workshop,
    an_item,
    held,
    new_id,
    the_studio,
)
from tests.production.test_selling_day_plan import SATURDAY_20, past_slots, story_three

pytestmark = pytest.mark.django_db
ON_AIR = datetime(2027, 3, 3, 15, 42, tzinfo=LONDON)


@pytest.fixture
def merle(client):
    client.force_login(a_person())
    return client


def at(moment):
    the_studio(clock_stands_at=moment)


def words_of(answer):
    text = re.sub(r"<[^>]+>", " ", answer.content.decode())
    return " ".join(text.replace("&#x27;", "'").replace("&amp;", "&").split())


def heading(answer):
    return re.search(r"<h1>(.*?)</h1>", answer.content.decode(), re.DOTALL)[1].strip()


def page(client, name, *args, **more):
    answer = client.get(reverse(f"production:{name}", args=args), **more)
    assert answer.status_code == 200
    return answer


def send(client, page_name, /, *args, **data):
    data.setdefault("request_id", str(uuid4()))
    return client.post(reverse(f"production:{page_name}", args=args), data, follow=True)


def test_the_list_says_what_is_next_and_what_earlier_days_sold(merle):
    items, slot = story_three()
    past_slots(items["RF-090"], [(26, False), (30, True)])
    at(MONDAY_1_FEB)

    answer = page(merle, "selling_days")

    assert heading(answer) == ("Next is Slot of 03 March 2027, on Wed 3 March, 15:00.")
    words = words_of(answer)
    assert "3 lines: 77 wanted, 0 there." in words
    assert "Slot of 01 April 2026 Wed 1 April 2026 – 26 0" in words
    assert "Slot of 01 May 2026 Fri 1 May 2026 – 30 1" in words
    assert slot.get_absolute_url() in answer.content.decode()


def test_an_empty_list_says_what_to_do_first(merle):
    at(MONDAY_1_FEB)

    answer = page(merle, "selling_days")

    assert heading(answer) == "No selling day is written down yet."
    assert reverse("production:selling_day_add") in answer.content.decode()


def test_a_selling_day_is_written_down_once_however_often_it_is_sent(merle):
    channel = a_channel()
    at(MONDAY_1_FEB)
    typed = {
        "request_id": str(uuid4()),
        "name": "April slot",
        "kind": "slot",
        "outlet": channel.pk,
        "day": "Thu 22 April 2027",
        "starts": "19:00",
        "ends": "20:00",
        "fixed_day": "18/3/2027",
        "fixed_clock": "17:00",
        "goods_in_day": "15 April",
        "goods_in_clock": "10.30",
    }

    send(merle, "selling_day_add", **typed)
    send(merle, "selling_day_add", **typed)

    [day] = SellingDay.objects.all()
    assert day.starts_at == datetime(2027, 4, 22, 19, 0, tzinfo=LONDON)
    assert day.fixed_by == datetime(2027, 3, 18, 17, 0, tzinfo=LONDON)
    assert day.goods_in_at == datetime(2027, 4, 15, 10, 30, tzinfo=LONDON)
    assert day.place == channel.place


@pytest.mark.parametrize(
    ("wrong", "sentence"),
    [
        ({"name": ""}, "What is it called? is empty."),
        ({"day": "31 April"}, "31 April does not exist"),
        ({"ends": "18:00"}, "comes before"),
        ({"starts": "25:00"}, "“25:00” is not a time of day."),
        ({"goods_in_day": "15 April"}, "Goods-in has a day or a time but not both."),
        ({"pitch": "-5"}, "below nought"),
        ({"crates": "two"}, "two does not fit here."),
        ({"outlet": "99"}, "Choose one from the list."),
    ],
    ids=lambda value: value if isinstance(value, str) else "",
)
def test_a_wrong_form_keeps_what_was_typed_and_says_what_is_wrong(
    merle, wrong, sentence
):
    channel = a_channel()
    at(MONDAY_1_FEB)
    typed = {
        "name": "April slot",
        "kind": "slot",
        "outlet": channel.pk,
        "day": "22 April",
        "starts": "19:00",
        "ends": "20:00",
        "note": "Ask for the blue table.",
    }

    answer = send(merle, "selling_day_add", **(typed | wrong))

    assert answer.status_code == 200
    assert sentence in words_of(answer)
    assert "Ask for the blue table." in answer.content.decode()
    assert SellingDay.objects.count() == 0


def test_a_day_can_be_moved_and_its_form_shows_what_stands(merle):
    _, slot = story_three()
    at(MONDAY_1_FEB)

    form = page(merle, "selling_day_change", slot.pk).content.decode()
    send(
        merle,
        "selling_day_change",
        slot.pk,
        name=slot.name,
        kind="slot",
        outlet=slot.outlet_id,
        day="10 March 2027",
        starts="15:00",
        ends="16:00",
    )

    slot.refresh_from_db()
    assert 'value="Thu 25 February 2027"' in form
    assert slot.starts_at == datetime(2027, 3, 10, 15, 0, tzinfo=LONDON)
    assert slot.goods_in_at is None


def test_terms_are_typed_in_pounds_and_kept_in_pence(merle):
    slot = a_slot()
    at(MONDAY_1_FEB)

    send(
        merle,
        "selling_day_terms",
        slot.pk,
        basis="sale-or-return",
        carton_charge="18.00",
        carton_holds="24",
        late_fine="5",
        post_within="2",
        direct_orders="on",
    )

    slot.refresh_from_db()
    terms = slot.terms
    assert (terms.carton_charge_pence, terms.carton_holds) == (1800, 24)
    assert (terms.late_fine_pence, terms.post_within_working_days) == (500, 2)
    assert (terms.direct_orders, terms.left_over_pence) == (True, None)


def test_the_page_opens_with_what_is_still_to_do(merle):
    _, slot = story_three()
    at(MONDAY_1_FEB)

    answer = page(merle, "selling_day_show", slot.pk)

    words = words_of(answer)
    assert heading(answer) == (
        "Four weeks to go: 18 sheets and 383 minutes of cutting, in four sessions."
    )
    assert "Make these batches" in words
    assert (
        "Order 1 box of 5 of SHEET by Mon 8 February at the latest, "
        "wanted on Tue 16 February. From Brindlewick Sheet."
    ) in words
    assert "Cutting must begin on Sat 6 February at the latest." in words
    assert "for RF-090 + 26" in words.replace("\xa0", " ")
    assert "<svg" in answer.content.decode()


def test_a_number_written_in_the_table_is_hers_and_the_plan_follows(merle):
    _, slot = story_three()
    at(MONDAY_1_FEB)
    lines = {line.item.code: line for line in slot.lines.select_related("item")}
    typed = {f"line-{line.pk}-price": "11.50" for line in lines.values()}
    typed |= {f"line-{lines['RF-090'].pk}-wanted": "0"}
    typed |= {f"line-{lines['SG-030'].pk}-wanted": "0"}
    typed |= {f"line-{lines['SG-090'].pk}-wanted": "1"}

    answer = send(merle, "selling_day_numbers", slot.pk, **typed)

    # One nine-inch pair, two cut for safety: LP twice is the cheapest; by hand.
    assert plan_for(slot, now=MONDAY_1_FEB).sheets_of == {"LP": 2}
    assert "2 sheets and 32 minutes of cutting, in one session" in heading(answer)


def test_a_wrong_number_is_shown_with_its_sentence_and_nothing_is_saved(merle):
    _, slot = story_three()
    at(MONDAY_1_FEB)
    first, second, third = slot.lines.order_by("pk")

    answer = send(
        merle,
        "selling_day_numbers",
        slot.pk,
        **{
            f"line-{first.pk}-wanted": "a few",
            f"line-{second.pk}-wanted": "27",
            f"line-{third.pk}-wanted": "-1",
        },
    )

    words = words_of(answer)
    assert "a few is not a number of goods this book can take." in words
    assert "-1 is not a number of goods this book can take." in words
    assert 'value="a few"' in answer.content.decode()
    assert [line.wanted for line in slot.lines.order_by("pk")] == [40, 26, 11]


def proposing():
    items, slot = story_three()
    past_slots(items["RF-090"], [(18, False), (24, False), (26, False), (40, True)])
    making.set_terms(slot, basis="sale-or-return", left_over_pence=840)
    making.set_line(slot, item=items["RF-090"], price_pence=1044)
    at(MONDAY_1_FEB)
    return slot.lines.get(item=items["RF-090"]), slot


def test_a_proposed_number_is_kept_with_one_tap(merle):
    line, slot = proposing()

    before = words_of(page(merle, "selling_day_show", slot.pk))
    send(
        merle,
        "selling_day_numbers",
        slot.pk,
        keep=f"{line.pk}:24",
        **{f"line-{line.pk}-wanted": ""},
    )

    # Half of the slots are enough at 24: half is wanted when both losses are equal.
    line.refresh_from_db()
    assert "Keep 24" in before
    assert "Sold before: 18, 24, 26, at least 40." in before
    assert (line.wanted, line.is_pinned) == (24, True)


def test_a_line_is_added_and_taken_off_again(merle):
    _, slot = story_three()
    bundle = an_item("FB-08", "bundle", 3, name="Cinderbeck Plains", is_sold=True)
    at(MONDAY_1_FEB)

    added = send(
        merle, "selling_day_line_add", slot.pk, item=bundle.pk, wanted="12", price=""
    )
    line = slot.lines.get(item=bundle)
    drop = reverse("production:selling_day_line_drop", args=[slot.pk, line.pk])
    offered = drop in added.content.decode()
    send(merle, "selling_day_line_drop", slot.pk, line.pk)
    send(merle, "selling_day_line_drop", slot.pk, line.pk)

    assert offered
    assert line.wanted == 12
    assert not slot.lines.filter(item=bundle).exists()


def test_a_line_without_goods_is_asked_for_again(merle):
    _, slot = story_three()
    at(MONDAY_1_FEB)

    answer = send(merle, "selling_day_line_add", slot.pk, wanted="4")

    assert "Choose what is offered." in words_of(answer)
    assert slot.lines.count() == 3


def test_the_biggest_button_writes_the_batches_and_one_press_takes_them_back(merle):
    _, slot = story_three()
    at(MONDAY_1_FEB)
    fingerprint = plan_for(slot, now=MONDAY_1_FEB).fingerprint
    pressed = {"plan": fingerprint, "request_id": str(uuid4())}

    send(merle, "selling_day_batches", slot.pk, **pressed)
    answer = send(merle, "selling_day_batches", slot.pk, **pressed)

    cutting = Batch.objects.filter(kind="cutting", state="planned")
    assert sum(batch.count for batch in cutting) == 18
    assert "The batches are on the bench" in words_of(answer)
    assert "These batches are written" in words_of(answer)
    assert "Make these batches" not in words_of(answer)
    [url] = re.findall(
        r'action="([^"]+batches/\d+/take-back/)"', answer.content.decode()
    )

    merle.post(url, {"request_id": str(uuid4())})

    assert Batch.objects.filter(state="planned").count() == 0


def test_a_plan_that_moved_is_shown_anew_instead_of_written(merle):
    items, slot = story_three()
    at(MONDAY_1_FEB)
    fingerprint = plan_for(slot, now=MONDAY_1_FEB).fingerprint
    making.set_line(slot, item=items["RF-090"], wanted=1)

    answer = send(merle, "selling_day_batches", slot.pk, plan=fingerprint)

    assert "have changed since this page was opened" in words_of(answer)
    assert Batch.objects.count() == 0


def test_a_saturday_that_falls_out_says_what_finds_no_session(merle):
    _, slot = story_three()
    making.cancel_session(a_session(SATURDAY_20, time(9), time(12)), note="Away.")
    at(MONDAY_1_FEB)

    words = words_of(page(merle, "selling_day_show", slot.pk))

    plan = plan_for(slot, now=MONDAY_1_FEB)
    assert f"find no session: {plan.minutes_missing} minutes are missing." in words
    assert "Ask the helper for another session" in words


def test_goods_are_sent_once_and_brought_back_with_one_press(merle):
    items, slot = a_workshop(sets={"RF-090": 30}), a_slot()
    line = making.set_line(slot, item=items["RF-090"], wanted=48)
    at(MONDAY_1_FEB)
    shown = page(merle, "selling_day_send", slot.pk).content.decode()
    typed = {"request_id": str(uuid4()), f"line-{line.pk}-going": "30"}

    send(merle, "selling_day_send", slot.pk, **typed)
    answer = send(merle, "selling_day_send", slot.pk, **typed)

    assert 'value="30"' in shown
    assert held("RF-090", place="tinderbrook") == 30
    assert heading(answer) == f"18 are still to go to {slot.name}."
    [url] = re.findall(r'action="([^"]+send/\d+/take-back/)"', answer.content.decode())
    merle.post(url, {"request_id": str(uuid4())})
    line.refresh_from_db()
    assert (line.sent, held("RF-090", place="tinderbrook")) == (0, 0)


def test_more_than_is_free_is_refused_with_what_was_typed_kept(merle):
    items, slot = a_workshop(sets={"RF-090": 30}), a_slot()
    line = making.set_line(slot, item=items["RF-090"], wanted=48)
    at(MONDAY_1_FEB)

    answer = send(merle, "selling_day_send", slot.pk, **{f"line-{line.pk}-going": "31"})

    assert "31 of RF-090 were to go and 30 are free" in words_of(answer)
    assert 'value="31"' in answer.content.decode()
    assert held("RF-090", place="tinderbrook") == 0


def test_the_list_to_pack_by_is_a_paper_with_boxes(merle):
    items, slot = a_workshop(), a_slot()
    making.set_line(
        slot, item=items["RF-090"], wanted=48, price_pence=1150, their_number="T-77"
    )
    at(MONDAY_1_FEB)

    answer = page(merle, "selling_day_list", slot.pk, data={"as": "page"})

    words = words_of(answer)
    assert "RF-090 Ringfence set, 9 in T-77 48 0 £11.50" in words
    assert 'class="tick"' in answer.content.decode()


def test_three_taps_a_line_on_air(merle):
    items, slot = a_workshop(sets={"RF-090": 48}), a_slot()
    making.set_line(slot, item=items["RF-090"], wanted=48)
    making.send_goods(
        slot, {items["RF-090"]: 48}, request_id=new_id(), now=MONDAY_1_FEB
    )
    line = slot.lines.get()
    at(ON_AIR)

    first = page(merle, "selling_day_tally", slot.pk)
    send(merle, "selling_day_tap", slot.pk, line.pk, gone="5")
    second = send(merle, "selling_day_tap", slot.pk, line.pk, gone="5")
    out = send(merle, "selling_day_sold_out", slot.pk, line.pk)

    assert heading(first) == "Minute 42 of 60."
    assert "5 gone, 43 left" in words_of(second)
    assert "Sold out at minute 42." in words_of(out)
    line.refresh_from_db()
    assert (line.sold, line.sold_out_minute) == (48, 42)


def test_the_last_tap_is_taken_back_once(merle):
    items, slot = a_workshop(), a_slot()
    line = making.set_line(slot, item=items["RF-090"], wanted=48)
    making.record_tally(line, minute=3, gone=1)
    making.record_tally(line, minute=9, gone=6)
    at(ON_AIR)

    send(merle, "selling_day_tap_take_back", slot.pk, line.pk, gone="6")
    send(merle, "selling_day_tap_take_back", slot.pk, line.pk, gone="6")

    line.refresh_from_db()
    assert (line.sold, line.tallies.count()) == (1, 1)


@pytest.mark.parametrize(
    ("typed", "sentence"),
    [
        ({"gone": "many"}, "many is not a number of goods"),
        ({"gone": ""}, "No number came. Tap again, please."),
        ({"gone": "2"}, "6 of RF-090 had gone by minute 9"),
        ({"gone": "7", "request_id": "x"}, "Open it again and send it from there."),
    ],
    ids=["words", "nothing", "fewer", "stale"],
)
def test_a_wrong_tap_says_why_and_counts_nothing(merle, typed, sentence):
    items, slot = a_workshop(), a_slot()
    line = making.set_line(slot, item=items["RF-090"], wanted=48)
    making.record_tally(line, minute=9, gone=6)
    at(ON_AIR)

    answer = send(merle, "selling_day_tap", slot.pk, line.pk, **typed)

    assert sentence in words_of(answer)
    line.refresh_from_db()
    assert line.sold == 6


def test_a_tap_that_was_held_back_counts_for_its_own_minute(merle):
    items, slot = a_workshop(), a_slot()
    line = making.set_line(slot, item=items["RF-090"], wanted=48)
    at(ON_AIR)

    send(merle, "selling_day_tap", slot.pk, line.pk, gone="4", minute="20")

    assert [(t.minute, t.gone) for t in line.tallies.all()] == [(20, 4)]


def test_a_day_that_is_over_asks_what_was_sold(merle):
    items, slot = a_workshop(), a_slot()
    line = making.set_line(slot, item=items["RF-090"], wanted=48)
    at(ON_AIR + timedelta(days=1))

    before = page(merle, "selling_day_show", slot.pk)
    after = send(
        merle,
        "selling_day_sold",
        slot.pk,
        **{f"line-{line.pk}-sold": "48", f"line-{line.pk}-sold_out_minute": "42"},
    )
    wrong = send(
        merle,
        "selling_day_sold",
        slot.pk,
        **{f"line-{line.pk}-sold": "48", f"line-{line.pk}-sold_out_minute": "90"},
    )

    assert heading(before) == "It is over, and nobody has written what was sold."
    assert heading(after) == "It is over: 48 sold."
    assert "Minute 90 is outside the selling day" in words_of(wrong)
    line.refresh_from_db()
    assert (line.sold, line.sold_out_minute) == (48, 42)


@pytest.mark.parametrize("role", ["workshop", "packer"])
def test_the_numbers_of_a_selling_day_are_the_owners(client, role):
    slot = a_slot()
    at(MONDAY_1_FEB)
    client.force_login(a_person("Posy Oakenby", role))

    answer = client.get(slot.get_absolute_url())

    assert answer.status_code == 403


def lines_on(slot, numbers):
    for number in numbers:
        item = an_item(f"FB-{number}", "bundle", 1, is_sold=True)
        making.set_line(slot, item=item, wanted=1)


# Asked once a page: session, person, settings, the day, terms, lines and batches, what
# may be added, and those of a plan; for the list coming days, past days and their count.
@pytest.mark.parametrize(
    ("name", "queries"),
    [
        ("selling_day_show", 32),
        ("selling_day_send", 9),
        ("selling_day_tally", 5),
        ("selling_day_list", 6),
    ],
)
def test_a_page_of_many_lines_asks_no_more_than_one_of_few(
    merle, django_assert_num_queries, name, queries
):
    items, slot = story_three()
    past_slots(items["RF-090"], [(18, False), (40, True)])
    making.set_line(slot, item=items["RF-090"])
    at(MONDAY_1_FEB)
    url = f"{reverse(f'production:{name}', args=[slot.pk])}?as=page"
    for numbers in (range(1), range(1, 3), range(3, 300)):
        lines_on(slot, numbers)

        with django_assert_num_queries(queries):
            merle.get(url)

    assert slot.lines.count() == 303


def test_a_list_of_many_days_asks_no_more_than_one_of_few(
    merle, django_assert_num_queries
):
    at(MONDAY_1_FEB)
    url = reverse("production:selling_days")
    for many in (1, 3, 30):
        for number in range(many):
            a_slot(ON_AIR + timedelta(days=many + number, hours=many % 7))
            a_slot(MONDAY_1_FEB - timedelta(days=400 - many - number, hours=many % 7))

        # Session, person, settings; coming days, past days, how many are past.
        with django_assert_num_queries(6):
            merle.get(url)


def test_a_take_list_for_a_fair_shows_what_the_web_asks(merle):
    items = a_workshop()
    web = Outlet.objects.create(code="web", name="Web shop", kind="web")
    fairs = Outlet.objects.create(code="fair", name="Craft fairs", kind="fair")
    for outlet, pence in ((web, 2100), (a_channel(), 1150)):
        stock.set_price(
            items["RF-090"], outlet=outlet, price_pence=pence, valid_from=SATURDAY_20
        )
    fair = a_slot(kind="fair", outlet=fairs, name="Spring fair", hours=6)
    making.set_line(fair, item=items["RF-090"], wanted=4)
    at(MONDAY_1_FEB)

    words = words_of(page(merle, "selling_day_list", fair.pk, data={"as": "page"}))

    assert "Take these to Spring fair." in words
    assert "RF-090 Ringfence set, 9 in 4 0 £21.00" in words


def test_a_repeat_sends_her_to_the_tally_of_its_first_hour(merle):
    items, slot = a_workshop(), a_slot()
    repeat = a_slot(ON_AIR + timedelta(hours=20), kind="repeat", repeat_of=slot)
    for code in ("RF-090", "SG-030"):
        making.set_line(slot, item=items[code], wanted=48)
        making.set_line(repeat, item=items[code])
    at(MONDAY_1_FEB)

    answer = page(merle, "selling_day_show", repeat.pk)

    assert "Tally the first hour" in words_of(answer)
    assert reverse("production:selling_day_tally", args=[slot.pk]) in (
        answer.content.decode()
    )
    assert (
        "Ringfence set, 9 in, Sandglass set, 3 in: Its number follows from the first "
        "hour: tally that, then look again."
    ) in words_of(answer)
