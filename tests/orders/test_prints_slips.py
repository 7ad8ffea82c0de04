"""Packing slips of the demo's day, read back from the PDF."""

from datetime import datetime

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from inventory import actions as stock
from inventory.models import Item
from orders import actions as desk
from orders import prints
from orders.customs import form_for
from orders.models import Order, Packet, PostRun
from orders.prints.pick_list import pick_list_context
from orders.prints.run_list import run_context
from orders.prints.slips import packet_url, slips_of
from studio.days import LONDON
from studio.models import StudioSettings
from tests.orders.paper_reading import amounts, needs_press, pages, read, size_in_mm
from tests.orders.post_world import MORNING, build_loft, make_run, packet_of, person
from tests.orders.price_list import worked
from tests.orders.world import request_id

pytestmark = pytest.mark.django_db


@pytest.fixture
def run():
    build_loft()
    return make_run()


def slip_of(number, part=1):
    [slip] = slips_of([packet_of(number, part)], MORNING)
    return slip


def slip_words(number, part=1):
    return pages(prints.packing_slips_pdf([packet_of(number, part)], MORNING))[0]


# ------------------------------------------------------------ the paper itself


@needs_press
def test_every_packet_has_one_a5_sheet_and_the_one_abroad_a_customs_sheet_too(run):
    pdf = prints.packing_slips_pdf(run, MORNING)

    sheets = read(pdf).pages
    assert {size_in_mm(sheet) for sheet in sheets} == {(148, 210)}
    assert len(sheets) == 21
    customs = [text for text in pages(pdf) if "customs form" in text]
    assert len(customs) == 1
    assert "Packet 11 · L-0444" in customs[0]


@needs_press
def test_two_slips_share_an_a4_sheet_that_is_laid_across(run):
    pdf = prints.packing_slips_pdf(run, MORNING, size="a4")

    first = pages(pdf)[0]
    assert {size_in_mm(sheet) for sheet in read(pdf).pages} == {(297, 210)}
    assert "L-0434" in first
    assert "L-0435" in first


# Source of the keys: ISO 14289-1 (PDF/UA-1), 7.1 and 7.2.
@needs_press
def test_slips_say_their_title_their_language_and_their_reading_order(run):
    pdf = read(prints.packing_slips_pdf([packet_of("L-0436")], MORNING))

    root = pdf.trailer["/Root"]
    assert pdf.metadata.title == "Packing slips"
    assert root["/Lang"] == "en-GB"
    assert root["/MarkInfo"]["/Marked"]


@needs_press
def test_the_same_packets_print_the_same_words_twice(run):
    first = pages(prints.packing_slips_pdf(run, MORNING))
    again = pages(prints.packing_slips_pdf(run, MORNING))

    assert first == again
    assert len(set(first)) == len(first)


# ------------------------------------------------------------ what they say


# Source of the order of lines: the Post Office's “How to address mail”.
def test_the_address_is_laid_out_for_the_carrier(run):
    assert slip_of("L-0438").address == (
        "Greer Sedgemere",
        "79 Rope Lane",
        "LITTLE QUERN",
        "ZY7 7HY",
    )
    assert slip_of("L-0444").address[-1] == "IRELAND"


@needs_press
def test_three_patterns_are_packets_one_and_two_of_two_that_name_each_other(run):
    first, second = slip_words("L-0438", 1), slip_words("L-0438", 2)

    assert "Packet 1 of 2" in first
    assert "On its way in packet 2 of 2: 1 × Pattern: Larktarn tool roll." in first
    assert "Packet 2 of 2" in second
    assert (
        "On its way in packet 1 of 2: 1 × Pattern: Mizzlemoor knitting tidy, "
        "1 × Pattern: Nine Hearths quilt." in second
    )


