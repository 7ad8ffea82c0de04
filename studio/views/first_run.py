"""The first page of an empty studio, open only from this machine or by its own link."""

from __future__ import annotations

from django.conf import settings
from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_GET, require_http_methods

from inventory import actions as stock
from inventory.models import Outlet
from studio import first_door, house, signing_in
from studio.access import before_opening
from studio.errors import StudioError
from studio.house_forms import FirstRunForm
from studio.models import Person
from studio.people import PasswordUnfit

CLOSED = 403


@before_opening
@require_http_methods(["GET", "POST"])
def first_run(request: HttpRequest) -> HttpResponse:
    """Ask for the name, the address and the first person, and open the studio."""
    if not first_door.may_open(request):
        return render(request, "studio/first_run_closed.html", status=CLOSED)
    form = FirstRunForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        try:
            owner = house.open_studio(
                name=form.cleaned_data["name"],
                return_address=form.cleaned_data["return_address"],
                person_name=form.cleaned_data["person_name"],
                password=form.cleaned_data["password"],
            )
        except PasswordUnfit as unfit:
            form.refuse(unfit, "password")
        except StudioError as refused:
            form.refuse(refused)
        else:
            open_outlets()
            return walk_in(request, owner)
    return render(request, "studio/first_run.html", {"form": form})


def open_outlets() -> None:
    """Let orders come by the usual ways from the first day on."""
    for name, kind in (
        ("Web", Outlet.Kind.WEB),
        ("Telephone", Outlet.Kind.PHONE),
        ("Post", Outlet.Kind.POST),
        ("Fair", Outlet.Kind.FAIR),
    ):
        stock.add_outlet(name=name, kind=kind)


def walk_in(request: HttpRequest, owner: Person) -> HttpResponse:
    device, key = signing_in.let_in(name="The first device", role=owner.role)
    signing_in.start_session(request, owner, device)
    messages.success(
        request,
        "The studio is open, and empty. Write down the first goods here: a name and "
        "how many there are is enough.",
    )
    response = redirect("inventory:quick_entry")
    signing_in.keep_key(response, key, secure=settings.HTTPS or request.is_secure())
    return response


@before_opening
@require_GET
def come_by_link(request: HttpRequest, key: str) -> HttpResponse:
    """Let the device that has the printed link see the first page."""
    if not first_door.fits(key):
        raise Http404
    first_door.remember(request)
    return redirect("studio:first_run")
