"""Lists of goods as tables."""

from __future__ import annotations

import django_tables2 as tables

_COUNT = {"th": {"class": "count"}}


class GoodsTable(tables.Table):
    """Goods with what can be promised of each; its rows are drawn by the template."""

    name = tables.Column(verbose_name="Name")
    can_promise_now = tables.Column(verbose_name="Can promise now", attrs=_COUNT)
    by_tonight = tables.Column(
        verbose_name="By tonight", attrs=_COUNT, orderable=False, empty_values=()
    )
    owned = tables.Column(
        verbose_name="Owned", attrs=_COUNT, orderable=False, empty_values=()
    )
    where = tables.Column(verbose_name="Where", orderable=False, empty_values=())

    class Meta:
        template_name = "inventory/_goods_rows.html"
        attrs = {"aria_label": "Goods"}
        empty_text = "Nothing is like that. Try fewer letters, or another kind."
