"""Deliveries: ordered, taken in, and what each good one costs with its carriage."""

from uuid import uuid4

import pytest

from inventory.models import Arrival, Entry, Item, Purchase, Supplier, SupplierItem
from tests.factories.inventory import ItemFactory, SupplierFactory
from tests.factories.production import held
from tests.inventory.conftest import rows_of, sentence_of, words_of


def form_of(**fields):
    return {"request_id": str(uuid4()), **fields}


def order_form(*lines, **more):
    data = form_of(
        supplier=Supplier.objects.get().pk,
        ordered_on="1 March 2027",
        expected_on="11 March 2027",
        carriage_pence="9.50",
        **{"form-TOTAL_FORMS": len(lines), "form-INITIAL_FORMS": 0},
    )
    for n, (item, count, price) in enumerate(lines):
        data[f"form-{n}-item"] = item
        data[f"form-{n}-count"] = count
        data[f"form-{n}-price_mills"] = price
    return {**data, **more}


@pytest.fixture
def ordered(owner):
    """Ten of one bundle and five of another, 9.50 carriage, expected on 11 March."""
    SupplierFactory()
    ItemFactory(code="FB-01", name="Fog on the Fell, 5-inch squares", kind="bundle")
    ItemFactory(code="FB-02", name="Fog on the Fell, fat quarters", kind="bundle")
    owner.post(
        "/goods/deliveries/order/",
        order_form(("FB-01", "10", "6.10"), ("FB-02", "5", "13.80")),
    )
    return Purchase.objects.get()


def take_in_form(purchase, *came, **more):
    data = form_of(**more)
    for line, (received, damaged) in zip(purchase.lines.all(), came, strict=True):
        data[f"received_{line.pk}"] = received
        data[f"damaged_{line.pk}"] = damaged
    return data


def test_an_order_is_expected_on_its_day(owner, ordered):
    page = owner.get("/goods/deliveries/")

    assert sentence_of(page) == "One delivery is on the way."
    assert [row[1:3] for row in rows_of(page, "Everything that is expected")] == [
        ["10", "Thu 11 March 2027"],
        ["5", "Thu 11 March 2027"],
    ]


def test_who_sells_it_is_known_from_the_first_order_and_its_price_is_kept(
    owner, ordered
):
    owner.post(
        "/goods/deliveries/order/",
        order_form(("FB-01", "2", "9.99"), ("FB-02", "1", "1")),
    )

    known = SupplierItem.objects.order_by("item__code")
    assert list(known.values_list("item__code", "price_mills", "box_size")) == [
        ("FB-01", 6100, 1),
        ("FB-02", 13800, 1),
    ]


def test_an_order_sent_twice_is_written_once(owner, ordered):
    fields = order_form(("FB-01", "3", "6.10"))

    owner.post("/goods/deliveries/order/", fields)
    owner.post("/goods/deliveries/order/", fields)

    assert Purchase.objects.count() == 2


def test_the_cost_with_carriage_is_shown_before_anything_is_saved(owner, ordered):
    """Shares of 9.50 by value 61.00 and 69.00 are 4.46 and 5.04: worked by hand."""
    page = owner.post(
        f"/goods/deliveries/{ordered.pk}/take-in/",
        take_in_form(ordered, ("10", "0"), ("5", "0"), look="yes"),
    )

    assert [row[3] for row in rows_of(page, "What each good one costs")] == [
        "£6.546",
        "£14.808",
    ]
    assert (held("FB-01"), Entry.objects.count()) == (0, 0)


def test_what_came_good_is_put_on_the_shelf_and_the_rest_is_named(owner, ordered):
    page = owner.post(
        f"/goods/deliveries/{ordered.pk}/take-in/",
        take_in_form(ordered, ("10", "2"), ("4", "0"), save="yes"),
        follow=True,
    )

    assert sentence_of(page) == ("From Gossamill 1 did not come and 2 came damaged.")
    assert (held("FB-01"), held("FB-02")) == (8, 4)
    assert not Arrival.objects.filter(closed_at=None).exists()
    # 9.50 over 8 × 6.10 and 4 × 13.80 is 4.46 and 5.04; 0.5575 and 1.26 each.
    assert [item.cost_mills for item in Item.objects.order_by("code")] == [6658, 15060]


def test_a_delivery_taken_in_twice_is_on_the_shelf_once(owner, ordered):
    address = f"/goods/deliveries/{ordered.pk}/take-in/"
    for _ in range(2):
        owner.post(address, take_in_form(ordered, ("10", "0"), ("5", "0"), save="yes"))

    assert held("FB-01") == 10


def test_more_damaged_than_received_is_refused(owner, ordered):
    page = owner.post(
        f"/goods/deliveries/{ordered.pk}/take-in/",
        take_in_form(ordered, ("10", "11"), ("5", "0"), save="yes"),
    )

    assert "11 damaged of 10 received cannot be." in words_of(page)
    assert held("FB-01") == 0


@pytest.mark.parametrize(
    ("lines", "more", "sentence"),
    [
        ([("", "", "")], {}, "Write at least one line."),
        ([("FB-01", "", "6.10")], {}, "Write how many were ordered."),
        ([("FB-01", "3", "")], {}, "Write what one costs; 0 if nothing."),
        ([("", "3", "6.10")], {}, "Write what that is."),
        (
            [("FB-01", "3", "6.10")],
            {"expected_on": "27 February 2027"},
            "It cannot arrive before it was ordered.",
        ),
        ([("FB-01", "3", "6.10")], {"supplier": ""}, "Choose one from the list."),
    ],
)
def test_an_order_with_something_left_out_is_refused(owner, lines, more, sentence):
    SupplierFactory()
    ItemFactory(code="FB-01", kind="bundle")

    page = owner.post("/goods/deliveries/order/", order_form(*lines, **more))

    assert sentence in words_of(page)
    assert Purchase.objects.count() == 0


def test_a_supplier_is_added_and_changed(owner):
    fields = form_of(name="Gossamill", lead_working_days="5", carriage_pence="9.50")
    owner.post("/goods/suppliers/add/", fields)
    supplier = Supplier.objects.get()

    changed = {**fields, "lead_working_days": "8"}
    owner.post(f"/goods/suppliers/{supplier.pk}/", changed)

    supplier.refresh_from_db()
    assert (supplier.lead_working_days, supplier.carriage_pence) == (8, 950)
