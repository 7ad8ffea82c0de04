"""The block of a template set on its page, and its parts list made from the block."""

import re
from urllib.parse import parse_qs, urlsplit
from uuid import uuid4

import pytest
from django.urls import reverse

from inventory import actions as stock
from inventory.errors import SamePieceTwice, SameRequestOtherContent
from inventory.models import Design, Item, PartsFromBlock, PartsLine
from inventory.queries.blocks import block_set
from inventory.queries.item_pages import pictured_item
from production.actions import add_layout, keep_layout
from studio import own_block_keeping
from tests.conftest import MORNING
from tests.factories.blocks import a_nine_inch_ringfence, a_piece, a_ringfence_design
from tests.factories.inventory import PieceFactory, SetFactory
from tests.inventory.conftest import rows_of, sentence_of, words_of

NEW_SIZE = "/goods/RF-112/from-block/"
MAKE = "/goods/RF-112/from-block/make/"


@pytest.fixture
def new_size(owner):
    """An eleven-and-a-quarter-inch set that has no parts list yet."""
    a_nine_inch_ringfence()
    return SetFactory(
        code="RF-112",
        name="Ringfence set, 11¼ in",
        design=Design.objects.get(),
        finished_size="45/4",
    )


def boxes_of(page):
    """Return every box of the form that writes, as it stands filled in."""
    context = page.context
    bound = [context["form"], *context["pieces"], *context["lines"].forms]
    typed = {box.html_name: box.value() for form in bound for box in form}
    typed |= {box.html_name: box.value() for box in context["lines"].management_form}
    typed |= {
        "block": context["asked"].known.slug,
        "size": context["which"]["size"].value(),
    }
    return {
        name: getattr(value, "code", value)
        for name, value in typed.items()
        if value not in (None, False, "")
    }


def parts_of(code):
    lines = PartsLine.objects.filter(parts_list__item__code=code)
    return {line.item.code: line.count for line in lines.select_related("item")}


# ---------------------------------------------------------------- the item's page


def test_the_page_of_a_set_shows_the_pieces_of_its_block_in_three_forms(owner):
    """3⅞, 3½ and 2 × 3½; 98.425, 88.9 and 50.8 × 88.9 mm: the demo's table of pieces."""
    a_nine_inch_ringfence()

    page = owner.get("/goods/RF-090/")

    rows = rows_of(page, "The pieces that the block asks for")
    assert [row[1:] for row in rows] == [
        ["3½ + ¼√2 in square", "3⅞ in square", "98.425 mm square", "A388"],
        ["3½ in square", "3½ in square", "88.9 mm square", "SQ350"],
        ["2 × 3½ in", "2 × 3½ in", "50.8 × 88.9 mm", "C200"],
    ]
    assert "The churn dash, 9 in square finished." in words_of(page)
    assert 'aria-label="The churn dash"' in page.content.decode()


def test_the_page_of_a_set_says_how_many_sets_a_sheet_gives(owner):
    """Layout LG gives 10, 10 and 6 squares: 6 sets; LB squares alone: the demo."""
    a_nine_inch_ringfence()
    item = {one.code: one for one in Item.objects.all()}
    sheet = PieceFactory(code="SHEET", kind="sheet")
    gives = {item["A388"]: 10, item["SQ350"]: 6, item["C200"]: 10}
    add_layout("LG", sheet=sheet, minutes=30, gives=gives)
    add_layout("LB", sheet=sheet, minutes=26, gives={item["SQ350"]: 24})

    words = words_of(owner.get("/goods/RF-090/"))

    whole = "gives 10 A388, 6 SQ350 and 10 C200 a sheet: 6 whole sets"
    assert f"Layout LG {whole} ." in words
    assert "Layout LB gives 24 SQ350 a sheet, not a whole set by itself." in words


def test_a_set_that_is_not_what_its_block_asks_for_says_so(owner):
    """A bar 1/64 in short is found and said; a square too many is said as well."""
    ringfence = a_nine_inch_ringfence()
    bar, odd = Item.objects.get(code="C200"), Item.objects.get(code="A425")
    stock.set_shape(bar, width_inches="127/64", height_inches="7/2")
    parts = {line.item: 1 for line in ringfence.parts_lists.get().lines.all()}
    square = Item.objects.get(code="SQ350")
    del parts[square]
    stock.set_parts_list(ringfence, needs={**parts, odd: 1})

    page = owner.get("/goods/RF-090/")

    rows = rows_of(page, "The pieces that the block asks for")
    assert [row[4] for row in rows] == ["A388", "none of its parts", "C200 1/64 in off"]
    assert "Piece A425 (A425) is in the set, and the block does not ask" in words_of(
        page
    )


