"""The search over orders: any scrap, a state and an outlet."""

from __future__ import annotations

import django_filters
from django.db.models import QuerySet

from inventory.models import Outlet
from orders.models import Order
from orders.querysets import OrderSet


class OrderFilter(django_filters.FilterSet):
    """`q` is any scrap of a number, name, place, postcode or item."""

    q = django_filters.CharFilter(method="like", label="Find an order")
    state = django_filters.ChoiceFilter(
        choices=Order.State.choices, label="State", empty_label="All"
    )
    outlet = django_filters.ModelChoiceFilter(
        queryset=Outlet.objects.all(), label="It came by", empty_label="Any way"
    )

    class Meta:
        model = Order
        fields = ["q", "state", "outlet"]

    def like(self, orders: OrderSet, _name: str, words: str) -> QuerySet[Order]:
        return orders.matching(words)
