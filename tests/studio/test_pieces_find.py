"""The page that finds a piece that is there already."""

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from inventory import actions as stock
from tests.factories.blocks import a_nine_inch_ringfence, a_piece
from tests.factories.inventory import ItemFactory, PersonFactory, StudioFactory
from tests.inventory.conftest import rows_of, sentence_of, words_of

FIND = "/blocks/pieces/"


@pytest.fixture
def owner(client, db):
    StudioFactory()
    client.force_login(PersonFactory())
    return client


@pytest.fixture
def helper(client, db):
    StudioFactory()
    client.force_login(PersonFactory(name="Rufus Penhallin", role="workshop"))
    return client


@pytest.fixture
def book(db):
    a_nine_inch_ringfence()
    a_piece("K300", "3 1/2", "3 1/2", outline="tapered", narrow_inches="5/2")


def found(response, label="Pieces near enough"):
    return [row[1].split()[-1] for row in rows_of(response, label)]


def test_a_piece_is_found_with_how_near_it_is_where_it_lies_and_what_to_ask(owner):
    """Story of a new size: the centre of 4¼ is A425, engraved otherwise."""
    a_piece("A425", "4 1/4", "4 1/4", "Sandglass 3 A", held=7)

    page = owner.get(FIND, {"size": "4 1/4", "engraving": "Ringfence 11¼ centre"})

    assert sentence_of(page) == "One piece in the book is near enough."
    (row,) = rows_of(page, "Pieces near enough")
    assert row[1] == "Piece A425 A425"
    assert row[2:4] == ["4¼ in 107.95 mm", "the same size"]
    assert row[4].startswith("7 in ")
    assert row[5] == (
        "The piece is the same size as A425. The text differs: share a re-engraved "
        "piece, or keep two?"
    )


@pytest.mark.parametrize(
    ("asked", "codes"),
    [
        ({"size": "3 1/2"}, ["SQ350"]),
        ({"size": "88.9", "unit": "mm"}, ["SQ350"]),
        ({"size": "3 1/2 × 2"}, ["C200"]),
        ({"size": "3 1/2", "tolerance": "3/8"}, ["SQ350", "A388"]),
        ({"size": "3", "shape": "halves"}, ["A388"]),
        ({"size": "3", "shape": "quarters"}, ["A425"]),
        ({"size": "3", "shape": "finished"}, ["SQ350"]),
        ({"size": "3 1/2 × 3 1/2", "shape": "tapered", "narrow": "2 1/2"}, ["K300"]),
    ],
)
def test_what_is_near_enough_stands_nearest_first(owner, book, asked, codes):
    """Sizes of the demo's pieces; + ⅞ and + 1¼ are the trade's (common practice)."""
    assert found(owner.get(FIND, asked)) == codes


def test_where_none_is_near_enough_the_nearest_are_shown(owner, book):
    """3⅝ is ⅛ from 3½, ¼ from 3⅞ and ⅝ from 4¼: arithmetic."""
    page = owner.get(FIND, {"size": "3 5/8"})

    assert sentence_of(page) == "No piece in the book is near enough."
    assert found(page, "The nearest of the others") == ["SQ350", "A388", "A425"]
    near = [row[3] for row in rows_of(page, "The nearest of the others")]
    assert near == [
        "⅛ in (3.175 mm) off",
        "¼ in (6.35 mm) off",
        "⅝ in (15.875 mm) off",
    ]


@pytest.mark.parametrize(
    ("asked", "sentence"),
    [
        ({"size": ""}, "Write how large the piece is"),
        ({"size": "0"}, "A piece has sizes above nought."),
        ({"size": "3000"}, "150 in is the limit."),
        ({"size": "4 5/0"}, "Nothing can be parted into noughts"),
        ({"size": "4", "tolerance": "9"}, "The tolerance of the piece cannot be “9”."),
        ({"size": "4", "shape": "tapered"}, "The short side of the piece cannot be"),
        ({"size": "4", "shape": "star"}, "Choose one from the list."),
    ],
)
def test_a_piece_that_cannot_be_is_said_and_stays_written(owner, book, asked, sentence):
    page = owner.get(FIND, {"tint": "rose", **asked})

    assert page.status_code == 200
    assert sentence in words_of(page)
    assert 'value="rose"' in page.content.decode()


def test_what_is_engraved_may_stay_empty_and_says_when(owner):
    words = words_of(owner.get("/blocks/pieces/"))

    assert "What is to be engraved on it Empty if nothing is" in words


def test_an_empty_book_says_what_to_do(owner):
    page = owner.get(FIND, {"size": "4"})

    assert "No piece in the book has a cut size yet." in words_of(page)


def test_the_workshop_finds_loose_pieces_and_no_closed_door(helper, book):
    """A single piece that is sold is not for the bench."""
    single = ItemFactory(code="SP-350", name="Spare", kind="single")
    stock.set_shape(single, width_inches="7/2", height_inches="7/2")

    page = helper.get(FIND, {"size": "3 1/2"})

    assert found(page) == ["SQ350"]


def test_the_packer_does_not_come_in(owner):
    owner.force_login(PersonFactory(name="Posy Oakenby", role="packer"))

    assert owner.get(FIND).status_code == 403


def test_three_hundred_pieces_cost_no_more_questions(owner):
    counts = []
    for numbers in (range(1), range(1, 3), range(3, 300)):
        for number in numbers:
            a_piece(f"P{number:03}", "4", "4")
        owner.get(FIND, {"size": "4"})
        with CaptureQueriesContext(connection) as asked:
            owner.get(FIND, {"size": "4"})
        counts.append(len(asked))

    assert counts == [counts[0]] * 3
