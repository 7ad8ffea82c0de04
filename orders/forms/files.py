"""Sending a shop's file, and saying which of its columns is which."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from django import forms
from django.conf import settings
from django.core.exceptions import ValidationError

from inventory.models import Outlet
from orders.filereading import COLUMNS
from studio.forms import StudioForm

NOT_IN_FILE = "The file does not tell"


class FileForm(StudioForm):
    file = forms.FileField(
        label="The file from the shop",
        help_text="CSV or a workbook (.xlsx), up to 10 MB.",
        allow_empty_file=True,
        widget=forms.FileInput(attrs={"accept": ".csv,.txt,.tsv,.xlsx"}),
        error_messages={
            "required": "Choose a file first.",
            "missing": "Choose a file first.",
            "invalid": "The file did not arrive. Send it once more.",
        },
    )

    def clean_file(self) -> Any:
        file = self.cleaned_data["file"]
        if file.size > settings.UPLOAD_LIMIT_BYTES:
            limit = settings.UPLOAD_LIMIT_BYTES // (1024 * 1024)
            raise ValidationError(
                f"The file is larger than {limit} MB. "
                "Save fewer days at a time from the shop.",
                code="too-large",
            )
        return file


class MatchForm(StudioForm):
    """One choice a word of ours; saved under a name for the next such file."""

    name = forms.CharField(label="Remember this kind of file as", max_length=60)
    outlet = forms.ModelChoiceField(
        Outlet.objects.none(), label="The orders came by", empty_label=None
    )
    day_order = forms.ChoiceField(
        label="Days are written",
        choices=[("dmy", "day, month, year"), ("ymd", "year, month, day")],
    )

    def __init__(self, *args: Any, headings: Sequence[str], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        outlets: Any = self.fields["outlet"]
        outlets.queryset = Outlet.objects.filter(is_open=True)
        choices = [("", NOT_IN_FILE), *((one, one) for one in headings)]
        for column in COLUMNS:
            self.fields[f"column_{column.key}"] = forms.ChoiceField(
                label=column.words, choices=choices, required=column.needed
            )
            self.fields[f"column_{column.key}"].error_messages["required"] = (
                f"{column.words}: an order cannot do without it. Choose a column."
            )

    @property
    def columns(self) -> Mapping[str, str]:
        """Return what is chosen so far, whether the form is whole or not."""
        return {
            column.key: str(self[f"column_{column.key}"].value() or "")
            for column in COLUMNS
        }

    @property
    def column_fields(self) -> list[Any]:
        return [self[f"column_{column.key}"] for column in COLUMNS]
