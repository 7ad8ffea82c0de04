"""Note on the Post page that a customer was told, and take the note back."""

from __future__ import annotations

from urllib.parse import urlencode

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.urls import reverse
from django.views.decorators.http import require_POST

from orders import actions as desk
from orders.models import Order
from orders.post_forms import ToldForm
from orders.views.answers import answer
from studio.access import OWNER, StudioRequest, for_roles


@for_roles(OWNER)
@require_POST
def told(request: StudioRequest, number: str) -> HttpResponse:
    order = get_object_or_404(Order.objects.select_related("customer"), number=number)
    form = ToldForm(request.POST)
    if not form.is_valid():
        said = [str(one) for errors in form.errors.values() for one in errors]
        messages.error(request, f"Nothing is noted for {number}. {' '.join(said)}")
        return redirect("orders:post")
    about = form.cleaned_data["about"]
    desk.note_told(order, about=about, text=form.cleaned_data["text"], now=request.now)
    back = reverse("orders:order_not_told", args=[number])
    return answer(
        request,
        f"{order.customer.name} has been told about {number}.",
        reverse("orders:post"),
        undo_url=f"{back}?{urlencode({'about': about})}",
        undo_words="Not told after all",
    )


@for_roles(OWNER)
@require_POST
def not_told(request: StudioRequest, number: str) -> HttpResponse:
    order = get_object_or_404(Order, number=number)
    desk.drop_told(order, about=request.GET.get("about", ""))
    messages.success(request, f"{number} is to be told again.")
    return redirect("orders:post")
