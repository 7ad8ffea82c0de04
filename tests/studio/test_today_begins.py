"""Today in a new studio: it leads on from what is done to what is still to do."""

import pytest
from django.urls import reverse

from studio.models import Person
from tests.factories.orders import a_person, a_post, a_set, an_order
from tests.factories.studio import StudioFactory

pytestmark = pytest.mark.django_db


@pytest.fixture
def owner(client):
    StudioFactory()
    client.force_login(a_person("owner", Person.Role.OWNER))
    return client


def words_of(page):
    return page.content.decode()


def test_an_empty_book_is_asked_for_its_goods_first(owner):
    page = words_of(owner.get("/"))

    assert "Tell it what is on your shelves" in page
    assert reverse("inventory:quick_entry") in page


def test_with_goods_in_the_book_the_post_is_set_up_next(owner):
    a_set("NEW-1", held=3)

    page = words_of(owner.get("/"))

    assert "Tell it what is on your shelves" not in page
    assert "1 thing in the book; next comes the post" in page
    assert reverse("studio:days") in page


@pytest.mark.parametrize("room", ["/", "/post/"])
def test_goods_nobody_measured_lead_to_where_their_size_is_written(owner, room):
    a_post()
    an_order((a_set("NEW-1", held=3, grams=None), 1), number="L-1")

    page = words_of(owner.get(room))

    assert page.count(reverse("inventory:item_edit", args=["NEW-1"])) == 2
    assert "The printed run needs a look" not in page


def test_one_open_order_is_told_as_one(owner):
    a_post()
    an_order((a_set("NEW-1", held=3, grams=None), 1), number="L-1")

    page = words_of(owner.get("/"))

    assert "1 order is open and cannot go yet." in page
    assert "1 open order. 1 is ready, in 0 packets." in page
