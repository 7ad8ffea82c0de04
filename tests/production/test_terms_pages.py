"""The pages of terms and guesses, days that are over, and a slot's repeat."""

import re
from datetime import datetime, timedelta

import pytest
from django.urls import reverse

from inventory.models import Outlet
from production import actions as making
from production.errors import DayHasHistory
from production.models import Line, SellingDay, Terms
from production.queries.day_numbers import demand_for
from studio.days import ClockSkipped
from tests.factories.production import (
    LONDON,
    MONDAY_1_FEB,
    a_channel,
    a_person,
    a_slot,
    a_workshop,
    an_item,
    new_id,
    the_studio,
)

pytestmark = pytest.mark.django_db
ON_AIR = datetime(2027, 3, 3, 15, 0, tzinfo=LONDON)


@pytest.fixture
def merle(client):
    the_studio(clock_stands_at=MONDAY_1_FEB)
    client.force_login(a_person())
    return client


def words_of(answer):
    text = re.sub(r"<[^>]+>", " ", answer.content.decode())
    return " ".join(text.replace("&#x27;", "'").replace("&amp;", "&").split())


def heading(answer):
    return re.search(r"<h1>(.*?)</h1>", answer.content.decode(), re.DOTALL)[1].strip()


def send(client, page_name, /, *args, **data):
    data.setdefault("request_id", str(new_id()))
    return client.post(reverse(f"production:{page_name}", args=args), data, follow=True)


# ------------------------------------------------------------------ terms

FULL_TERMS = {
    "basis": "sale-or-return",
    "commission": "17.5",
    "card_fee": "1.69%",
    "card_fee_each": "5p",
    "carriage_out": "24.00",
    "carton_charge": "18.00",
    "carton_holds": "20",
    "carton_most": "15000",
    "return_carriage": "0.35",
    "spoiled": "10",
    "customer_returns": "4",
    "direct_orders": "on",
    "post_within": "2",
    "late_fine": "5.00",
    "postage_help": "2.00",
    "statement_to": "31/3/2027",
    "paid_on": "30/4/2027",
    "repeat_share": "55",
}


def test_every_part_of_an_offer_is_kept_exactly_and_shown_as_it_was_typed(merle):
    slot = a_slot()

    send(merle, "selling_day_terms", slot.pk, **FULL_TERMS)
    again = merle.get(reverse("production:selling_day_terms", args=[slot.pk]))

    kept = Terms.objects.get()
    assert (
        kept.commission_ten_thousandths,
        kept.card_fee_ten_thousandths,
        kept.card_fee_pence,
        kept.carriage_out_pence,
        kept.return_carriage_pence,
        kept.carton_most_grams,
    ) == (1750, 169, 5, 2400, 35, 15_000)
    assert (kept.spoiled_hundredths, kept.customer_returns_hundredths) == (10, 4)
    shown = again.content.decode()
    boxes = dict(re.findall(r'name="(\w+)" value="([^"]*)"', shown))
    assert (boxes["commission"], boxes["card_fee"]) == ("17.5", "1.69")
    assert (boxes["carton_most"], boxes["customer_returns"]) == ("15000", "4")


