"""Items and what is written about them: particulars, price, parts, size, contents."""

from fractions import Fraction
from uuid import uuid4

import pytest

from inventory import actions as stock
from inventory.models import Item, OutletItem, PartsLine
from inventory.queries.prices import web_prices
from tests.conftest import MORNING
from tests.factories.inventory import (
    ItemFactory,
    PieceFactory,
    SetFactory,
    WebShopFactory,
)
from tests.inventory.conftest import sentence_of, words_of


def form_of(**fields):
    return {"request_id": str(uuid4()), **fields}


def parts_form(*lines, **more):
    data = form_of(
        name="From pieces",
        minutes="4",
        **{"form-TOTAL_FORMS": len(lines), "form-INITIAL_FORMS": 0},
    )
    for n, (part, count, *back) in enumerate(lines):
        data[f"form-{n}-part"], data[f"form-{n}-count"] = part, count
        if back:
            data[f"form-{n}-gives_back"] = "on"
    return {**data, **more}


def test_a_name_and_a_kind_are_enough_for_a_new_thing(owner):
    page = owner.post(
        "/goods/add/",
        form_of(name="Ringfence set, 9 in", kind="set", is_sold="on"),
        follow=True,
    )

    item = Item.objects.get()
    assert (item.code, item.is_sold) == ("RSI-9", True)
    assert "Ringfence set, 9 in is in the book. Count it next." in words_of(page)


def test_particulars_are_kept_exactly(owner):
    fields = form_of(
        code="RF-135",
        name="Ringfence set, 13½ in",
        kind="set",
        finished_size="13 1/2",
        cost_mills="3.005",
        packed_length_mm="190",
        packed_width_mm="155",
        packed_thickness_tenths_mm="1.5",
        grams="197",
    )

    owner.post("/goods/add/", fields)

    item = Item.objects.get()
    assert item.finished_size == Fraction(27, 2)
    assert (item.cost_mills, item.packed_thickness_tenths_mm) == (3005, 15)


@pytest.mark.parametrize(
    ("field", "typed", "sentence"),
    [
        ("name", "", "Name is empty. Fill it in, please."),
        ("code", "RF 090", "A code has no spaces and no / ? # or %."),
        ("code", "samples", "samples is the name of a page. Choose another code."),
        ("code", "sg-090", "sg-090 is the code of Sandglass set, 9 in."),
        ("kind", "", "Choose a kind from the list."),
        ("finished_size", "nine", "“nine” is not a length."),
        ("cost_mills", "1.2345", "“1.2345” is finer than a tenth of a penny."),
        ("packed_thickness_tenths_mm", "1.55", "“1.55” is not a thickness."),
        ("grams", "-4", "Write a whole number from 0 to 99,999."),
    ],
)
def test_a_wrong_particular_is_said_and_all_that_was_typed_stays(
    owner, field, typed, sentence
):
    SetFactory(code="SG-090", name="Sandglass set, 9 in")
    fields = form_of(name="Tea cosy", code="TC-1", kind="made", other_words="pot hat")

    page = owner.post("/goods/add/", {**fields, field: typed})

    assert sentence in words_of(page)
    assert 'value="pot hat"' in page.content.decode()
    assert Item.objects.count() == 1


def test_an_item_is_written_anew(owner):
    SetFactory(held=2, name="Ringfense set")
    page = owner.get("/goods/RF-090/edit/")
    typed = {box.html_name: box.value() or "" for box in page.context["form"]}

    owner.post("/goods/RF-090/edit/", {**typed, "name": "Ringfence set"})

    assert Item.objects.get().name == "Ringfence set"


def test_a_price_holds_from_its_day_and_the_older_one_until_then(owner):
    item, web = SetFactory(), WebShopFactory()
    for pounds, day in (("21.00", "1 March 2027"), ("22.50", "1 April 2027")):
        owner.post(
            "/goods/RF-090/price/",
            form_of(outlet=web.pk, price_pence=pounds, valid_from=day),
        )

    assert OutletItem.objects.count() == 2
    assert web_prices([item], on=MORNING.date()) == {item.pk: 2100}
    assert web_prices([item], on=MORNING.date().replace(month=4)) == {item.pk: 2250}