def test_a_size_that_the_block_cannot_be_cut_at_is_named(owner):
    """9¼ / 3 is on no mark of an eighth: arithmetic."""
    SetFactory(design=a_ringfence_design(), finished_size="37/4")

    words = words_of(owner.get("/goods/RF-090/"))

    assert "At 9¼ in the churn dash needs a" in words
    assert "The nearest kind sizes are 9 in and" in words


@pytest.mark.parametrize("block", ["", "no-such-block"])
def test_a_set_of_a_design_without_a_block_is_shown_as_before(owner, block):
    SetFactory(design=a_ringfence_design(block), finished_size="9")

    page = owner.get("/goods/RF-090/")

    assert page.status_code == 200
    assert "Its block" not in words_of(page)


def test_the_packer_sees_the_block_and_no_door_that_is_closed(packer):
    a_nine_inch_ringfence()

    html = packer.get("/goods/RF-090/").content.decode()

    assert "Its block, pieces and sheet" in html
    assert "/blocks/" not in html


@pytest.mark.parametrize("page", ["/goods/RF-090/", "/goods/RF-090/from-block/"])
def test_ways_that_a_block_is_not_made_in_any_more_are_named(owner, page):
    """A block of one's own may be changed after a design was made in its ways."""
    design = a_ringfence_design("nine-patch", "flying geese = stitch and flip")
    SetFactory(design=design, finished_size="9")

    words = words_of(owner.get(page))

    assert "“stitch and flip” is no way to make the nine-patch." in words


def test_the_ways_of_a_design_choose_its_pieces(db):
    """Stitch and flip at 8 in: 4½, 4½ × 2½ and 2½: quilting magazine, 2013."""
    design = a_ringfence_design("sawtooth-star", "flying geese = stitch and flip")
    SetFactory(design=design, finished_size="8")

    found = block_set(pictured_item("RF-090"))

    assert [row.piece.trade_words for row in found.rows] == [
        "4½ in square",
        "2½ × 4½ in",
        "2½ in square",
    ]


# ---------------------------------------------------------------- the design's block


def test_a_design_is_given_its_block(owner):
    Design.objects.create(code="SG", name="Sandglass")
    form = {"request_id": uuid4(), "name": "Sandglass", "block": "hourglass"}

    owner.post("/goods/designs/SG/", form)

    assert Design.objects.get().block == "hourglass"
    assert "The hourglass, at any size" in words_of(owner.get("/goods/designs/SG/"))


@pytest.mark.parametrize(
    ("typed", "sentence"),
    [
        ({"block": "no-such"}, "Choose a block from the list, or none."),
        (
            {"block": "sawtooth-star", "block_ways": "by magic"},
            "“by magic” is no way to make the sawtooth star.",
        ),
        ({"block_ways": "stitch and flip"}, "Choose the block that is made in these"),
        ({"name": ""}, "Name is empty."),
    ],
)
def test_a_block_that_cannot_be_is_said_and_nothing_is_written(owner, typed, sentence):
    Design.objects.create(code="SG", name="Sandglass", block="hourglass")
    form = {"request_id": uuid4(), "name": "Sandglass", **typed}

    page = owner.post("/goods/designs/SG/", form)

    assert sentence in words_of(page)
    assert Design.objects.get().block == "hourglass"


# ---------------------------------------------------------------- the parts list


def test_known_pieces_are_offered_with_the_question_and_new_ones_proposed(
    owner, new_size
):
    """The centre is A425 but for its text; A 4⅝ and the bar are new: worked by hand."""
    page = owner.get(NEW_SIZE)

    chosen = [form["use"].value() for form in page.context["pieces"]]
    codes = [form["code"].value() for form in page.context["pieces"]]
    assert chosen == ["new", "A425", "new"]
    assert codes == ["A463", "B425", "C238"]
    assert sentence_of(page).startswith("Ringfence set, 11¼ in needs three pieces")
    words = words_of(page)
    assert "The centre is the same size as A425. The text differs: share a" in words
    assert "Copied from RF-090." in words


def test_the_parts_list_is_written_as_it_was_confirmed(owner, new_size):
    boxes = boxes_of(owner.get(NEW_SIZE))

    page = owner.post(MAKE, {**boxes, "piece-0-name": "Frame square"}, follow=True)

    assert parts_of("RF-112") == {"A463": 1, "A425": 1, "C238": 1, "BKLT-RF": 1}
    new = Item.objects.get(code="A463")
    assert (new.name, new.kind) == ("Frame square", "piece")
    assert str(new.shape.width_inches) == "37/8"
    assert new.shape.engraving == "Ringfence 11¼ A"
    assert "New in the book: A463, C238. Count or cut them next." in words_of(page)


