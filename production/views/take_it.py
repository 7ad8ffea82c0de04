"""Take it or not: one selling day weighed, each figure with its sum."""

from __future__ import annotations

from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_GET

from production.models import SellingDay
from production.queries.take_it import take_it_for
from production.take_it import break_even_words
from studio.access import OWNER, StudioRequest, for_roles


@for_roles(OWNER)
@require_GET
def take_it(request: StudioRequest, pk: int) -> HttpResponse:
    """Weigh a day to come; one that is over asks what was sold instead."""
    selling_day = get_object_or_404(SellingDay.objects.select_related("outlet"), pk=pk)
    if selling_day.ends_at < request.now:
        return redirect(selling_day)
    page = take_it_for(selling_day, now=request.now)
    context = {"selling_day": selling_day, "page": page}
    if page.day is not None:
        context["pays"] = break_even_words(page.day.break_even)
        context["beats_post"] = break_even_words(page.day.break_even_with_post)
    return render(request, "production/selling_day_take_it.html", context)
