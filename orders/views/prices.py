"""The price list of the post: the usual sizes laid out, the prices hers to type."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods, require_POST

from orders.actions.prices import lay_out_formats, set_post_price
from orders.forms.prices import PostPricesForm
from orders.models import PostFormat, PostService
from orders.queries.price_list import known_prices
from studio.access import OWNER, StudioRequest, for_roles
from studio.days import show_day_short


@for_roles(OWNER)
@require_http_methods(["GET", "POST"])
def post_prices(request: StudioRequest) -> HttpResponse:
    form = PostPricesForm(
        request.POST or None,
        formats=PostFormat.objects.all(),
        services=PostService.objects.all(),
        known=known_prices(request.today),
        today=request.today,
        initial={"valid_from": request.today},
    )
    if request.method == "POST" and form.is_valid():
        day = form.cleaned_data["valid_from"]
        for fmt, service, pence in form.typed():
            set_post_price(fmt, service=service, pence=pence, valid_from=day)
        messages.success(request, f"The prices hold from {show_day_short(day)}.")
        return redirect("orders:post_prices")
    return render(request, "orders/post_prices.html", {"form": form, "room": "post"})


@for_roles(OWNER)
@require_POST
def post_sizes_lay_out(request: StudioRequest) -> HttpResponse:
    lay_out_formats()
    messages.success(request, "The usual sizes are written down. Now type the prices.")
    return redirect("orders:post_prices")