@pytest.mark.parametrize(
    ("wrong", "sentence"),
    [
        ({"commission": "140"}, "“140” is not a share of a hundred."),
        ({"commission": "12.345"}, "“12.345” is not a share of a hundred."),
        ({"commission": "-3"}, "“-3” is not a share of a hundred."),
        ({"commission": "99", "card_fee": "1"}, "nothing is left of the price"),
        ({"spoiled": "101"}, "101 does not fit here."),
        ({"customer_returns": "4.5"}, "4.5 does not fit here."),
        ({"return_carriage": "-1"}, "below nought"),
        ({"carton_holds": "0"}, "0 is not a number of goods"),
        ({"carton_most": "7"}, "7 does not fit here."),
        ({"post_within": ""}, "within how many working days you must post one"),
        ({"statement_to": "2 March 2027"}, "comes before the selling day"),
        ({"paid_on": "30 March 2027"}, "comes before the statement"),
        ({"basis": "gift"}, "Choose one from the list."),
    ],
    ids=lambda value: value if isinstance(value, str) else "",
)
def test_wrong_terms_keep_what_was_typed_and_say_what_is_wrong(merle, wrong, sentence):
    slot = a_slot()

    answer = send(merle, "selling_day_terms", slot.pk, **(FULL_TERMS | wrong))

    assert sentence in words_of(answer)
    for typed in wrong.values():
        assert (
            typed == "gift"
            or f'value="{typed}"' in answer.content.decode()
            or not typed
        )
    assert Terms.objects.count() == 0


@pytest.mark.parametrize(
    ("kind", "basis"),
    [
        ("slot", "sale-or-return"),
        ("repeat", "sale-or-return"),
        ("fair", "own"),
        ("online", "own"),
    ],
)
def test_terms_begin_with_what_is_usual_for_such_a_day(merle, kind, basis):
    day = a_slot(kind=kind)

    answer = merle.get(reverse("production:selling_day_terms", args=[day.pk]))

    assert f'value="{basis}" selected' in answer.content.decode()


# ------------------------------------------------------------------ guesses


def lines_of_two_records():
    """RF-090 sold 18, 22 and 24 before; nothing is known of SG-030."""
    items = a_workshop()
    for month, sold in ((10, 18), (11, 22), (12, 24)):
        past = a_slot(datetime(2026, month, 3, 15, 0, tzinfo=LONDON))
        line = making.set_line(past, item=items["RF-090"], wanted=40)
        Line.objects.filter(pk=line.pk).update(sent=40, sold=sold)
    slot = a_slot()
    return slot, [
        making.set_line(slot, item=items[code]) for code in ("RF-090", "SG-030")
    ]


def guess(line, low="", likely="", high="", draws="100"):
    boxes = {"low": low, "likely": likely, "high": high, "draws": draws}
    return {f"line-{line.pk}-{name}": typed for name, typed in boxes.items()}


def test_a_line_that_nobody_knows_asks_for_her_guess_and_calls_it_one(merle):
    slot, (known, unknown) = lines_of_two_records()
    url = reverse("production:selling_day_guesses", args=[slot.pk])

    before = merle.get(url)
    after = send(
        merle,
        "selling_day_guesses",
        slot.pk,
        **guess(known, "10", "20", "30"),
        **guess(unknown, "10", "20", "30"),
    )

    assert heading(before).startswith("Nothing is known of one line:")
    assert "Sold before: 18, 22, 24." in words_of(before)
    assert "by your guess alone" in words_of(after)
    assert re.search(r"\d+ parts in 100 of that are your guess", words_of(after))
    unknown.refresh_from_db()
    assert (unknown.guess_low, unknown.guess_likely, unknown.guess_high) == (10, 20, 30)


@pytest.mark.parametrize(
    ("typed", "sentence"),
    [
        (("30", "20", "10"), "The guess reads low 30, likely 20, high 10."),
        (("0", "0", "0"), "the last above nought, please."),
        (("10", "", "30"), "Write all three, or none."),
        (("ten", "20", "30"), "ten is not a number of goods"),
        (("10", "20", "30", "0"), "0 does not fit here."),
    ],
    ids=str,
)
def test_a_guess_out_of_order_is_a_sentence_and_stays_typed(merle, typed, sentence):
    slot, (line, _) = lines_of_two_records()

    answer = send(merle, "selling_day_guesses", slot.pk, **guess(line, *typed))

    assert sentence in words_of(answer)
    assert f'value="{typed[0]}"' in answer.content.decode()
    assert not Line.objects.filter(guess_low__isnull=False).exists()


