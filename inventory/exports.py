"""Lists of the goods room as files for a spreadsheet."""

from __future__ import annotations

from collections.abc import Iterable

from django.http import HttpResponse

from inventory.queries.goods import Goods
from studio.exports import csv_bytes

GOODS_HEADER = (
    "Code",
    "Name",
    "Kind",
    "Can promise now",
    "By tonight",
    "Owned",
    "Short",
    "Where",
)


def goods_csv(rows: Iterable[Goods]) -> HttpResponse:
    """Write the goods with their promise numbers as a CSV file."""
    content = csv_bytes(
        GOODS_HEADER,
        (
            (
                row.item.code,
                row.item.name,
                row.item.get_kind_display(),
                row.can_promise_now,
                row.by_tonight,
                row.owned,
                row.short,
                row.where,
            )
            for row in rows
        ),
    )
    response = HttpResponse(content, content_type="text/csv; charset=utf-8")
    response["Content-Disposition"] = 'attachment; filename="goods.csv"'
    return response
