"""The pick list, the list for the counter, the labels and the file, read back."""

import csv
import html
import io
import re

import pytest

from inventory.models import Item, Place
from orders import actions as desk
from orders import prints
from orders.models import Order, Packet
from orders.prints.labels import LabelChoice, LabelTooSmall, labels_context
from orders.prints.pick_list import pick_list_context
from orders.prints.run_list import run_context
from studio.label_sheets import KNOWN_SHEETS
from tests.orders.paper_reading import needs_press, pages, read, size_in_mm
from tests.orders.post_world import (
    AFTERNOON,
    MORNING,
    build_loft,
    make_run,
    packet_of,
    person,
)
from tests.orders.world import request_id

pytestmark = pytest.mark.django_db


@pytest.fixture
def run():
    build_loft()
    return make_run()


@pytest.fixture
def owner(client, run):
    client.force_login(person("owner"))
    return client


# ------------------------------------------------------------ the pick list


def picks(run):
    walk = pick_list_context(run, MORNING)["walk"]
    return {pick.item.code: pick for stop in walk for pick in stop.picks}


# Worked by hand from the table of the day's twenty packets: RF-045 is 8 for the club
# and 1 for L-0450; SG-030 goes in L-0434, L-0439 + …, L-0441 and L-0459.
def test_each_thing_stands_once_with_all_that_is_wanted_of_it(run):
    found = picks(run)

    assert {code: pick.count for code, pick in found.items()} == {
        "SG-030": 4,
        "SG-090": 2,
        "RF-045": 9,
        "RF-090": 3,
        "RF-135": 1,
        "BK-030": 8,
        "BK-045": 1,
        "DU-SG": 1,
        "PT-LTR": 4,
        "PT-MKT": 3,
        "PT-NHQ": 3,
        "GD-REF": 2,
        "SP-350": 1,
        "FB-01": 1,
        "FB-02": 2,
        "FB-03": 1,
        "FB-04": 1,
        "FB-08": 1,
    }


def test_each_thing_says_for_which_packets_and_how_many_for_each(run):
    club, broken = packet_of("L-0448").number, packet_of("L-0450").number

    assert picks(run)["RF-045"].packets_words == f"{club} (8), {broken}"


def test_the_walk_goes_by_the_places_in_their_order(run):
    Place.objects.filter(code="bundles").update(walk_order=5)

    walk = pick_list_context(run, MORNING)["walk"]

    assert [stop.place_name for stop in walk] == [
        "Bundle shelf",
        "Template shelf",
        "Pattern rack",
    ]


def test_a_thing_without_a_place_is_fetched_last_and_says_so(run):
    Item.objects.filter(code="GD-REF").update(home_place=None)
    Place.objects.filter(code="patterns").update(counts_as_shelf=False)

    walk = pick_list_context(run, MORNING)["walk"]

    assert walk[-1].place_name == "Somewhere: its place is not written down"
    assert [pick.item.code for pick in walk[-1].picks] == ["GD-REF"]


@needs_press
def test_the_pick_list_prints_names_first_and_a_box_to_tick(run):
    pdf = prints.pick_list_pdf(run, MORNING)

    text = " ".join(pages(pdf))
    assert {size_in_mm(sheet) for sheet in read(pdf).pages} == {(210, 297)}
    assert "48 things to fetch for 20 packets, in one walk." in text
    assert "Ringfence set, 4½ in RF-045 9" in text
    assert text.index("Template shelf") < text.index("Bundle shelf")


# ------------------------------------------------------------ the counter's list


@needs_press
def test_the_list_for_the_counter_is_one_sheet_with_times_and_totals(run):
    [text] = pages(prints.post_run_pdf(run, MORNING))

    for said in (
        "20 packets for the post on Wed 3 March.",
        "Leave at 16:30; last collection at 16:45, Marrowick counter.",
        "95 packing minutes: Posy ends by 14:35.",
        "20 packets, 1 priced at the counter",
        "£53.95",
        "Printed Wed 3 March, 08:30.",
        "Greer Sedgemere 79 Rope Lane, ZY7 7HY",
        "Mavis Nettlebed Cottage 3, IRELAND",
    ):
        assert said in text


# Worked by hand: 194 + 780 + 44 + 72 + 96 + 44 + 546 + 156 + 143 + 315 + 624 + 920 +
# 79 + 111 + 1425 + 179 + 217 + 44 + 261 + 653 = 6903 g.
def test_the_list_adds_up_the_weight(run):
    assert run_context(run, MORNING)["grams"] == 6903


def test_what_is_packed_already_takes_no_more_minutes(run):
    desk.set_packet_packed(packet_of("L-0435"), now=AFTERNOON)

    times = run_context(run, AFTERNOON)["times"]

    assert times.minutes == 95 - 9


