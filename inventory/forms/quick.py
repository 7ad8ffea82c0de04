"""The forms of the first minutes: a list, and its lines to be looked through."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from typing import TYPE_CHECKING, Any, cast

from django import forms
from django.conf import settings
from django.core.exceptions import ValidationError
from django.core.files.uploadedfile import UploadedFile

from inventory.forms.choosing import read_code
from inventory.models import Item
from inventory.quick_files import rows_of_file
from inventory.quick_lines import (
    MOST_LINES,
    NOT_SOLD,
    QuickLine,
    code_for,
    guess_kind,
    read_rows,
    read_typed,
)
from studio.errors import StudioError
from studio.forms import CountField, StudioForm

_RUN_BY_SPREADSHEETS = ("=", "+", "-", "@")
_BOXES = ("name", "count", "code", "kind")


class ListField(forms.CharField):
    """A list in a box; a file may take its place, so neither is called optional."""

    is_one_of_two = True


class ListFileField(forms.FileField):
    is_one_of_two = True


class QuickListForm(StudioForm):
    """A list typed or pasted, or a file."""

    lines = ListField(
        label="One thing on a line: its name, a comma, how many",
        help_text="Such as: Template set, 9 in, 19. Or paste two columns.",
        required=False,
        max_length=60_000,
        widget=forms.Textarea(attrs={"rows": 8, "autocomplete": "off"}),
        error_messages={"max_length": "That is too much at once. Send it in parts."},
    )
    file = ListFileField(
        label="Or a file: CSV or XLSX",
        required=False,
        allow_empty_file=True,
        widget=forms.FileInput(attrs={"accept": ".csv,.txt,.xlsx"}),
        error_messages={"invalid": "The file did not arrive. Choose it again, please."},
    )

    def clean_file(self) -> list[QuickLine]:
        file = self.cleaned_data.get("file")
        if not isinstance(file, UploadedFile):
            return []
        if (file.size or 0) > settings.UPLOAD_LIMIT_BYTES:
            raise ValidationError(
                f"{file.name} is too large for a list of goods. Send it in parts.",
                code="too-large",
            )
        try:
            return read_rows(rows_of_file(file.read()))
        except StudioError as error:
            raise ValidationError(str(error), code=type(error).__name__) from error

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        found = read_typed(cleaned.get("lines") or "") + (cleaned.get("file") or [])
        if not self.errors and not found:
            raise ValidationError(
                "There is nothing to read yet. Type a line, or choose a file.",
                code="empty",
            )
        if len(found) > MOST_LINES:
            raise ValidationError(
                f"{len(found):,} lines are too many at once. Send up to "
                f"{MOST_LINES} and then the rest.",
                code="too-many",
            )
        cleaned["found"] = found
        return cleaned


class QuickLineForm(forms.Form):
    """One line of the list, to be put right in place."""

    use_required_attribute = False

    name = forms.CharField(
        label="Name",
        max_length=120,
        widget=forms.TextInput(attrs={"autocomplete": "off"}),
        error_messages={
            "required": "A name is missing. Write what it is called.",
            "max_length": "This name is too long. Keep it to 120 letters.",
        },
    )
    count = CountField(
        label="How many",
        lowest=0,
        error_messages={"required": "How many are there? Write a whole number."},
    )
    code = forms.CharField(
        label="Code",
        max_length=20,
        required=False,
        widget=forms.TextInput(attrs={"autocomplete": "off"}),
        error_messages={"max_length": "This code is too long. Keep it to 20 letters."},
    )
    kind = forms.ChoiceField(
        label="Kind",
        choices=Item.Kind,
        error_messages={"invalid_choice": "Choose a kind from the list."},
    )

    def clean_name(self) -> str:
        name = str(self.cleaned_data["name"]).strip()
        refuse_formula(name)
        return name

    def clean_code(self) -> str:
        code = str(self.cleaned_data["code"]).strip()
        refuse_formula(code)
        return read_code(code)


def refuse_formula(text: str) -> None:
    if text.startswith(_RUN_BY_SPREADSHEETS):
        raise ValidationError(
            f"“{text}” begins like a formula. Write the words or the number itself.",
            code="formula",
        )


if TYPE_CHECKING:
    QuickLineForms = forms.BaseFormSet[QuickLineForm]
else:
    QuickLineForms = forms.BaseFormSet


class QuickLines(QuickLineForms):
    """The whole list: no name and no code twice, none that is there already."""

    def clean(self) -> None:
        forms_read = [form for form in self.forms if not form.errors]
        taken = {code.lower() for code in Item.objects.values_list("code", flat=True)}
        names = {name.lower() for name in Item.objects.values_list("name", flat=True)}
        name_seen: Counter[str] = Counter()
        for form in forms_read:
            name, code = form.cleaned_data["name"], form.cleaned_data["code"]
            name_seen[name.lower()] += 1
            if name.lower() in names:
                form.add_error(
                    "name",
                    f"{name} is in the book already. Count it on its own page, or "
                    "give this one another name.",
                )
            elif name_seen[name.lower()] > 1:
                form.add_error(
                    "name", f"{name} stands in the list twice. Change one of them."
                )
            if code and code.lower() in taken:
                form.add_error(
                    "code", f"{code} is a code already. Choose another, or leave it."
                )
            taken.add(code.lower())

    def goods(self) -> list[dict[str, Any]]:
        """Give each line as the book takes it, with a code where none was written."""
        taken = set(Item.objects.values_list("code", flat=True))
        taken |= {form.cleaned_data["code"] for form in self.forms}
        found = []
        for form in self.forms:
            line = dict(form.cleaned_data)
            line["code"] = line["code"] or code_for(line["name"], taken)
            line["is_sold"] = line["kind"] not in NOT_SOLD
            taken.add(line["code"])
            found.append(line)
        return found


QuickLinesFormSet = cast(
    "type[QuickLines]",
    forms.formset_factory(
        QuickLineForm,
        formset=QuickLines,
        extra=0,
        max_num=MOST_LINES,
        absolute_max=MOST_LINES,
    ),
)


def as_typed(lines: Iterable[QuickLine]) -> dict[str, str]:
    """Give the lines as if they had been typed into the boxes, so that each is judged."""
    return _boxes(
        [(line.name, line.count, line.code, guess_kind(line.name)) for line in lines]
    )


def without_empty(posted: Mapping[str, str]) -> dict[str, str]:
    """Leave out the lines that were emptied: that is how a line is taken away."""
    total = posted.get("form-TOTAL_FORMS", "")
    count = min(int(total), MOST_LINES) if total.isdecimal() else 0
    rows = [
        tuple(posted.get(f"form-{n}-{name}", "") for name in _BOXES)
        for n in range(count)
    ]
    return _boxes([row for row in rows if any(cell.strip() for cell in row[:-1])])


def _boxes(rows: Sequence[tuple[str, ...]]) -> dict[str, str]:
    data = {"form-TOTAL_FORMS": str(len(rows)), "form-INITIAL_FORMS": "0"}
    for n, row in enumerate(rows):
        for name, cell in zip(_BOXES, row, strict=True):
            data[f"form-{n}-{name}"] = cell
    return data
