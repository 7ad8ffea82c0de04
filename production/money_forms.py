"""Forms of money that comes and goes, and of what the bank says."""

from __future__ import annotations

from typing import Any

from django import forms

from production.forms import CHOOSE
from studio.errors import StudioError
from studio.forms import DayField, PoundsField, StudioForm


class NothingToPay(StudioError):
    """An amount of nought, which neither comes nor goes."""

    def __init__(self) -> None:
        super().__init__("Nothing comes and nothing goes at £0.00. Write the amount.")


class MoneyForm(StudioForm):
    """A bill to pay, or money that is to come, with its day."""

    WAYS = (("out", "It is to be paid"), ("in", "It is to come"))

    text = forms.CharField(max_length=160, label="What is it?")
    way = forms.ChoiceField(
        choices=WAYS,
        label="Which way does it go?",
        error_messages={"invalid_choice": CHOOSE},
    )
    pounds = PoundsField(label="How much?")
    day = DayField(label="On which day?")

    def clean_pounds(self) -> int:
        pence: int = self.cleaned_data["pounds"]
        if not pence:
            raise forms.ValidationError(str(NothingToPay()), code="nothing")
        return pence

    def as_money(self) -> dict[str, Any]:
        """Return what `write_money` takes."""
        found = self.cleaned_data
        sign = -1 if found["way"] == "out" else 1
        return {
            "text": found["text"],
            "pence": sign * found["pounds"],
            "day": found["day"],
            "request_id": found["request_id"],
        }


class BankForm(StudioForm):
    """What the bank says today; an overdraft is below nought."""

    bank = PoundsField(may_be_below_nought=True, label="In the bank now")