def test_sent_twice_it_is_written_once(owner, new_size):
    boxes = boxes_of(owner.get(NEW_SIZE))

    for _ in range(2):
        page = owner.post(MAKE, boxes, follow=True)

    assert page.status_code == 200
    assert "The parts list is written." in words_of(page)
    assert PartsFromBlock.objects.count() == 1
    assert Item.objects.filter(kind="piece").count() == 6


def test_a_page_sent_for_one_set_is_not_taken_for_another(owner, new_size):
    boxes = boxes_of(owner.get(NEW_SIZE))
    owner.post(MAKE, boxes)

    codes = {"piece-0-code": "X1", "piece-2-code": "X3"}
    page = owner.post("/goods/RF-090/from-block/make/", {**boxes, **codes})

    assert "This form was already sent once with other figures." in words_of(page)
    assert not Item.objects.filter(code="X1").exists()


def test_taken_back_the_list_is_as_before_and_new_pieces_are_gone(owner, new_size):
    owner.post(MAKE, boxes_of(owner.get(NEW_SIZE)))
    kept = PartsFromBlock.objects.get()

    undo = reverse("inventory:parts_take_back", args=[kept.pk])
    page = owner.post(undo, {"request_id": uuid4()}, follow=True)

    assert "The parts list is as it was before." in words_of(page)
    assert parts_of("RF-112") == {}
    assert not Item.objects.filter(code__in=("A463", "C238")).exists()


def test_taken_back_a_list_that_stood_before_stands_again(owner, new_size):
    before = parts_of("RF-090")
    page = owner.get("/goods/RF-090/from-block/")
    boxes = {**boxes_of(page), "piece-2-use": "none"}
    owner.post("/goods/RF-090/from-block/make/", boxes)
    assert "C200" not in parts_of("RF-090")

    stock.take_back_parts_from_block(PartsFromBlock.objects.get(), now=MORNING)

    assert parts_of("RF-090") == before


def test_a_new_piece_that_was_counted_stays_when_the_list_is_taken_back(
    owner, new_size
):
    owner.post(MAKE, boxes_of(owner.get(NEW_SIZE)))
    piece = Item.objects.get(code="A463")
    stock.record_count(
        piece,
        place=stock.ensure_place("pieces", "Piece drawers"),
        found=4,
        counted_at=MORNING,
        request_id=uuid4(),
        now=MORNING,
    )

    stock.take_back_parts_from_block(PartsFromBlock.objects.get(), now=MORNING)

    assert Item.objects.filter(code="A463").exists()
    assert not Item.objects.filter(code="C238").exists()


def test_a_list_that_was_changed_since_is_not_taken_back(owner, new_size):
    owner.post(MAKE, boxes_of(owner.get(NEW_SIZE)))
    kept = PartsFromBlock.objects.get()
    stock.set_parts_list(new_size, needs={Item.objects.get(code="A425"): 1})

    undo = reverse("inventory:parts_take_back", args=[kept.pk])
    page = owner.post(undo, {"request_id": uuid4()}, follow=True)

    assert "was changed since it was made from the block" in words_of(page)
    assert parts_of("RF-112") == {"A425": 1}


@pytest.mark.parametrize(
    ("typed", "sentence"),
    [
        ({"piece-0-code": ""}, "Write a code for the new A square."),
        ({"piece-0-code": "sq350"}, "SQ350 is the code of Piece SQ350."),
        ({"piece-0-code": "A 463"}, "A code has no spaces"),
        ({"piece-0-name": ""}, "Write a name for the new A square."),
        ({"piece-0-count": ""}, "How many of the A square has a set?"),
        ({"piece-0-count": "0"}, "Write a whole number from 1 to 50."),
        ({"piece-1-use": "SQ350"}, "That piece is not offered."),
        ({"piece-0-code": "C238"}, "C238 is the code of"),
        (
            {f"piece-{n}-use": "none" for n in range(3)},
            "Every piece of RF-112 is left out.",
        ),
        ({"other-0-part": "NOPE"}, "Nothing in the book is called NOPE."),
        ({"other-0-part": "RF-112"}, "RF-112 cannot be a part of itself"),
        ({"size": "0"}, "A finished size is above nought."),
        ({"size": "3000"}, "150 in is the limit here."),
        ({"size": "11.5.1"}, "“11.5.1” is not a length."),
        ({"size": "9 1/4"}, "The nearest kind sizes are"),
        ({"block": "no-such"}, "Choose a block from the list."),
    ],
)
def test_what_cannot_be_is_said_and_nothing_is_written(
    owner, new_size, typed, sentence
):
    boxes = {**boxes_of(owner.get(NEW_SIZE)), "piece-2-engraving": "my own words"}

    page = owner.post(MAKE, {**boxes, **typed})

    assert sentence in words_of(page)
    assert parts_of("RF-112") == {}
    assert Item.objects.filter(kind="piece").count() == 4
    if "piece-0-use" not in typed and not {"size", "block"} & set(typed):
        assert 'value="my own words"' in page.content.decode()