# Worked by hand: 8.00 + 8.50 + 10.50 = £27.00 and £1.50 postage; said once.
@needs_press
def test_prices_and_the_sum_stand_on_the_first_packet_of_an_ordinary_order(run):
    first, second = slip_words("L-0438", 1), slip_words("L-0438", 2)

    assert "Goods £27.00 · Postage £1.50 · in all £28.50" in first
    assert "in all" not in second


@needs_press
def test_joined_orders_stand_one_under_the_other_with_their_own_sums(run):
    text = slip_words("L-0439")

    assert "Three orders for one door, in one packet." in text
    for said in (
        "Order L-0439, placed Mon 1 March 2027, for Averil Thornapple",
        "Order L-0447, placed Tue 2 March 2027, for A. Thornapple",
        "Order L-0455, placed Tue 2 March 2027, for Averil Thornapple",
        "in all £24.50",
        "in all £17.00",
        "in all £27.50",
    ):
        assert said in text


@needs_press
@pytest.mark.parametrize("number", ["L-0434", "L-0435", "L-0457"])
def test_a_gift_shows_no_price_and_no_pound_sign_anywhere(run, number):
    [text] = pages(prints.packing_slips_pdf([packet_of(number)], MORNING))

    sender = Order.objects.get(number=number).customer.name
    assert amounts(text) == []
    assert f"A gift for you, from {sender}." in text
    assert "Thank you for your order" not in text
    assert "cancel" not in text


@needs_press
def test_a_gift_keeps_its_price_hidden_as_a_page_and_beside_another_slip(run, client):
    client.force_login(person("owner"))
    one = Packet.objects.get(orders__number="L-0435")

    page = client.get(f"/post/run/{run.pk}/slips/?as=page&packet={one.number}")
    pair = prints.packing_slips_pdf([one], MORNING, size="a4")

    assert amounts(page.content.decode().split("<main")[1]) == []
    assert amounts(pages(pair)[0]) == []


@needs_press
def test_the_words_of_a_card_stand_on_the_gift(run):
    assert "Many happy returns, with love from Skelby Quay" in slip_words("L-0435")


# Source of the days: SI 2013/3134, regulations 30, 34 and 35.
@needs_press
def test_an_ordinary_slip_says_until_when_one_may_change_ones_mind(run):
    text = slip_words("L-0441")

    assert "until the end of the 14th day after the last parcel of the order" in text
    assert "send the goods back within 14 days" in text
    assert "01632 960101 · loft@example.com" in text
    assert "Packed by" in text


# Source: Finance Act 2008, schedule 41: who is not registered shows no VAT at all.
@needs_press
def test_no_slip_speaks_of_vat(run):
    text = " ".join(pages(prints.packing_slips_pdf(run, MORNING)))

    assert "vat" not in text.lower().replace("private", "")


@needs_press
def test_a_replacement_says_that_it_is_free_and_what_it_replaces(run):
    order = Order.objects.get(number="L-0450")
    Order.objects.filter(pk=order.pk).update(
        for_order=Order.objects.get(number="L-0449")
    )

    text = slip_words("L-0450")

    assert (
        "Sent free, to replace goods of order L-0449 that did not reach you whole."
        in text
    )
    assert amounts(text) == []


@needs_press
def test_an_agreed_swap_names_what_was_ordered_and_what_is_paid_back(run):
    text = slip_words("L-0445")

    assert "instead of Rook Parliament, fat quarters × 5, as agreed" in text
    assert (
        "Goods £24.50 · Postage £3.50 · Refund agreed − £0.50 · in all £27.50" in text
    )


def test_what_follows_later_is_said_with_the_day_it_leaves():
    # Worked by hand: ten SG-045 expected on Sat 6 March, a day without post; the first
    # collection after it is on Mon 8 March.
    build_loft()
    stock.expect_arrival(
        Item.objects.get(code="SG-045"),
        count=10,
        expected_on=datetime(2027, 3, 6, tzinfo=LONDON).date(),
        source="the bench",
        request_id=request_id("ten to come"),
    )
    desk.send_part(Order.objects.get(number="L-0433"))
    make_run()

    slip = slip_of("L-0433")

    assert [line.to_follow for line in slip.orders[0].lines] == [0, 0]
    assert slip.orders[0].notes == (
        "Still to come, post free: 1 × Sandglass set, 4½ in, and should leave us on "
        "Mon 8 March.",
    )


