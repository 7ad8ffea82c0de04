"""The forms round people and devices."""

from __future__ import annotations

from typing import Any

from django import forms

from studio.days import WEEKDAYS
from studio.forms import ClockField, DayField, PoundsField, StudioForm
from studio.models import Person

DEVICE_NAMES_LONGEST = 80


class PasswordField(forms.CharField):
    """A password or PIN: never stripped, never shown, and paste is welcome."""

    def __init__(self, *, purpose: str, figures: bool = False, **kwargs: Any) -> None:
        attrs = {"autocomplete": purpose}
        if figures:
            attrs["inputmode"] = "numeric"
        super().__init__(
            strip=False, max_length=128, widget=forms.PasswordInput(attrs), **kwargs
        )


class NameField(forms.CharField):
    """The name of a person, as it stands on a button."""

    def __init__(self, **kwargs: Any) -> None:
        kwargs.setdefault("widget", forms.TextInput({"autocomplete": "name"}))
        super().__init__(max_length=80, **kwargs)


class SignInForm(StudioForm):
    """The owner's way in at a device that nobody has let in yet."""

    name = NameField(
        label="Your name",
        help_text="As it stands on the buttons.",
        widget=forms.TextInput({"autocomplete": "username"}),
    )
    word = PasswordField(label="Password", purpose="current-password")
    device_name = forms.CharField(
        max_length=DEVICE_NAMES_LONGEST,
        label="A name for this device",
        help_text="Such as: loft laptop. It stands on the list of devices.",
        widget=forms.TextInput({"autocomplete": "off"}),
    )


class CodeForm(StudioForm):
    code = forms.CharField(
        max_length=40,
        label="Code",
        help_text="Eight letters and figures, such as CDFG-3479.",
        widget=forms.TextInput({"autocomplete": "one-time-code"}),
    )


class WordForm(StudioForm):
    word = PasswordField(label="Password or PIN", purpose="current-password")


class PersonForm(StudioForm):
    name = NameField(widget=forms.TextInput({"autocomplete": "off"}))
    role = forms.ChoiceField(
        label="What this person does here",
        choices=Person.Role.choices,
        initial=Person.Role.PACKER,
        help_text=(
            "The owner opens every page, the workshop the bench, the packer the post."
        ),
    )
    pence_an_hour = PoundsField(
        label="Pay for an hour",
        help_text="Used in sums of cost only. Write 0 for family.",
    )


class PinForm(StudioForm):
    pin = PasswordField(
        label="New PIN",
        help_text="4 to 12 figures, typed only at devices let in for somebody else.",
        purpose="new-password",
        figures=True,
    )


class NewPasswordForm(StudioForm):
    password = PasswordField(
        label="New password",
        help_text="8 characters or more; a short sentence is good.",
        purpose="new-password",
    )


class LinkForm(StudioForm):
    person = forms.ModelChoiceField(
        queryset=Person.objects.filter(is_active=True),
        label="Whose device it is",
        empty_label=None,
    )
    device_name = forms.CharField(
        max_length=DEVICE_NAMES_LONGEST,
        label="A name for the device",
        help_text="Such as: bench phone.",
        widget=forms.TextInput({"autocomplete": "off"}),
    )


class HoursForm(StudioForm):
    person = forms.ModelChoiceField(
        queryset=Person.objects.filter(is_active=True), label="Who", empty_label=None
    )
    weekday = forms.TypedChoiceField(
        label="Day of the week", choices=list(enumerate(WEEKDAYS)), coerce=int
    )
    starts = ClockField(label="From")
    ends = ClockField(label="To")


class AbsenceForm(StudioForm):
    person = forms.ModelChoiceField(
        queryset=Person.objects.filter(is_active=True), label="Who", empty_label=None
    )
    day = DayField(label="Day off")
    reason = forms.CharField(max_length=120, required=False, label="Why")
