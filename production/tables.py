"""Lists of selling days as tables."""

from __future__ import annotations

import django_tables2 as tables

_COUNT = {"th": {"class": "count"}}


class PastSellingDays(tables.Table):
    """Days that are over, with what went and what sold."""

    name = tables.Column(verbose_name="Selling day")
    starts_at = tables.Column(verbose_name="When")
    went = tables.Column(verbose_name="Sent", attrs=_COUNT)
    sold = tables.Column(verbose_name="Sold", attrs=_COUNT)
    sold_out_lines = tables.Column(verbose_name="Lines sold out", attrs=_COUNT)

    class Meta:
        template_name = "production/_past_selling_days.html"
        attrs = {"aria_label": "Selling days that are over"}
        empty_text = "None is over yet. What sells will be kept here."
