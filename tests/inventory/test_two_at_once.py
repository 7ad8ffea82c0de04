"""Several people press at the same moment, each on a connection of their own."""

import threading
from datetime import timedelta

import pytest
from django.db import connection

from inventory import actions as stock
from inventory.errors import AlreadyMended, PartsShort, StockShort
from inventory.models import Claim, IncompleteSet
from inventory.queries.balances import balance_differences
from tests.conftest import MORNING
from tests.factories.inventory import PieceFactory, PlaceFactory, SetFactory
from tests.factories.production import held, new_id

pytestmark = pytest.mark.django_db(transaction=True)
LONGEST_SECONDS = 30


def all_at_once(acts):
    """Let all act together; return what each got or was told."""
    together = threading.Barrier(len(acts))
    said = [None] * len(acts)

    def run(place, act):
        together.wait(LONGEST_SECONDS)
        try:
            said[place] = act()
        except (StockShort, PartsShort, AlreadyMended) as refused:
            said[place] = refused
        finally:
            connection.close()

    threads = [
        threading.Thread(target=run, args=(place, act))
        for place, act in enumerate(acts)
    ]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join(LONGEST_SECONDS)
    return said


def test_of_four_takers_of_the_last_piece_exactly_one_gets_it():
    item = SetFactory(held=1)

    def take(label):
        return stock.claim_stock(
            item,
            count=1,
            kind=Claim.Kind.HOLD,
            label=label,
            until=MORNING + timedelta(days=2),
            request_id=new_id(),
            now=MORNING,
        )

    said = all_at_once([lambda who=who: take(who) for who in "ABCD"])

    assert sorted(type(one).__name__ for one in said) == ["Claim", *["StockShort"] * 3]
    assert Claim.objects.count() == 1


def test_one_form_sent_four_times_at_once_is_one_claim():
    item, request_id = SetFactory(held=9), new_id()

    def take():
        return stock.claim_stock(
            item,
            count=1,
            kind=Claim.Kind.PAID,
            label="A double tap",
            request_id=request_id,
            now=MORNING,
        ).pk

    said = all_at_once([take] * 4)

    assert said == [Claim.objects.get().pk] * 4


def test_of_two_that_make_up_from_the_same_drawer_only_one_can():
    pieces = [PieceFactory(code=code, held=9) for code in ("A388", "C200")]
    item = SetFactory()
    stock.set_parts_list(item, needs=dict.fromkeys(pieces, 1))

    def make():
        return stock.make_up(item, count=6, request_id=new_id(), now=MORNING)

    said = all_at_once([make, make])

    assert sorted(type(one).__name__ for one in said) == ["Entry", "PartsShort"]
    assert (held("RF-090"), held("A388"), held("C200")) == (6, 3, 3)
    assert balance_differences() == []


def test_an_incomplete_set_is_mended_once_by_two():
    piece = PieceFactory(code="A388", held=2)
    item = SetFactory(held=1, home_place=PlaceFactory())
    broken = stock.mark_incomplete(
        item,
        place=item.home_place,
        lacks={piece: 1},
        request_id=new_id(),
        now=MORNING,
    )

    def mend():
        one = IncompleteSet.objects.get(pk=broken.pk)
        return stock.mend_set(one, request_id=new_id(), now=MORNING)

    said = all_at_once([mend, mend])

    assert sorted(type(one).__name__ for one in said) == ["AlreadyMended", "Entry"]
    assert (held("RF-090"), held("A388")) == (1, 1)
