"""People and devices, as the owner keeps them."""

from __future__ import annotations

from django.contrib import messages
from django.contrib.auth import update_session_auth_hash
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.views.decorators.http import (
    require_GET,
    require_http_methods,
    require_POST,
)

from studio import people, printing, serving, signing_in
from studio.access import OWNER, StudioRequest, for_roles
from studio.errors import StudioError
from studio.models import Device, Person
from studio.people_forms import LinkForm, NewPasswordForm, PersonForm, PinForm


@for_roles(OWNER)
@require_GET
def people_list(request: StudioRequest) -> HttpResponse:
    return people_page(request, PersonForm(initial={"pence_an_hour": 0}), LinkForm())


def people_page(
    request: StudioRequest, form: PersonForm, link_form: LinkForm
) -> HttpResponse:
    context = {
        "form": form,
        "link_form": link_form,
        "people": Person.objects.order_by("-is_active", "pk"),
        "devices": Device.objects.filter(shut_out_at=None),
        "this_device": signing_in.device_of(request),
    }
    return render(request, "studio/people_keep.html", context)


@for_roles(OWNER)
@require_POST
def person_add(request: StudioRequest) -> HttpResponse:
    form = PersonForm(request.POST)
    if form.is_valid():
        try:
            person = people.add_person(
                name=form.cleaned_data["name"],
                role=form.cleaned_data["role"],
                pence_an_hour=form.cleaned_data["pence_an_hour"],
            )
        except StudioError as refused:
            form.refuse(refused, "name")
        else:
            messages.success(
                request,
                f"{person.first_name} is on the buttons now. Let a device in for "
                f"{person.first_name} with a link or a code.",
            )
            return redirect("studio:people_list")
    return people_page(request, form, LinkForm())


@for_roles(OWNER)
@require_http_methods(["GET", "POST"])
def person_change(request: StudioRequest, person_id: int) -> HttpResponse:
    """Rename a person, or give another role or pay."""
    person = get_object_or_404(Person, pk=person_id)
    initial = {
        "name": person.name,
        "role": person.role,
        "pence_an_hour": person.pence_an_hour,
    }
    form = PersonForm(request.POST or None, initial=initial)
    if request.method == "POST" and form.is_valid():
        try:
            people.change_person(
                person,
                name=form.cleaned_data["name"],
                role=form.cleaned_data["role"],
                pence_an_hour=form.cleaned_data["pence_an_hour"],
            )
        except StudioError as refused:
            form.refuse(refused)
            person.refresh_from_db()
        else:
            keep_signed_in(request, person)
            messages.success(request, f"{person.name} is saved.")
            return redirect("studio:people_list")
    return person_page(request, person, form, None)


@for_roles(OWNER)
@require_POST
def person_word(request: StudioRequest, person_id: int) -> HttpResponse:
    """Set a new password for an owner, or a new PIN for anybody else."""
    person = get_object_or_404(Person, pk=person_id)
    form = word_form(person, request)
    if form.is_valid():
        try:
            set_word(person, form)
        except StudioError as refused:
            form.refuse(refused, "password" if person.is_owner else "pin")
        else:
            keep_signed_in(request, person)
            messages.success(
                request, f"{person.first_name} has a new {way_in(person)}."
            )
            return redirect("studio:people_list")
    return person_page(request, person, None, form)


def way_in(person: Person) -> str:
    return "password" if person.is_owner else "PIN"


def word_form(
    person: Person, request: StudioRequest | None = None
) -> NewPasswordForm | PinForm:
    kind = NewPasswordForm if person.is_owner else PinForm
    return kind(request.POST if request else None)


def set_word(person: Person, form: NewPasswordForm | PinForm) -> None:
    if person.is_owner:
        people.set_password(person, password=form.cleaned_data["password"])
    else:
        people.set_pin(person, pin=form.cleaned_data["pin"])


def keep_signed_in(request: StudioRequest, person: Person) -> None:
    """A new password ends the person's sessions; the one at work here goes on."""
    if person.pk == request.person.pk:
        update_session_auth_hash(request, person)


def person_page(
    request: StudioRequest,
    person: Person,
    form: PersonForm | None,
    words: NewPasswordForm | PinForm | None,
) -> HttpResponse:
    initial = {
        "name": person.name,
        "role": person.role,
        "pence_an_hour": person.pence_an_hour,
    }
    context = {
        "who": person,
        "form": form or PersonForm(initial=initial),
        "word_form": words or word_form(person),
        "way_in": way_in(person),
    }
    return render(request, "studio/person_change.html", context)


@for_roles(OWNER)
@require_POST
def person_part(request: StudioRequest, person_id: int) -> HttpResponse:
    """Take a person off the buttons, or put the person back."""
    person = get_object_or_404(Person, pk=person_id)
    try:
        if "back" in request.POST:
            people.bring_back(person)
            messages.success(request, f"{person.name} is on the buttons again.")
        else:
            people.part_with(person)
            messages.success(
                request,
                f"{person.name} is off the buttons. What {person.first_name} did "
                "stays in the book, and you can bring the name back below.",
            )
    except StudioError as refused:
        messages.error(request, str(refused))
    return redirect("studio:people_list")


@for_roles(OWNER)
@require_POST
def link_make(request: StudioRequest) -> HttpResponse:
    """Make a link, a QR code and a typed code that let one device in, and show them.

    They are shown on the answer itself, because afterwards only their hashes are kept.
    """
    form = LinkForm(request.POST)
    if not form.is_valid():
        return people_page(request, PersonForm(initial={"pence_an_hour": 0}), form)
    new = signing_in.make_link(
        form.cleaned_data["person"], device_name=form.cleaned_data["device_name"]
    )
    address = serving.home_address(request.studio.host_name, port(request))
    url = address + reverse("studio:let_in", args=[new.token])
    context = {
        "new": new,
        "url": url,
        "sign_in_url": address + reverse("studio:sign_in"),
        "qr": printing.qr_path(url),
        "minutes": signing_in.LINK_LASTS.seconds // 60,
    }
    return render(request, "studio/link_show.html", context)


def port(request: StudioRequest) -> int:
    """Return the port this studio is served on, whatever it was asked to use."""
    return int(request.get_port())


@for_roles(OWNER)
@require_POST
def device_shut_out(request: StudioRequest, device_id: int) -> HttpResponse:
    device = get_object_or_404(Device, pk=device_id)
    signing_in.shut_out(device)
    messages.success(
        request,
        f"“{device.name}” is shut out. To let it in again, make a link for it.",
    )
    return redirect("studio:people_list")
