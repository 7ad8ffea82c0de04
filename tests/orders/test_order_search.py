"""Any scrap finds an order, and an order stands in the list once."""

import pytest

from orders.models import Order
from tests.factories.orders import a_set, an_order

pytestmark = pytest.mark.django_db


def test_an_order_with_two_lines_alike_is_found_once():
    ring, wave = a_set("RF-090", name="Ringfence set"), a_set("RF-060", name="Ring set")
    order = an_order((ring, 1), (wave, 2))

    found = Order.objects.matching("ring")

    assert list(found) == [order]


def test_every_word_has_to_fit_somewhere_but_not_the_same_place():
    ring = a_set("RF-090", name="Ringfence set")
    hers = an_order((ring, 1), buyer="Una Thornapple")
    an_order((ring, 1), buyer="Wilma Fernside")

    found = Order.objects.matching("fence thorn")

    assert list(found) == [hers]
