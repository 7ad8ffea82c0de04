"""Gift boxes and kits through the ledger: what goes in, what comes back, what is left.

Worked by hand: a gift box packed from two finished sets takes both and a box; each set
brings its booklet and one booklet serves both, so one comes back.
"""

import pytest

from inventory import actions as stock
from inventory.models import Balance, Item, State
from inventory.queries.balances import balance_differences
from inventory.queries.promises import promise_of
from tests.factories.inventory import MORNING, ItemFactory
from tests.factories.production import new_id

pytestmark = pytest.mark.django_db


def held(item):
    return sum(
        balance.count
        for balance in Balance.objects.filter(
            item=item, state=State.SELLABLE, place__counts_as_shelf=True
        )
    )


@pytest.fixture
def box():
    """A gift box of two sets, packed from the finished sets; one booklet comes back."""
    parts = {
        code: ItemFactory(code=code, kind=kind, held=count)
        for code, kind, count in (
            ("SG-030", Item.Kind.TEMPLATE_SET, 3),
            ("SG-090", Item.Kind.TEMPLATE_SET, 2),
            ("GBOX", Item.Kind.CONSUMABLE, 4),
            ("BKLT-SG", Item.Kind.BOOKLET, 5),
        )
    }
    duo = ItemFactory(code="DU-SG", kind=Item.Kind.KIT, held=0)
    stock.set_parts_list(
        duo,
        needs={parts["SG-030"]: 1, parts["SG-090"]: 1, parts["GBOX"]: 1},
        gives_back={parts["BKLT-SG"]: 1},
    )
    return duo, parts


def counts(box):
    duo, parts = box
    return {item.code: held(item) for item in (duo, *parts.values())}


def test_two_boxes_take_their_sets_and_give_two_booklets_back(box):
    stock.make_up(box[0], count=2, request_id=new_id(), now=MORNING)

    assert counts(box) == {
        "DU-SG": 2,
        "SG-030": 1,
        "SG-090": 0,
        "GBOX": 2,
        "BKLT-SG": 7,
    }
    assert balance_differences() == []


def test_boxes_taken_back_leave_sets_and_booklets_as_they_were(box):
    before = counts(box)
    entry = stock.make_up(box[0], count=2, request_id=new_id(), now=MORNING)

    stock.take_back_entry(entry, request_id=new_id(), now=MORNING)

    assert counts(box) == before
    assert balance_differences() == []


def test_a_box_can_be_had_by_tonight_as_often_as_the_scarcer_set_allows(box):
    promise = promise_of(box[0], now=MORNING)

    assert (promise.can_promise, promise.by_tonight) == (0, 2)


def test_a_kit_of_cloth_and_a_pattern_is_made_up_like_anything_else():
    cloth = ItemFactory(code="FB-01", kind=Item.Kind.BUNDLE, held=4)
    pattern = ItemFactory(code="PT-MKT", kind=Item.Kind.PATTERN, held=9)
    kit = ItemFactory(code="KT-01", kind=Item.Kind.KIT, held=0)
    stock.set_parts_list(kit, needs={cloth: 2, pattern: 1})

    stock.make_up(kit, count=2, request_id=new_id(), now=MORNING)

    assert (held(kit), held(cloth), held(pattern)) == (2, 0, 7)
