"""The search over goods: any scrap, and a kind."""

from __future__ import annotations

import django_filters
from django.db.models import QuerySet

from inventory.models import Item
from inventory.queries.search import items_like


class GoodsFilter(django_filters.FilterSet):
    """`q` is any scrap; `kind` one kind. Without either, what is sold is shown."""

    q = django_filters.CharFilter(method="like", label="What are you looking for?")
    kind = django_filters.ChoiceFilter(
        choices=Item.Kind.choices, label="Kind", empty_label="Everything that is sold"
    )

    class Meta:
        model = Item
        fields = ["q", "kind"]

    def like(self, items: QuerySet[Item], _name: str, scrap: str) -> QuerySet[Item]:
        return items_like(scrap, items)

    def filter_queryset(self, queryset: QuerySet[Item]) -> QuerySet[Item]:
        cleaned = self.form.cleaned_data
        if not cleaned.get("q") and not cleaned.get("kind"):
            queryset = queryset.filter(is_sold=True)
        found: QuerySet[Item] = super().filter_queryset(queryset)
        return found
