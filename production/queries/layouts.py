"""Layouts as the planner takes them, and found by the code on a phone."""

from __future__ import annotations

from collections.abc import Iterable

from django.db.models import Prefetch

from production import sheetplan
from production.errors import UnknownLayout
from production.models import Layout, LayoutGives


def layout_called(code: str) -> Layout:
    """Return the layout with this code, however it is written."""
    layout = Layout.objects.filter(code__iexact=code.strip()).first()
    if layout is None:
        raise UnknownLayout(code)
    return layout


def layouts_in_use() -> list[Layout]:
    """Return the layouts that may be cut, with what they give: two queries."""
    return list(
        Layout.objects.filter(is_in_use=True)
        .select_related("sheet")
        .prefetch_related(
            Prefetch("gives", LayoutGives.objects.select_related("piece"))
        )
        .order_by("code")
    )


def as_plain(layouts: Iterable[Layout]) -> list[sheetplan.Layout]:
    """Turn layouts into the plain values that the pure planner takes."""
    return [
        sheetplan.Layout(
            layout.code,
            {gives.piece.code: gives.count for gives in layout.gives.all()},
            layout.minutes,
        )
        for layout in layouts
    ]
