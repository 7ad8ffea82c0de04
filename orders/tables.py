"""Lists of orders as tables."""

from __future__ import annotations

import django_tables2 as tables

_COUNT = {"th": {"class": "count"}}


class OrdersTable(tables.Table):
    """Orders with what each waits for; its rows are drawn by the template."""

    number = tables.Column(verbose_name="Order")
    customer = tables.Column(verbose_name="Customer", order_by="customer__name")
    lines = tables.Column(verbose_name="Goods", orderable=False)
    placed_at = tables.Column(verbose_name="Placed")
    need_by = tables.Column(verbose_name="Needed by")
    state = tables.Column(verbose_name="State", orderable=False)

    class Meta:
        template_name = "orders/_order_rows.html"
        attrs = {"aria_label": "Orders"}
        empty_text = "No order is like that. Try fewer letters, or another state."