def test_a_parts_list_is_written_line_by_line(owner):
    SetFactory()
    PieceFactory(code="A388")
    PieceFactory(code="BKLT-RF", kind="booklet")

    owner.post(
        "/goods/RF-090/parts/1/",
        parts_form(("a388", "1"), ("", ""), ("BKLT-RF", "1", "back")),
    )

    lines = PartsLine.objects.values_list("item__code", "count", "gives_back")
    assert list(lines) == [("A388", 1, False), ("BKLT-RF", 1, True)]


@pytest.mark.parametrize(
    ("lines", "sentence"),
    [
        ([("", "")], "Write at least one part that it takes."),
        ([("A388", "")], "Write how many of it one takes."),
        ([("", "3")], "Write which part that is."),
        ([("A388", "1"), ("A388", "2")], "A388 stands there twice."),
        ([("A999", "1")], "Nothing in the book is called A999."),
        ([("A388", "1.5")], "1.5 is not a number of goods this book can take."),
        ([("RF-090", "1")], "RF-090 cannot be a part of itself"),
        ([("DU-RF", "1")], "RF-090 cannot be a part of itself"),
    ],
)
def test_a_parts_list_that_cannot_be_is_refused(owner, lines, sentence):
    ringfence, duo = SetFactory(), ItemFactory(code="DU-RF", kind="gift")
    PieceFactory(code="A388")
    stock.set_parts_list(duo, needs={ringfence: 2})

    page = owner.post("/goods/RF-090/parts/1/", parts_form(*lines))

    assert page.status_code == 200
    assert sentence in words_of(page)
    assert not ringfence.parts_lists.exists()


def test_a_cut_size_is_typed_as_a_ruler_shows_it(owner):
    piece = PieceFactory(code="A425")

    owner.post(
        "/goods/A425/cut-size/",
        form_of(outline="rectangle", width_inches="4 1/4", height_inches="4¼"),
    )

    shape = Item.objects.get(pk=piece.pk).shape
    assert (shape.width_inches, shape.height_inches) == (Fraction(17, 4),) * 2
    page = owner.get("/goods/A425/cut-size/")
    assert page.context["form"]["width_inches"].value() == "4¼"


@pytest.mark.parametrize("narrow", ["", "0", "3 1/2", "4"])
def test_a_tapered_piece_needs_a_shorter_short_side(owner, narrow):
    PieceFactory(code="K300")

    page = owner.post(
        "/goods/K300/cut-size/",
        form_of(
            outline="tapered",
            width_inches="3 1/2",
            height_inches="3 1/2",
            narrow_inches=narrow,
        ),
    )

    assert "The short side of a tapered piece is shorter than its width" in words_of(
        page
    )


def test_what_a_bundle_holds_is_written(owner):
    ItemFactory(code="FB-01", kind="bundle", name="Fog on the Fell")

    owner.post(
        "/goods/FB-01/contents/",
        form_of(
            form="five-inch",
            count="42",
            prints="21",
            range_name="Fog on the Fell",
            usable_width_inches="5",
            usable_length_inches="5",
        ),
    )

    contents = Item.objects.get().contents
    assert (contents.count, contents.prints, contents.form) == (42, 21, "five-inch")


PAGES = ["", "history/", "edit/", "price/", "cut-size/", "contents/", "parts/1/"]
PAGES += ["make-up/", "count/", "move/", "state/", "incomplete/", "give/", "hold/"]
PAGES += ["keep/", "buffer/", "look/"]


@pytest.mark.parametrize("page", PAGES)
def test_every_page_of_an_item_opens_with_a_whole_sentence(owner, page):
    SetFactory(held=2)

    answer = owner.get(f"/goods/RF-090/{page}")

    assert answer.status_code == 200
    assert sentence_of(answer).endswith((".", "?"))
    assert "Ringfence set, 9 in" in sentence_of(answer)
