"""The counter, the post's stops, closed days, hours and days off: the owner's."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_GET, require_POST

from studio import days, house, people
from studio.access import OWNER, StudioRequest, for_roles
from studio.errors import StudioError
from studio.forms import StudioForm
from studio.house_forms import ClosedDayForm, CounterForm, PostStopForm
from studio.models import Absence, ClosedDay, Counter, PackerHours, PostStop
from studio.people_forms import AbsenceForm, HoursForm


@for_roles(OWNER)
@require_GET
def days_list(request: StudioRequest) -> HttpResponse:
    return days_page(request)


def days_page(
    request: StudioRequest, name: str = "", sent: StudioForm | None = None
) -> HttpResponse:
    """Show all forms; `sent` is the one that came back with something wrong."""
    forms: dict[str, StudioForm] = {
        "counter_form": counter_form(),
        "stop_form": PostStopForm(prefix="stop"),
        "closed_form": ClosedDayForm(prefix="closed"),
        "hours_form": HoursForm(prefix="hours"),
        "absence_form": AbsenceForm(prefix="absence"),
    }
    if sent is not None:
        forms[name] = sent
    context = {
        **forms,
        "counter": Counter.objects.first(),
        "stops": PostStop.objects.filter(last_day__gte=request.today),
        "closed_days": ClosedDay.objects.filter(day__gte=request.today),
        "hours": [
            {"of": one, "weekday": days.WEEKDAYS[one.weekday]}
            for one in PackerHours.objects.select_related("person")
        ],
        "absences": Absence.objects.filter(day__gte=request.today).select_related(
            "person"
        ),
    }
    return render(request, "studio/days_keep.html", context)


def counter_form() -> CounterForm:
    counter = Counter.objects.first()
    initial = {"packets_a_visit": 40, "minutes_away": 15}
    names = [name for name in CounterForm.base_fields if name != "request_id"]
    if counter is not None:
        initial = {name: getattr(counter, name) for name in names}
    return CounterForm(prefix="counter", initial=initial)


@for_roles(OWNER)
@require_POST
def counter_set(request: StudioRequest) -> HttpResponse:
    form = CounterForm(request.POST, prefix="counter")
    if not form.is_valid():
        return days_page(request, "counter_form", form)
    counter = house.set_counter(
        name=form.cleaned_data["name"],
        weekday_last=form.cleaned_data["weekday_last"],
        saturday_last=form.cleaned_data["saturday_last"],
        packets_a_visit=form.cleaned_data["packets_a_visit"],
        minutes_away=form.cleaned_data["minutes_away"],
    )
    messages.success(
        request,
        f"{counter.name} is the counter; the last collection on weekdays is at "
        f"{counter.weekday_last:%H:%M}.",
    )
    return redirect("studio:days")


@for_roles(OWNER)
@require_POST
def stop_add(request: StudioRequest) -> HttpResponse:
    form = PostStopForm(request.POST, prefix="stop", today=request.today)
    if form.is_valid():
        first = form.cleaned_data["first_day"]
        try:
            stop = house.add_post_stop(
                first_day=first,
                last_day=form.cleaned_data["last_day"] or first,
                reason=form.cleaned_data["reason"],
                now=request.now,
            )
        except StudioError as refused:
            form.refuse(refused, "last_day")
        else:
            messages.success(request, f"{stop_words(stop)} Dates are worked out anew.")
            return redirect("studio:days")
    return days_page(request, "stop_form", form)


def stop_words(stop: PostStop) -> str:
    first, last = days.show_day(stop.first_day), days.show_day(stop.last_day)
    stretch = f"on {first}" if first == last else f"from {first} to {last}"
    return f"No collection and no delivery {stretch}: {stop.reason}."


@for_roles(OWNER)
@require_POST
def stop_drop(request: StudioRequest, stop_id: int) -> HttpResponse:
    stop = house.drop_post_stop(stop_id)
    if stop is not None:
        messages.success(
            request,
            f"Struck out: {stop_words(stop)} If that was a slip, type it in again.",
        )
    return redirect("studio:days")


@for_roles(OWNER)
@require_POST
def closed_add(request: StudioRequest) -> HttpResponse:
    form = ClosedDayForm(request.POST, prefix="closed", today=request.today)
    if not form.is_valid():
        return days_page(request, "closed_form", form)
    closed = house.add_closed_day(
        day=form.cleaned_data["day"], reason=form.cleaned_data["reason"]
    )
    messages.success(request, f"Nobody works on {days.show_day(closed.day)}.")
    return redirect("studio:days")


@for_roles(OWNER)
@require_POST
def closed_drop(request: StudioRequest, closed_id: int) -> HttpResponse:
    closed = ClosedDay.objects.filter(pk=closed_id).first()
    if closed is not None:
        house.drop_closed_day(closed.day)
        messages.success(
            request, f"{days.show_day(closed.day)} is a working day like any other."
        )
    return redirect("studio:days")


@for_roles(OWNER)
@require_POST
def hours_set(request: StudioRequest) -> HttpResponse:
    form = HoursForm(request.POST, prefix="hours")
    if form.is_valid():
        person = form.cleaned_data["person"]
        try:
            hours = people.set_hours(
                person,
                weekday=form.cleaned_data["weekday"],
                starts=form.cleaned_data["starts"],
                ends=form.cleaned_data["ends"],
            )
        except StudioError as refused:
            form.refuse(refused, "ends")
        else:
            messages.success(
                request,
                f"{person.first_name} is here on {days.WEEKDAYS[hours.weekday]}s from "
                f"{hours.starts:%H:%M} to {hours.ends:%H:%M}.",
            )
            return redirect("studio:days")
    return days_page(request, "hours_form", form)


@for_roles(OWNER)
@require_POST
def hours_drop(request: StudioRequest, hours_id: int) -> HttpResponse:
    hours = PackerHours.objects.filter(pk=hours_id).select_related("person").first()
    if hours is not None:
        people.drop_hours(hours.person, weekday=hours.weekday)
        messages.success(
            request,
            f"{hours.person.first_name} is no longer expected on "
            f"{days.WEEKDAYS[hours.weekday]}s.",
        )
    return redirect("studio:days")


@for_roles(OWNER)
@require_POST
def absence_add(request: StudioRequest) -> HttpResponse:
    form = AbsenceForm(request.POST, prefix="absence", today=request.today)
    if not form.is_valid():
        return days_page(request, "absence_form", form)
    absence = people.note_absence(
        form.cleaned_data["person"],
        day=form.cleaned_data["day"],
        reason=form.cleaned_data["reason"],
    )
    messages.success(
        request,
        f"{absence.person.first_name} is away on {days.show_day(absence.day)}.",
    )
    return redirect("studio:days")


@for_roles(OWNER)
@require_POST
def absence_drop(request: StudioRequest, absence_id: int) -> HttpResponse:
    absence = Absence.objects.filter(pk=absence_id).select_related("person").first()
    if absence is not None:
        people.drop_absence(absence.person, day=absence.day)
        messages.success(
            request,
            f"{absence.person.first_name} comes on {days.show_day(absence.day)} as "
            "usual.",
        )
    return redirect("studio:days")