# ------------------------------------------------------------ the code


def test_the_square_code_holds_the_lasting_name_and_the_code_alone(run):
    packet = packet_of("L-0435")
    studio = StudioSettings.objects.get()

    url = packet_url(studio, packet)

    assert url.endswith(f"/p/{packet.short_code}")
    assert url.startswith("http://loft.local")
    for private in ("L-0435", "Osierly", "Dilys", "Forge", "ZY1"):
        assert private not in url


@needs_press
def test_the_code_is_printed_under_its_square_in_two_halves(run):
    code = packet_of("L-0435").short_code

    assert f"{code[:3]} {code[3:]}" in slip_words("L-0435")


# ------------------------------------------------------------ abroad


def test_the_form_depends_on_the_value_as_the_operator_says():
    rows = worked("customs_form.csv")

    assert [form_for(int(row["value_pence"])) for row in rows] == [
        row["form"] for row in rows
    ]


def test_the_customs_sheet_gives_the_figures_and_leaves_the_rest_to_her(run):
    # Worked by hand: BK-045 £8.50, 60 g and PT-LTR £8.00, 38 g; packed 143 g.
    sheet = slip_of("L-0444").customs

    assert (sheet.country, sheet.form, sheet.category) == (
        "Ireland",
        "CN22",
        "Sale of goods",
    )
    assert (sheet.value_pence, sheet.gross_grams) == (1650, 143)
    assert [
        (line.count, line.net_grams, line.value_pence, line.suggestion.heading)
        for line in sheet.lines
    ] == [(1, 60, 850, "3926.90"), (1, 38, 800, "4901.99")]


def test_no_other_packet_has_a_customs_sheet(run):
    with_sheet = [slip.reference for slip in slips_of(run, MORNING) if slip.customs]

    assert with_sheet == ["Packet 11 · L-0444"]


# ------------------------------------------------------------ as many as there are


def copies_of(packet, count):
    """Put more packets with the same goods into the run."""
    line = packet.lines.get()
    made = [
        Packet(
            run=packet.run,
            number=100 + number,
            short_code=f"X{number:05}",
            format=packet.format,
            service=packet.service,
            grams=packet.grams,
            thickness_tenths_mm=packet.thickness_tenths_mm,
            postage_pence=packet.postage_pence,
            minutes=packet.minutes,
            part=1,
            parts=1,
        )
        for number in range(count)
    ]
    for one in Packet.objects.bulk_create(made):
        one.orders.set(packet.orders.all())
        one.lines.create(order_line=line.order_line, count=1)


@pytest.mark.parametrize("make", [slips_of, pick_list_context, run_context])
def test_one_packet_or_three_hundred_ask_the_book_as_often(run, make):
    packet = packet_of("L-0436")
    asked = {}
    for more in (0, 2, 299):
        Packet.objects.filter(number__gte=100).delete()
        copies_of(packet, more)
        packets = [packet, *Packet.objects.filter(number__gte=100)]

        with CaptureQueriesContext(connection) as queries:
            make(packets, MORNING)

        asked[len(packets)] = len(queries)

    assert asked == dict.fromkeys([1, 3, 300], asked[1])


def test_a_packet_that_was_taken_out_has_no_paper(run):
    packet = packet_of("L-0441")
    desk.take_packet_out(packet, missing=None, now=MORNING)

    numbers = [slip.packet.number for slip in slips_of(run, MORNING)]

    assert packet.number not in numbers
    assert len(numbers) == 19
    assert PostRun.objects.count() == 1
