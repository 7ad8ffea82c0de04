"""The register of samples, the places, and what the book has below nought."""

from uuid import uuid4

import pytest

from inventory import actions as stock
from inventory.models import BundleContents, Design, Outlet, Place, Sample
from inventory.queries.promises import promise_of
from tests.conftest import MORNING
from tests.factories.inventory import (
    ItemFactory,
    PlaceFactory,
    SetFactory,
    WebShopFactory,
)
from tests.factories.production import new_id
from tests.inventory.conftest import sentence_of, words_of


def form_of(**fields):
    return {"request_id": str(uuid4()), **fields}


@pytest.fixture
def quilt(db):
    """A sample sewn in cloth that is out of print, and one in cloth that is not."""
    gone = ItemFactory(code="FB-07", kind="bundle", out_of_print=True)
    sold = ItemFactory(code="FB-08", kind="bundle", held=3)
    for item, name in ((gone, "Tin Roof Rain"), (sold, "Cinderbeck Plains")):
        BundleContents.objects.create(
            item=item, form="fat-quarter", count=8, range_name=name
        )
    bag = PlaceFactory(code="slot-bag", name="Bag for the slot", kind="bag")
    stock.add_sample(code="SM-04", name="Sandglass stool cover", place=bag, uses=[sold])
    return stock.add_sample(
        code="SM-03", name="Nine Hearths lap quilt", place=bag, uses=[gone]
    )


def test_a_sample_in_cloth_that_cannot_be_bought_is_said_aloud(owner, quilt):
    page = owner.get("/goods/samples/")

    assert sentence_of(page) == (
        "Two samples are kept for showing; one is sewn in fabric that nobody can buy."
    )
    assert (
        "SM-03 is sewn in Tin Roof Rain, which cannot be bought any more: say so, or "
        "show Cinderbeck Plains." in words_of(page)
    )


def test_a_sample_is_never_in_the_promise_not_even_released(owner, quilt):
    owner.post("/goods/samples/SM-04/release/", form_of(price_pence="9.00"))

    item = Sample.objects.get(code="SM-04").uses.get()
    assert promise_of(item, now=MORNING).can_promise == 3


def test_a_sample_is_sold_once_and_only_after_it_is_released(owner, quilt):
    page = owner.post("/goods/samples/SM-03/sell/", form_of(), follow=True)
    assert "SM-03 is not for sale now. Release it for sale first" in words_of(page)

    owner.post("/goods/samples/SM-03/release/", form_of(price_pence="120.00"))
    owner.post("/goods/samples/SM-03/sell/", form_of())

    quilt.refresh_from_db()
    assert (quilt.state, quilt.price_pence) == ("sold", 12000)


def test_a_sample_without_a_price_is_not_released(owner, quilt):
    for typed in ("", "0"):
        page = owner.post("/goods/samples/SM-03/release/", form_of(price_pence=typed))
        assert "price" in words_of(page).lower()

    quilt.refresh_from_db()
    assert quilt.state == "kept"


def test_a_sale_of_a_sample_is_taken_back_with_one_press(owner, quilt):
    stock.release_sample(quilt, price_pence=900)
    page = owner.post("/goods/samples/SM-03/sell/", form_of(), follow=True)

    owner.post(page.context["undo"]["url"], form_of())

    quilt.refresh_from_db()
    assert quilt.state == "kept"


def test_a_sample_moves_to_where_it_is_wanted(owner, quilt):
    wall = PlaceFactory(code="wall", name="Loft wall")

    owner.post("/goods/samples/SM-03/move/", form_of(place=wall.pk))

    quilt.refresh_from_db()
    assert quilt.place == wall


def test_a_sample_is_added_with_what_it_is_sewn_with(owner):
    item, wall = SetFactory(), PlaceFactory(code="wall", name="Loft wall")

    owner.post(
        "/goods/samples/add/",
        form_of(
            code="SM-05",
            name="Ringfence wall panel",
            place=wall.pk,
            sewing_hours="11",
            use_1="RF-090",
        ),
    )

    sample = Sample.objects.get()
    assert (sample.sewing_minutes, list(sample.uses.all())) == (660, [item])


