"""The forms of the Studio page: the name, the figures, the counter and the days."""

from __future__ import annotations

import re

from django import forms
from django.core.exceptions import ValidationError

from studio.forms import (
    ClockField,
    DayField,
    LinesField,
    PoundsField,
    StudioForm,
    WholeNumberField,
)
from studio.people_forms import NameField, PasswordField

# RFC 1123, section 2.1: letters, figures and hyphens between points.
_HOST = re.compile(r"(?!-)[a-z0-9-]{1,63}(?<!-)(\.(?!-)[a-z0-9-]{1,63}(?<!-))*")


def address_box() -> LinesField:
    return LinesField(
        label="Return address",
        max_length=400,
        help_text="One line each, as on a parcel.",
        widget=forms.Textarea({"rows": 5, "autocomplete": "street-address"}),
    )


class FirstRunForm(StudioForm):
    name = forms.CharField(
        max_length=80,
        label="What the studio is called",
        widget=forms.TextInput({"autocomplete": "organization"}),
    )
    return_address = address_box()
    person_name = NameField(label="Your name")
    password = PasswordField(
        label="Your password",
        purpose="new-password",
        help_text="8 characters or more; a short sentence is good.",
    )


class StudioSettingsForm(StudioForm):
    name = forms.CharField(
        max_length=80,
        label="What the studio is called",
        widget=forms.TextInput({"autocomplete": "organization"}),
    )
    return_address = address_box()
    phone = forms.CharField(
        max_length=40,
        required=False,
        label="Telephone",
        widget=forms.TextInput({"inputmode": "tel", "autocomplete": "tel"}),
    )
    email = forms.EmailField(
        required=False,
        label="E-mail",
        widget=forms.EmailInput({"autocomplete": "email"}),
    )
    host_name = forms.CharField(
        max_length=120,
        required=False,
        label="This computer’s name on the home network",
        help_text="Such as studio-laptop.local. Links and QR codes are printed with it.",
        widget=forms.TextInput({"autocomplete": "off", "autocapitalize": "none"}),
    )
    usual_spoil_per_hundred = WholeNumberField(
        label="Usual spoil, pieces in a hundred", highest=99
    )
    helper_pence_an_hour = PoundsField(label="Workshop time, an hour")
    packing_pence_an_hour = PoundsField(label="Packing time, an hour")
    setup_minutes = WholeNumberField(
        label="Setting up and cleaning, minutes a session", highest=600
    )
    courier_pence = PoundsField(
        label="Private courier, a packet",
        required=False,
        help_text="Offered when the post no longer arrives in time.",
    )
    courier_before = ClockField(
        label="The courier collects until", required=False, help_text="Such as 15:00."
    )
    free_postage_from_pence = PoundsField(
        label="Postage is free from an order of", required=False
    )
    split_after_days = WholeNumberField(
        label="Offer to send part of an order after waiting days", highest=365
    )
    cover_days = WholeNumberField(
        label="Days of selling that a new batch should cover", lowest=1, highest=730
    )

    def clean_host_name(self) -> str:
        host = str(self.cleaned_data["host_name"]).lower().rstrip(".")
        if host and not _HOST.fullmatch(host):
            raise ValidationError(
                "Write the name alone, without http:// and without a number after it, "
                "such as studio-laptop.local.",
                code="not-a-host-name",
            )
        return host


class CounterForm(StudioForm):
    name = forms.CharField(
        max_length=80,
        label="Counter",
        widget=forms.TextInput({"autocomplete": "off"}),
    )
    weekday_last = ClockField(label="Last collection, Monday to Friday")
    saturday_last = ClockField(
        label="Last collection, Saturday",
        required=False,
        help_text="Leave empty if there is none.",
    )
    packets_a_visit = WholeNumberField(
        label="Packets that can be carried in one visit", lowest=1, highest=1000
    )
    minutes_away = WholeNumberField(label="Minutes on the way there", highest=600)


class PostStopForm(StudioForm):
    first_day = DayField(label="First day")
    last_day = DayField(
        label="Last day",
        required=False,
        help_text="Leave empty for one day only.",
    )
    reason = forms.CharField(
        max_length=120, widget=forms.TextInput({"autocomplete": "off"})
    )


class ClosedDayForm(StudioForm):
    day = DayField(label="Day")
    reason = forms.CharField(
        max_length=120, widget=forms.TextInput({"autocomplete": "off"})
    )