def test_a_guess_can_be_taken_away_again(merle):
    slot, (line, _) = lines_of_two_records()
    making.set_guess(line, low=1, likely=2, high=3)

    send(merle, "selling_day_guesses", slot.pk, **guess(line))

    line.refresh_from_db()
    assert (line.guess_low, line.guess_high) == (None, None)


def test_an_hour_that_draws_half_wants_half_of_what_the_record_says():
    slot, (line, _) = lines_of_two_records()
    ordinary = demand_for(slot, [line])[line.pk].mean

    making.change_selling_day(slot, draws_hundredths=50)
    half = demand_for(slot, [line])[line.pk].mean

    # The record's own days stay whole: only the coming day is scaled.
    assert half == pytest.approx(ordinary / 2, rel=0.05)


def test_a_page_of_many_guesses_asks_no_more_than_one_of_few(
    merle, django_assert_num_queries
):
    slot, lines = lines_of_two_records()
    url = reverse("production:selling_day_guesses", args=[slot.pk])
    items = a_workshop_of_many(30)

    # Session, person, settings, day and lines; past lines, tallies, repeats, twice.
    with django_assert_num_queries(9):
        merle.get(url)
    for item in items:
        making.set_line(slot, item=item)
    with django_assert_num_queries(9):
        merle.get(url)

    assert slot.lines.count() == len(lines) + len(items)


def a_workshop_of_many(count):
    return [an_item(f"FB-{n}", "bundle", 1, is_sold=True) for n in range(count)]


# ------------------------------------------------------------------ days that are over


def a_day_typed(**more):
    return {
        "name": "January slot",
        "kind": "slot",
        "outlet": a_channel().pk,
        "day": "13 January 2027",
        "starts": "15:00",
        "ends": "16:00",
    } | more


def test_a_day_that_is_over_is_asked_about_and_then_asks_what_was_sold(merle):
    items = a_workshop()

    asked = send(merle, "selling_day_add", **a_day_typed())
    none_yet = SellingDay.objects.count()
    answer = send(merle, "selling_day_add", **a_day_typed(is_over="on"))
    [day] = SellingDay.objects.all()
    offered = send(merle, "selling_day_line_add", day.pk, item=items["RF-090"].pk)

    assert "It is over: it ended on Wed 13 January, 16:00, 2027." in words_of(asked)
    assert "Write what was sold instead?" in words_of(asked)
    assert (none_yet, 'name="is_over"' in asked.content.decode()) == (0, True)
    assert heading(answer) == "It is over, and nobody has written what was sold."
    assert "Ringfence set, 9 in" in words_of(offered)
    assert "Sold out at minute" in words_of(offered)


def test_a_day_to_come_is_not_asked_about(merle):
    page = merle.get(reverse("production:selling_day_add")).content.decode()

    send(merle, "selling_day_add", **a_day_typed(day="13 March 2027"))

    assert 'name="is_over"' not in page
    assert SellingDay.objects.count() == 1


def test_a_day_that_was_over_already_can_be_changed_without_being_asked(merle):
    day = a_slot(datetime(2027, 1, 13, 15, 0, tzinfo=LONDON))
    typed = a_day_typed(outlet=day.outlet_id, name="Its right name")

    send(merle, "selling_day_change", day.pk, **typed)

    assert SellingDay.objects.get().name == "Its right name"


@pytest.mark.parametrize(
    "boxes",
    [
        {"starts": "01:30", "ends": "03:00"},
        {"starts": "00:30", "ends": "01:59"},
        {"goods_in_day": "28 March 2027", "goods_in_clock": "01:00"},
    ],
    ids=str,
)
def test_a_time_that_the_clocks_skip_is_told_with_the_time_that_is_meant(merle, boxes):
    # On the last Sunday of March at 01:00 Greenwich time clocks in Britain show 02:00:
    # Summer Time Act 1972, section 1, as amended.
    a_day = {"day": "28 March 2027", "starts": "15:00", "ends": "16:00"}

    answer = send(merle, "selling_day_add", **a_day_typed(**(a_day | boxes)))

    assert "on Sun 28 March 2027: the clocks go forward from 01:00" in words_of(answer)
    assert SellingDay.objects.count() == 0


