"""What any act does with a form sent twice, and with what is no number of goods."""

from uuid import uuid4

import pytest

from inventory.models import Claim, Entry
from inventory.queries.promises import promise_of
from tests.conftest import MORNING
from tests.factories.inventory import SetFactory, ringfence_at_half_past_eight
from tests.inventory.conftest import sentence_of, words_of


def form_of(**fields):
    return {"request_id": str(uuid4()), **fields}


def promised(item):
    promise = promise_of(item, now=MORNING)
    return promise.can_promise, promise.by_tonight, promise.owned


@pytest.fixture
def ringfence(db):
    return ringfence_at_half_past_eight()


ACTS = {
    "make-up": {"count": "1"},
    "give": {"count": "1", "reason": "A prize"},
    "hold": {"count": "1", "who": "A caller", "until": "Fri 5 March"},
    "buffer": {"count": "2"},
    "state": {"count": "1", "from_state": "sellable", "to_state": "second"},
    "count": {
        "state": "sellable",
        "found": "14",
        "counted_day": "3/3/2027",
        "counted_clock": "08:30",
    },
}


@pytest.mark.parametrize("act", ACTS)
def test_a_form_sent_twice_is_done_once(owner, ringfence, act):
    fields = form_of(place=ringfence.home_place.pk, **ACTS[act])
    owner.post(f"/goods/RF-090/{act}/", fields)
    once = (promised(ringfence), Entry.objects.count(), Claim.objects.count())

    answer = owner.post(f"/goods/RF-090/{act}/", fields)

    assert answer.status_code == 302
    assert (promised(ringfence), Entry.objects.count(), Claim.objects.count()) == once


@pytest.mark.parametrize("typed", ["0", "-1", "2.5", "1000000", "=1+1", "three", "1e3"])
@pytest.mark.parametrize("act", ["make-up", "hold", "give", "move"])
def test_what_is_no_number_of_goods_is_refused_and_kept(owner, act, typed):
    SetFactory(held=5)

    page = owner.post(
        f"/goods/RF-090/{act}/", form_of(count=typed, who="A caller", reason="why")
    )

    assert page.status_code == 200
    assert (
        f"{typed} is not a number of goods this book can take. Write a whole number "
        "from 1 to 99,999." in words_of(page)
    )
    assert f'value="{typed}"' in page.content.decode()


def test_an_item_that_is_not_there_is_not_found(owner):
    assert owner.get("/goods/NO-1/count/").status_code == 404


def test_the_question_of_an_act_is_a_sentence(owner, ringfence):
    page = owner.get("/goods/RF-090/count/")

    assert sentence_of(page) == "How many of Ringfence set, 9 in were found?"