def test_places_say_what_lies_there(owner):
    SetFactory(held=5, home_place=PlaceFactory())

    page = owner.get("/goods/places/")

    assert sentence_of(page) == "One place keeps what is yours."
    assert "Template shelf Goods here are at home." in words_of(page)
    assert "Ringfence set, 9 in 5" in words_of(page)


def test_a_place_is_added_by_its_name(owner):
    fields = form_of(
        name="Fair crate", kind="crate", counts_as_shelf="on", walk_order="80"
    )

    owner.post("/goods/places/add/", fields)

    place = Place.objects.get()
    assert (place.code, place.kind, place.walk_order) == ("fair-crate", "crate", 80)


def test_a_place_cannot_be_made_outside_the_studio(owner):
    page = owner.post(
        "/goods/places/add/",
        form_of(name="Sold", kind="outside", walk_order="1"),
    )

    assert page.status_code == 200
    assert Place.objects.count() == 0


def test_a_sheet_to_count_by_names_what_should_lie_there(packer):
    SetFactory(held=5, home_place=PlaceFactory())

    page = packer.get("/goods/places/templates/count-sheet/?as=page")

    assert sentence_of(page) == "What is in Template shelf?"
    assert "Ringfence set, 9 in RF-090 Sellable 5" in words_of(page)


def test_less_than_nothing_is_a_question_with_two_answers(owner):
    item = SetFactory(held=1, home_place=PlaceFactory())
    stock.give_away(
        item,
        count=3,
        place=item.home_place,
        request_id=new_id(),
        now=MORNING,
        reason="A prize",
    )

    page = owner.get("/goods/below-nought/")

    assert sentence_of(page) == "One place has less than nothing."
    assert "Ringfence set, 9 in in Template shelf: -2 . Count it now What" in words_of(
        page
    )
    assert "The book has less than nothing somewhere." in words_of(owner.get("/goods/"))


def test_all_is_well_when_nothing_is_below_nought(owner):
    SetFactory(held=1)

    page = owner.get("/goods/below-nought/")

    assert sentence_of(page) == "Nothing in the book is below nought."


PAGES = ["", "?q=x", "begin/", "ask/", "add/", "below-nought/", "deliveries/"]
PAGES += ["deliveries/order/", "suppliers/add/", "samples/", "samples/add/", "places/"]
PAGES += ["places/add/", "outlets/", "outlets/add/", "designs/add/"]


@pytest.mark.parametrize("page", PAGES)
def test_every_page_of_an_empty_studio_opens_with_a_sentence(owner, page):
    answer = owner.get(f"/goods/{page}")

    assert answer.status_code == 200
    assert sentence_of(answer).endswith((".", "?"))


def test_a_television_channel_gets_a_place_for_goods_that_are_still_ours(owner):
    fields = form_of(name="Tinderbrook TV", kind="television")

    page = owner.post("/goods/outlets/add/", fields, follow=True)

    place = Outlet.objects.get().place
    assert (place.name, place.counts_as_shelf) == (
        "At Tinderbrook TV, still ours",
        False,
    )
    assert sentence_of(page) == "You sell in one way."


def test_an_outlet_is_closed_and_its_name_is_nobody_elses(owner):
    WebShopFactory()

    page = owner.post("/goods/outlets/add/", form_of(name="web shop", kind="web"))
    owner.post("/goods/outlets/web/", form_of(name="Web shop"))

    assert "web shop is among the outlets already." in words_of(page)
    assert [outlet.is_open for outlet in Outlet.objects.all()] == [False]


def test_a_design_is_added_with_what_people_call_it(owner):
    fields = form_of(name="Ringfence", code="RF", other_words="frame")

    owner.post("/goods/designs/add/", fields)
    page = owner.post("/goods/designs/add/", {**fields, "name": "Another"})

    assert Design.objects.get().other_words == "frame"
    assert "RF is the code of Ringfence." in words_of(page)