@pytest.mark.parametrize(("starts", "ends"), [("00:59", "02:00"), ("02:00", "03:30")])
def test_the_hours_beside_the_skipped_one_are_there(merle, starts, ends):
    typed = a_day_typed(day="28 March 2027", starts=starts, ends=ends)

    send(merle, "selling_day_add", **typed)

    assert SellingDay.objects.count() == 1


def test_goods_in_after_the_slot_is_refused_with_both_times(merle):
    typed = a_day_typed(
        day="13 March 2027", goods_in_day="14 March 2027", goods_in_clock="10:30"
    )

    answer = send(merle, "selling_day_add", **typed)

    assert "comes before Goods-in (Sun 14 March, 10:30)" in words_of(answer)
    assert 'value="14 March 2027"' in answer.content.decode()
    assert SellingDay.objects.count() == 0


# ------------------------------------------------------------------ repeats


def test_a_repeat_is_written_in_one_tap_with_lines_and_terms(merle):
    items, slot = a_workshop(), a_slot()
    making.set_line(slot, item=items["RF-090"], wanted=48, price_pence=1150)
    making.set_terms(slot, basis="sale-or-return", carton_charge_pence=1800)

    send(merle, "selling_day_repeat", slot.pk)
    answer = send(merle, "selling_day_repeat", slot.pk)

    repeat = SellingDay.objects.get(kind="repeat")
    assert (repeat.starts_at, repeat.repeat_of) == (ON_AIR + timedelta(days=1), slot)
    assert repeat.terms.carton_charge_pence == 1800
    line = repeat.lines.get()
    assert (line.item, line.wanted, line.price_pence) == (items["RF-090"], None, 1150)
    assert "Thu 4 March, 15:00" in words_of(answer)


def test_a_repeat_keeps_its_time_on_the_clock_when_the_clocks_change():
    # Worked by hand: 15:00 on Saturday 27 March 2027 is 15:00 in Greenwich, on Sunday
    # it is 14:00 there.
    slot = a_slot(datetime(2027, 3, 27, 15, 0, tzinfo=LONDON))

    repeat = making.add_repeat(slot)

    repeat.refresh_from_db()
    assert repeat.starts_at.isoformat() == "2027-03-28T14:00:00+00:00"
    night = a_slot(datetime(2027, 3, 27, 1, 30, tzinfo=LONDON))
    with pytest.raises(ClockSkipped, match="There is no 01:30 on Sun 28 March 2027"):
        making.add_repeat(night)


def test_a_repeat_can_be_taken_off_and_a_day_with_sales_cannot(merle):
    items, slot = a_workshop(), a_slot()
    line = making.set_line(slot, item=items["RF-090"], wanted=48)
    repeat = making.add_repeat(slot)

    with pytest.raises(DayHasHistory, match="Something hangs on Slot of 03 March"):
        making.drop_selling_day(slot)
    send(merle, "selling_day_drop", repeat.pk)
    answer = send(merle, "selling_day_drop", repeat.pk)
    Line.objects.filter(pk=line.pk).update(sold=3)
    refused = send(merle, "selling_day_drop", slot.pk)

    assert answer.status_code == 200
    assert "Something hangs on" in words_of(refused)
    assert list(SellingDay.objects.all()) == [slot]


def test_a_fair_has_no_repeat(merle):
    fairs = Outlet.objects.create(code="fair", name="Craft fairs", kind="fair")
    fair = a_slot(kind="fair", outlet=fairs)

    answer = send(merle, "selling_day_repeat", fair.pk)

    assert (answer.status_code, SellingDay.objects.count()) == (404, 1)
