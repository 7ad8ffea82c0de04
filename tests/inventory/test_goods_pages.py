"""The list of goods: search, numbers, query counts, the file for a spreadsheet."""

import csv
import io

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from inventory.models import BundleContents, Design
from tests.factories.inventory import (
    ClaimFactory,
    ItemFactory,
    PieceFactory,
    SetFactory,
    one_drawer_of_squares,
)
from tests.inventory.conftest import rows_of, sentence_of, words_of

# Studio and its clock, session, person (4); goods with their pictures' parts (5);
# sellable and claimed of all (2); held, claims, incomplete sets of the page (3); parts
# lists, lacked pieces, parts, and what is sellable and claimed of them (5); where the
# goods lie, and whether anything is below nought (2).
QUERIES_OF_THE_LIST = 21


def names_found(client, scrap, **more):
    page = client.get("/goods/", {"q": scrap, **more})
    return [row[0] for row in rows_of(page, "Goods")]


@pytest.fixture
def three_sizes(db):
    """Three Ringfence sets and one Sandglass, told apart by size and by name."""
    ringfence = Design.objects.create(
        code="RF", name="Ringfence", other_words="frame three by three"
    )
    for code, size, name in (
        ("RF-045", "9/2", "Ringfence set, 4½ in"),
        ("RF-090", "9", "Ringfence set, 9 in"),
        ("RF-135", "27/2", "Ringfence set, 13½ in"),
    ):
        SetFactory(code=code, name=name, finished_size=size, design=ringfence)
    SetFactory(code="SG-090", name="Sandglass set, 9 in", finished_size="9")


@pytest.mark.parametrize(
    ("scrap", "codes"),
    [
        ("nine-inch ringfence", ["RF-090"]),
        ("9 ring", ["RF-090"]),
        ("nine", ["RF-090", "SG-090"]),
        ('9"', ["RF-090", "SG-090"]),
        ("9 in", ["RF-090", "SG-090"]),
        ("4½", ["RF-045"]),
        ("4 1/2", ["RF-045"]),
        ("4.5 inch", ["RF-045"]),
        ("four and a half", ["RF-045"]),
        ("thirteen and a half", ["RF-135"]),
        ("RF", ["RF-135", "RF-045", "RF-090"]),
        ("rf-135", ["RF-135"]),
        ("three by three 9", ["RF-090"]),
        ("090 sand", ["SG-090"]),
    ],
)
def test_any_scrap_of_a_name_code_or_size_finds_the_goods(
    owner, three_sizes, scrap, codes
):
    assert [name.split()[-1] for name in names_found(owner, scrap)] == codes


def test_what_is_like_nothing_can_be_noted_as_asked_for(owner, three_sizes):
    page = owner.get("/goods/", {"q": "dresden"})

    assert sentence_of(page) == "Nothing is like “dresden”."
    assert "Note that somebody asked for “dresden”" in words_of(page)


def test_the_list_says_how_many_are_sold_and_how_many_have_nothing(owner):
    SetFactory(held=3)
    SetFactory(code="SG-090", name="Sandglass set, 9 in")
    PieceFactory(code="A388", held=6)

    page = owner.get("/goods/")

    assert sentence_of(page) == "2 things are sold; 1 has nothing to promise."
    assert rows_of(page, "Goods") == [
        ["Ringfence set, 9 in RF-090", "3", "by tonight 3", "owned 3", "3 Shelf"],
        ["Sandglass set, 9 in SG-090", "0", "by tonight 0", "owned 0", ""],
    ]


def test_an_empty_book_leads_to_the_first_list(owner):
    page = owner.get("/goods/")

    assert sentence_of(page) == "Nothing is in the book yet."
    assert 'href="/goods/begin/"' in page.content.decode()


def test_the_list_may_be_ordered_by_what_can_be_promised(owner):
    for code, held in (("AA-1", 5), ("AA-2", 1), ("AA-3", 9)):
        ItemFactory(code=code, held=held)

    page = owner.get("/goods/", {"sort": "-can_promise_now"})

    assert [row[1] for row in rows_of(page, "Goods")] == ["9", "5", "1"]


def a_shop_of(count):
    for number in range(count):
        item = ItemFactory(code=f"TH-{number:03}", held=5, kind="bundle")
        BundleContents.objects.create(item=item, form="strip", count=40)


@pytest.mark.parametrize("count", [1, 3, 300])
def test_the_list_asks_the_book_as_often_for_three_hundred_as_for_one(owner, count):
    one_drawer_of_squares()
    a_shop_of(count)

    with CaptureQueriesContext(connection) as queries:
        page = owner.get("/goods/")

    assert page.status_code == 200
    assert len(queries) == QUERIES_OF_THE_LIST


def test_the_file_for_a_spreadsheet_carries_the_numbers_and_runs_nothing(owner):
    item = SetFactory(held=5, name="=HYPERLINK(1)")
    ClaimFactory(item=item, count=2)

    answer = owner.get("/goods/list.csv")

    rows = list(csv.DictReader(io.StringIO(answer.content.decode(), newline="")))
    assert answer["Content-Type"] == "text/csv; charset=utf-8"
    assert answer["Content-Disposition"] == 'attachment; filename="goods.csv"'
    assert [(row["Name"], row["Can promise now"], row["Owned"]) for row in rows] == [
        ("'=HYPERLINK(1)", "3", "5")
    ]


def test_the_packer_reads_the_goods_and_finds_no_prices_or_changes(packer):
    SetFactory(held=5)

    listing, item = packer.get("/goods/"), packer.get("/goods/RF-090/")

    assert listing.status_code == item.status_code == 200
    assert "Put in a list" not in words_of(listing)
    assert "Material cost" not in words_of(item)
    assert packer.get("/goods/RF-090/hold/").status_code == 403
    assert packer.get("/goods/RF-090/count/").status_code == 200


def test_the_workshop_reads_pieces_and_nothing_else(helper):
    SetFactory(held=5)
    PieceFactory(code="A388", held=6, name="Ringfence 9 in, piece A")

    listing = helper.get("/goods/")

    assert [row[0] for row in rows_of(listing, "Goods")] == [
        "Ringfence 9 in, piece A A388"
    ]
    assert helper.get("/goods/A388/").status_code == 200
    assert helper.get("/goods/RF-090/").status_code == 404
    assert helper.get("/goods/A388/count/").status_code == 403


def test_nobody_reads_the_goods_before_saying_who_they_are(client, db):
    SetFactory(held=5)

    assert client.get("/goods/").status_code == 302