def test_one_item_cannot_stand_for_two_pieces(db):
    ringfence = a_nine_inch_ringfence()
    square = Item.objects.get(code="SQ350")

    with pytest.raises(SamePieceTwice, match="SQ350 stands for two pieces"):
        make(ringfence, [stock.Chosen(square, 1), stock.Chosen(square, 2)])


def test_the_same_request_for_another_set_is_refused(db):
    ringfence = a_nine_inch_ringfence()
    other = SetFactory(code="RF-045", name="Small one")
    chosen = [stock.Chosen(Item.objects.get(code="SQ350"), 1)]
    request_id = uuid4()
    make(ringfence, chosen, request_id)

    with pytest.raises(SameRequestOtherContent):
        make(other, chosen, request_id)


def test_a_tint_makes_a_piece_another_piece(owner, new_size):
    """The same size in rose is asked about, text and tint: common practice."""
    a_piece("R463", "4 5/8", "4 5/8", tint="rose")

    words = words_of(owner.get(NEW_SIZE))

    assert "A square is the same size as R463. The text and the tint differ" in words


def test_a_set_without_a_design_asks_for_its_block(owner):
    SetFactory()

    page = owner.get("/goods/RF-090/from-block/")

    assert sentence_of(page).startswith("Which block is Ringfence set, 9 in for")
    assert re.search(r'<select name="block"', page.content.decode())


def make(item, chosen, request_id=None):
    return stock.make_parts_from_block(
        item,
        chosen=chosen,
        others={},
        block="churn-dash",
        finished_inches=9,
        request_id=request_id or uuid4(),
        now=MORNING,
    )


# ---------------------------------------------------------------- the sheets


def test_the_way_to_the_sheets_carries_the_pieces_by_their_codes(owner):
    """One of each piece of 3⅞, 3½ and 2 × 3½ in a set: the demo's table of pieces."""
    a_nine_inch_ringfence()
    page = owner.get("/goods/RF-090/")

    query = parse_qs(urlsplit(page.context["sheet_url"]).query)

    assert query["pieces"][0].splitlines() == [
        "A388, 3 7/8, 3 7/8, 1",
        "SQ350, 3 1/2, 3 1/2, 1",
        "C200, 2, 3 1/2, 1",
    ]


def test_the_page_of_the_sheets_reads_what_it_is_sent(owner):
    a_nine_inch_ringfence()
    page = owner.get("/goods/RF-090/")

    sheets = owner.get(page.context["sheet_url"])

    assert sheets.status_code == 200
    names = [row.name for row in sheets.context["answer"].sizes]
    assert names == ["A388", "SQ350", "C200"]


def test_a_kept_sheet_is_drawn_on_the_page_of_its_set(owner):
    a_nine_inch_ringfence()
    item = {one.code: one for one in Item.objects.all()}
    sheet = PieceFactory(code="SHEET", kind="sheet")
    laid = owner.get(owner.get("/goods/RF-090/").context["sheet_url"])
    keep_layout(
        "LK",
        kept_sheet=laid.context["answer"].fullest.text,
        sheet=sheet,
        minutes=30,
        gives={item[code]: 8 for code in ("A388", "SQ350", "C200")},
        request_id=uuid4(),
    )

    html = owner.get("/goods/RF-090/").content.decode()

    assert 'aria-label="One sheet of LK"' in html
    assert "8 whole sets" in html


def test_a_block_of_ones_own_serves_a_design_like_any_other(owner):
    """Four squares of half the block each: 4 + ½ in; trade's rule, common practice."""
    lines = "Name: plain four\nSteps: 2 by 2\n" + "\n".join(
        f"square: {'light' if x == y else 'dark'} at {x} {y}"
        for x in (1, 2)
        for y in (1, 2)
    )
    kept = own_block_keeping.add_block(
        lines, name="plain four", request_id=uuid4(), by=None, now=MORNING
    )
    SetFactory(design=a_ringfence_design(kept.word), finished_size="8")

    rows = rows_of(owner.get("/goods/RF-090/"), "The pieces that the block asks for")

    assert [row[2] for row in rows] == ["4½ in square"]