# ------------------------------------------------------------ labels


@needs_press
def test_labels_hold_the_address_and_nothing_else(run):
    [text] = pages(prints.labels_pdf([packet_of("L-0435")], MORNING))

    assert text == "Gift recipient of Dilys Osierly 12 Forge Street MARROWICK ZY1 4AP"


# Source: dimensions in open label data: 3 across, 7 down; the fourth label of a sheet
# is the first of its second row.
@needs_press
def test_labels_begin_at_the_first_free_place(run):
    choice = LabelChoice(first=4)

    sheets = labels_context(run, MORNING, choice)["label_sheets"]

    assert [slot.class_name for slot in sheets[0]][:2] == ["label-4", "label-5"]
    assert [len(sheet) for sheet in sheets] == [18, 2]
    assert len(read(prints.labels_pdf(run, MORNING, choice)).pages) == 2


def test_an_address_too_long_for_a_label_is_refused_with_the_packet_named(run):
    order = Order.objects.get(number="L-0436")
    order.address_lines = "\n".join(f"Line {number}" for number in range(6))
    order.save()
    packet = packet_of("L-0436")

    with pytest.raises(LabelTooSmall) as refused:
        labels_context([packet], MORNING, LabelChoice(sheet=KNOWN_SHEETS["3x8"]))

    assert (refused.value.packet_number, refused.value.lines) == (packet.number, 9)
    assert "Choose a sheet with larger labels." in str(refused.value)


# Worked by hand: (38.1 - 6) / 4.23 = 7 whole lines of ten points at 1.2.
def test_a_label_of_three_by_seven_holds_seven_lines():
    assert LabelChoice(sheet=KNOWN_SHEETS["3x7"]).lines_that_fit == 7


@needs_press
def test_a_test_print_numbers_every_place_and_names_nobody(run):
    [text] = pages(prints.labels_pdf(run, MORNING, LabelChoice(is_test=True)))

    assert text.split() == [str(number) for number in range(1, 22)]


def test_the_page_of_labels_takes_its_places_from_its_own_sheet_of_rules(owner, run):
    page = owner.get(f"/post/run/{run.pk}/labels/?as=page&sheet=3x7&across=5")
    rules = owner.get("/post/labels.css?sheet=3x7&across=5")

    assert "/post/labels.css?as=page&amp;sheet=3x7&amp;across=5" in (
        page.content.decode()
    )
    assert "style=" not in page.content.decode()
    assert rules["Content-Type"] == "text/css"
    assert ".label-1 { left: 7.75mm; top: 15.15mm; }" in rules.content.decode()


def test_a_place_beyond_the_sheet_comes_back_with_a_sentence(owner, run):
    page = owner.get(f"/post/run/{run.pk}/labels/?sheet=2x4&first=9")

    assert "This sheet has 8 labels, so there is no label 9." in (page.content.decode())


# ------------------------------------------------------------ the file


def test_the_posted_list_is_a_file_with_a_row_a_packet(owner, run):
    desk.post_packets(
        [packet_of("L-0436")],
        proof="PC-118",
        request_id=request_id("post one"),
        now=AFTERNOON,
    )

    answer = owner.get(f"/post/run/{run.pk}/list.csv")

    rows = list(csv.DictReader(io.StringIO(answer.content.decode())))
    by_order = {row["Orders"]: row for row in rows}
    assert len(rows) == 20
    assert (by_order["L-0436"]["State"], by_order["L-0436"]["Receipt"]) == (
        "Posted",
        "PC-118",
    )
    assert by_order["L-0444"]["Postage in pence"] == ""


def test_only_new_packets_are_printed_when_asked_from_a_number_on(owner, run):
    page = owner.get(f"/post/run/{run.pk}/slips/?as=page&from=20")

    last = Packet.objects.get(number=20)
    assert [slip.packet for slip in page.context["slips"]] == [last]


def test_the_papers_page_leads_to_every_paper_of_the_packets_chosen(owner, run):
    page = owner.get(f"/post/run/{run.pk}/papers/?from=20")

    links = re.findall(r'href="(/post/run/[^"]+)"', page.content.decode())
    addresses = [html.unescape(link) for link in links]
    pages = [one for one in addresses if "as=page" in one]
    root = f"/post/run/{run.pk}"
    assert pages == [
        f"{root}/pick-list/?as=page&from=20",
        f"{root}/slips/?as=page&from=20",
        f"{root}/list/?as=page&from=20",
    ]
    assert f"{root}/slips/?size=a4&from=20" in addresses
    assert [owner.get(one).status_code for one in pages] == [200] * 3
