"""Shapes of templates: the finished and the cut outline, and each size in full."""

from __future__ import annotations

from dataclasses import dataclass
from urllib.parse import urlencode

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils.safestring import SafeString, mark_safe
from django.views.decorators.http import require_GET

from inventory.views.sheet_links import plainly
from studio.access import OWNER, WORKSHOP, for_roles
from studio.maths import shape_drawing, template_shapes
from studio.maths.explained import TemplateSize
from studio.maths.shapes import QUARTER_INCH
from studio.maths.template_shapes import SHAPES, ShapeUnknown, Template, TemplateShape
from studio.shape_forms import ShapeForm
from studio.views.blocks import typed

LIST_PX = 96
PAGE_PX = 280


@dataclass(frozen=True)
class Listed:
    """A shape on the list, drawn at its first size."""

    shape: TemplateShape
    picture: SafeString


@dataclass(frozen=True)
class SizeRow:
    """One measure of a template in its three forms, as it is read."""

    name: str
    finished: str
    exact: str
    trade: str
    cutter: str


@for_roles(OWNER, WORKSHOP)
@require_GET
def shapes(request: HttpRequest) -> HttpResponse:
    listed = [
        Listed(one, picture(template_shapes.template(one, one.first_inches), LIST_PX))
        for one in SHAPES
    ]
    return render(request, "studio/shapes.html", {"listed": listed, "room": "blocks"})


@for_roles(OWNER, WORKSHOP)
@require_GET
def shape_show(request: HttpRequest, word: str) -> HttpResponse:
    try:
        shape = template_shapes.shape_named(word)
    except ShapeUnknown as unknown:
        raise Http404(str(unknown)) from unknown
    form = ShapeForm(typed(request), shape=shape)
    context: dict[str, object] = {"shape": shape, "form": form, "room": "blocks"}
    if form.is_valid() and form.made:
        context |= {
            "made": form.made,
            "picture": picture(form.made, PAGE_PX),
            "rows": [size_row(one) for one in form.made.sizes],
            "seam": form.made.ruler.show(form.made.ruler.seam_inches),
            "sheet_url": sheet_address(form.made),
        }
    return render(request, "studio/shapes_show.html", context)


def sheet_address(template: Template) -> str:
    """Return the address that lays it on a sheet, which takes quarter-inch seams."""
    if template.ruler.seam_inches != QUARTER_INCH:
        return ""
    sides = [*map(plainly, template.finished_inches), ""][:2]
    name = template.shape.name.replace(",", "")
    # A shape of one size is as wide as it is asked for, a square as high as well.
    line = (name.capitalize(), sides[0], sides[1] or sides[0], "1", name, "finished")
    query = urlencode({"pieces": ", ".join(line)})
    return f"{reverse('production:sheet_lay')}?{query}"


def picture(template: Template, size_px: int) -> SafeString:
    title = f"The {template.shape.name}"
    # The drawing escapes every word that it is given.
    return mark_safe(shape_drawing.template_svg(title, template, size_px))  # noqa: S308


def size_row(one: TemplateSize) -> SizeRow:
    return SizeRow(
        one.measure.measure,
        one.finished.shown,
        one.exact.shown,
        one.trade.ruler.show(one.trade.inches),
        str(one.cutter).removesuffix(" for the cutter"),
    )
