"""The page on which a cutting layout is written down, laid aside or taken up again."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_POST

from inventory.models import Item
from production import actions as making
from production.layout_forms import GivesFormSet, GivesLines, LayoutForm
from production.models import Layout
from production.views.undoing import say, say_with_undo
from studio.access import OWNER, StudioRequest, for_roles
from studio.errors import StudioError
from studio.forms import RequestIdForm


@for_roles(OWNER)
@require_http_methods(["GET", "POST"])
def layout_add(request: StudioRequest) -> HttpResponse:
    form = LayoutForm(request.POST or None)
    lines = GivesFormSet(request.POST or None, prefix="gives")
    if request.method == "POST":
        layout = written(form, lines)
        if layout is not None:
            say(
                request,
                f"Layout {layout.code} is written down. Its sheets can be planned now.",
            )
            return redirect("production:bench")
    context = {
        "form": form,
        "lines": lines,
        "has_sheets": Item.objects.filter(kind=Item.Kind.SHEET).exists(),
        "items_known": Item.objects.exclude(kind=Item.Kind.SHEET)
        .order_by("code")
        .values_list("code", "name"),
        "aside": Layout.objects.filter(is_in_use=False).order_by("code"),
        "aside_form": RequestIdForm(),
    }
    return render(request, "production/bench_layout.html", context)


def written(form: LayoutForm, lines: GivesLines) -> Layout | None:
    """Write the layout down, or put each sentence where it belongs."""
    lines_are_good = lines.is_valid()
    if not form.is_valid() or not lines_are_good:
        return None
    said = form.cleaned_data
    try:
        return making.add_layout(
            said["code"],
            sheet=said["sheet"],
            minutes=said["minutes"],
            gives=lines.counts,
            name=said["name"],
            by_products=lines.by_products,
        )
    except StudioError as wrong:
        form.refuse(wrong, "code")
    return None


@for_roles(OWNER)
@require_POST
def layout_aside(request: StudioRequest, layout_id: int) -> HttpResponse:
    return used_or_not(request, layout_id, is_in_use=False)


@for_roles(OWNER)
@require_POST
def layout_take_up(request: StudioRequest, layout_id: int) -> HttpResponse:
    return used_or_not(request, layout_id, is_in_use=True)


def used_or_not(
    request: StudioRequest, layout_id: int, *, is_in_use: bool
) -> HttpResponse:
    """Say it of the layout however often it is sent; what was logged stays."""
    form = RequestIdForm(request.POST)
    layout = get_object_or_404(Layout, pk=layout_id)
    if not form.is_valid():
        messages.error(request, " ".join(map(str, form.errors["request_id"])))
        return redirect("production:bench")
    making.set_layout_use(layout, is_in_use=is_in_use)
    if is_in_use:
        say(request, f"Layout {layout.code} is in use again.")
    else:
        say_with_undo(
            request,
            f"Layout {layout.code} is laid aside: no sheet is planned with it.",
            url=reverse("production:layout_take_up", args=[layout.pk]),
            words="Take it up again",
        )
    return redirect("production:bench")
