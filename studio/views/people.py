"""Who is at this device: names on buttons, and the ways of letting a device in."""

from __future__ import annotations

from typing import cast

from django.conf import settings
from django.contrib import messages
from django.contrib.auth import logout
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils.http import urlencode
from django.views.decorators.http import (
    require_GET,
    require_http_methods,
    require_POST,
)

from studio import signing_in
from studio.access import EVERYBODY, StudioRequest, for_roles, open_to_all
from studio.errors import StudioError
from studio.models import Device, Person, SignInLink
from studio.people_forms import CodeForm, SignInForm, WordForm
from studio.views.going_back import wanted_page


@open_to_all
@require_GET
def people(request: HttpRequest) -> HttpResponse:
    """Show the names, on a device that is known or has somebody at it."""
    device = signing_in.device_of(request)
    if device is None and not request.user.is_authenticated:
        return redirect(with_next("studio:sign_in", request))
    names = [
        {"person": person, "needs_word": signing_in.needs_word(person, device)}
        for person in Person.objects.filter(is_active=True)
    ]
    context = {"names": names, "device": device, "next": wanted_page(request)}
    return render(request, "studio/people_choose.html", context)


@open_to_all
@require_POST
def say_who(request: HttpRequest, person_id: int) -> HttpResponse:
    """Put a person at this device by a tap on the name, where that is enough."""
    person = get_object_or_404(Person, pk=person_id, is_active=True)
    device = signing_in.device_of(request)
    try:
        signing_in.say_who(request, person, device)
    except signing_in.WordNeeded:
        return redirect(with_next("studio:word", request, person_id))
    return redirect(wanted_page(request))


@open_to_all
@require_http_methods(["GET", "POST"])
def word(request: HttpRequest, person_id: int) -> HttpResponse:
    """Ask for the password or PIN of somebody for whom the name is not enough."""
    device = signing_in.device_of(request)
    if device is None and not request.user.is_authenticated:
        return redirect(with_next("studio:sign_in", request))
    person = get_object_or_404(Person, pk=person_id, is_active=True)
    form = WordForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        try:
            signing_in.check_word(
                request, name=person.name, word=form.cleaned_data["word"]
            )
        except StudioError as wrong:
            form.refuse(wrong)
        else:
            signing_in.start_session(request, person, device)
            return redirect(wanted_page(request))
    context = {"form": form, "who": person, "next": wanted_page(request)}
    return render(request, "studio/people_word.html", context)


@open_to_all
@require_http_methods(["GET", "POST"])
def sign_in(request: HttpRequest) -> HttpResponse:
    """Let this device in by the owner's password; a known device gets the names."""
    if request.method == "GET" and signing_in.device_of(request):
        return redirect(with_next("studio:people", request))
    form = SignInForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        try:
            person = signing_in.check_owner(
                request,
                name=form.cleaned_data["name"],
                word=form.cleaned_data["word"],
            )
        except StudioError as wrong:
            form.refuse(wrong)
        else:
            device, key = signing_in.let_in(
                name=form.cleaned_data["device_name"], role=person.role
            )
            return welcome(request, person, device, key)
    return sign_in_page(request, form, CodeForm())


@open_to_all
@require_POST
def sign_in_code(request: HttpRequest) -> HttpResponse:
    """Let this device in by the short code the owner read out."""
    form = CodeForm(request.POST)
    if form.is_valid():
        try:
            link = signing_in.check_code(request, form.cleaned_data["code"])
            device, key = signing_in.use_link(link)
        except StudioError as wrong:
            form.refuse(wrong, "code")
        else:
            return welcome(request, link.person, device, key)
    return sign_in_page(request, SignInForm(), form)


def sign_in_page(
    request: HttpRequest, form: SignInForm, code_form: CodeForm
) -> HttpResponse:
    context = {"form": form, "code_form": code_form, "next": wanted_page(request)}
    return render(request, "studio/sign_in.html", context)


@open_to_all
@require_http_methods(["GET", "POST"])
def let_in(request: HttpRequest, token: str) -> HttpResponse:
    """Show what a link would do; let the device in only when its button is pressed.

    Programs that look at links ahead of people must not use them up.
    """
    try:
        link = signing_in.link_of_token(token)
        if request.method == "POST":
            return welcome(request, link.person, *signing_in.use_link(link))
    except signing_in.LinkOver as over:
        return link_page(request, None, str(over))
    return link_page(request, link, "")


def link_page(
    request: HttpRequest, link: SignInLink | None, why_not: str
) -> HttpResponse:
    context = {"link": link, "why_not": why_not}
    return render(request, "studio/let_in.html", context, status=200 if link else 410)


def welcome(
    request: HttpRequest, person: Person, device: Device, key: str
) -> HttpResponse:
    """Put the person at the device just let in, and hand the device its key."""
    signing_in.start_session(request, person, device)
    messages.success(
        request, f"This device is let in as “{device.name}” for {person.first_name}."
    )
    response = redirect(wanted_page(request))
    signing_in.keep_key(response, key, secure=settings.HTTPS or request.is_secure())
    return response


@for_roles(*EVERYBODY)
@require_POST
def leave(request: StudioRequest) -> HttpResponse:
    """Take the person away from this device; the device stays let in."""
    logout(cast(HttpRequest, request))
    return redirect("studio:people")


def with_next(name: str, request: HttpRequest, *args: object) -> str:
    return f"{reverse(name, args=args)}?{urlencode({'next': wanted_page(request)})}"
