"""Forms of what was agreed for a selling day, and of her own guess of its demand."""

from __future__ import annotations

import re
from datetime import date
from typing import Any

from django import forms

from inventory.guesses import Guess
from production.forms import CHOOSE, ORDINARY_HUNDREDTHS
from production.models import Line, SellingDay, Terms
from studio.days import london_day, show_day
from studio.errors import StudioError
from studio.forms import (
    CountField,
    DayField,
    PoundsField,
    StudioForm,
    TypedField,
    WholeNumberField,
)

PARTS_IN_ONE = 100
WHOLE = 100 * PARTS_IN_ONE
_SHARE = re.compile(r"(?P<whole>[0-9]{1,3})(\.(?P<after>[0-9]{1,2}))?")

# How goods are usually sold on each kind of day: what the form begins with.
USUAL_BASIS = {
    SellingDay.Kind.SLOT: Terms.Basis.SALE_OR_RETURN,
    SellingDay.Kind.REPEAT: Terms.Basis.SALE_OR_RETURN,
    SellingDay.Kind.FAIR: Terms.Basis.OWN,
    SellingDay.Kind.ONLINE: Terms.Basis.OWN,
}
# Boxes of the form and the columns they fill; empty stands for nought.
AMOUNTS = {
    "commission": "commission_ten_thousandths",
    "card_fee": "card_fee_ten_thousandths",
    "card_fee_each": "card_fee_pence",
    "carriage_out": "carriage_out_pence",
    "carton_charge": "carton_charge_pence",
    "return_carriage": "return_carriage_pence",
    "spoiled": "spoiled_hundredths",
    "customer_returns": "customer_returns_hundredths",
    "late_fine": "late_fine_pence",
    "postage_help": "postage_help_pence",
}
# Boxes whose emptiness means that nobody knows.
MAYBE = {
    "carton_most": "carton_most_grams",
    "left_over": "left_over_pence",
    "post_within": "post_within_working_days",
    "statement_to": "statement_to",
    "paid_on": "paid_on",
    "repeat_share": "repeat_share_hundredths",
}
USUAL_CARTON = 20


class NotAShare(StudioError):
    """A share of a hundred that is none."""

    def __init__(self, typed: str) -> None:
        self.typed = typed
        super().__init__(
            f"“{typed}” is not a share of a hundred. Write a number from 0 to 100, "
            "with two places after the point at most, like 40 or 1.69."
        )


class TakesTheWholePrice(StudioError):
    """Charges that leave nothing of a price."""

    def __init__(self, ten_thousandths: int) -> None:
        self.ten_thousandths = ten_thousandths
        super().__init__(
            f"Commission and card fee together take {show_share(ten_thousandths)} of "
            "a hundred: nothing is left of the price. Check both, please."
        )


class DirectWithoutClock(StudioError):
    """Direct orders for which nobody said by when they must be posted."""

    def __init__(self) -> None:
        super().__init__(
            "They sell direct orders, so write within how many working days you must "
            "post one."
        )


class PaidBeforeSold(StudioError):
    """A day of money or of a statement that comes too early."""

    def __init__(self, what: str, day: date, before: str, earliest: date) -> None:
        self.what, self.day, self.before, self.earliest = what, day, before, earliest
        super().__init__(
            f"{what} ({show_day(day)}) comes before {before} ({show_day(earliest)}). "
            "Check both days, please."
        )


def parse_share(typed: str) -> int:
    """Read a share of a hundred, such as 40, 1.69 or 12.5%; give ten-thousandths."""
    found = _SHARE.fullmatch(typed.strip().removesuffix("%").strip())
    if found is None:
        raise NotAShare(typed)
    parts = int(found["whole"]) * PARTS_IN_ONE + int(
        (found["after"] or "").ljust(2, "0")
    )
    if parts > WHOLE:
        raise NotAShare(typed)
    return parts


def show_share(ten_thousandths: int) -> str:
    """Write ten-thousandths as a share of a hundred: 169 as 1.69, 4000 as 40."""
    whole, after = divmod(ten_thousandths, PARTS_IN_ONE)
    return f"{whole}.{after:02}".rstrip("0").rstrip(".") if after else str(whole)


class ShareField(TypedField):
    """A share of a hundred as typed; whole ten-thousandths as cleaned."""

    inputmode = "decimal"

    def read(self, typed: str) -> int:
        return parse_share(typed)

    def show(self, value: Any) -> str:
        return show_share(value)


class TermsForm(StudioForm):
    """What was agreed: who pays when, what is taken off, what comes home and how."""

    basis = forms.ChoiceField(
        choices=Terms.Basis,
        label="How are the goods sold?",
        error_messages={"invalid_choice": CHOOSE},
    )
    commission = ShareField(required=False, label="Commission, in 100 of the price")
    card_fee = ShareField(required=False, label="Card fee, in 100 of the price")
    card_fee_each = PoundsField(required=False, label="Card fee for each payment")
    carriage_out = PoundsField(
        required=False,
        label="Getting the goods there costs",
        help_text="Once for all of them. For a fair, the travel.",
    )
    carton_charge = PoundsField(required=False, label="One carton home costs")
    carton_holds = CountField(required=False, highest=1000, label="A carton holds")
    carton_most = WholeNumberField(
        required=False,
        lowest=100,
        highest=100_000,
        label="A full carton may weigh, in grams",
        help_text="15000 is fifteen kilograms.",
    )
    return_carriage = PoundsField(
        required=False, label="Carriage home for each one, besides its carton"
    )
    spoiled = WholeNumberField(
        required=False, highest=100, label="Of 100 that come home, so many are spoiled"
    )
    customer_returns = WholeNumberField(
        required=False, highest=100, label="Of 100 sold, so many come back"
    )
    left_over = PoundsField(
        required=False,
        label="One coming home costs",
        help_text="Only where you know better: a carton’s share is taken otherwise.",
    )
    direct_orders = forms.BooleanField(
        required=False, label="They also sell direct orders that we post."
    )
    post_within = WholeNumberField(
        required=False, lowest=1, highest=60, label="Post within working days"
    )
    late_fine = PoundsField(required=False, label="Fine for each late one")
    postage_help = PoundsField(required=False, label="Postage they pay a packet")
    statement_to = DayField(required=False, label="Statement up to")
    paid_on = DayField(required=False, label="Money comes on")
    repeat_share = WholeNumberField(
        required=False,
        highest=200,
        label="A repeat draws, in 100",
        help_text="Of a hundred sold in the first hour, so many in the repeat.",
    )

    def __init__(self, *args: Any, selling_day: SellingDay, **kwargs: Any) -> None:
        self.sells_on = london_day(selling_day.starts_at)
        super().__init__(*args, **kwargs)

    def clean(self) -> dict[str, Any]:
        found = super().clean() or {}
        taken = (found.get("commission") or 0) + (found.get("card_fee") or 0)
        if taken >= WHOLE:
            self.refuse(TakesTheWholePrice(taken), "commission")
        if found.get("direct_orders") and not (
            found.get("post_within") or "post_within" in self.errors
        ):
            self.refuse(DirectWithoutClock(), "post_within")
        self.check_days(found.get("statement_to"), found.get("paid_on"))
        return found

    def check_days(self, statement_to: date | None, paid_on: date | None) -> None:
        """Refuse money before the statement, and a statement before the day."""
        day = "the selling day"
        if statement_to and statement_to < self.sells_on:
            self.refuse(
                PaidBeforeSold("The statement", statement_to, day, self.sells_on),
                "statement_to",
            )
        elif statement_to and paid_on and paid_on < statement_to:
            self.refuse(
                PaidBeforeSold("The money", paid_on, "the statement", statement_to),
                "paid_on",
            )

    def as_terms(self) -> dict[str, Any]:
        """Return what `set_terms` takes."""
        found = self.cleaned_data
        return {
            "basis": found["basis"],
            "direct_orders": found["direct_orders"],
            "carton_holds": found["carton_holds"] or USUAL_CARTON,
            **{column: found[box] or 0 for box, column in AMOUNTS.items()},
            **{column: found[box] for box, column in MAYBE.items()},
        }


def typed_terms(terms: Terms | None, kind: str) -> dict[str, Any]:
    """Return the terms as the form would have been filled in; nought stays empty.

    Where none are written yet, only what is usual for such a day.
    """
    if terms is None:
        return {"carton_holds": USUAL_CARTON, "basis": USUAL_BASIS.get(kind)}  # type: ignore[call-overload]
    return {
        "basis": terms.basis,
        "direct_orders": terms.direct_orders,
        "carton_holds": terms.carton_holds,
        **{box: getattr(terms, column) or None for box, column in AMOUNTS.items()},
        **{box: getattr(terms, column) for box, column in MAYBE.items()},
    }


class GuessHalfWritten(StudioError):
    """One or two of three numbers."""

    def __init__(self) -> None:
        super().__init__(
            "A guess is three numbers: low, likely and high. Write all three, or none."
        )


class GuessForm(StudioForm):
    """Her low, likely and high number of one line, and what its price draws."""

    low = CountField(required=False, lowest=0, label="Low")
    likely = CountField(required=False, lowest=0, label="Likely")
    high = CountField(required=False, lowest=0, label="High")
    draws = WholeNumberField(
        required=False, lowest=1, highest=1000, label="This price draws, in 100"
    )

    def __init__(self, *args: Any, line: Line, **kwargs: Any) -> None:
        self.line = line
        kwargs["initial"] = {
            "low": line.guess_low,
            "likely": line.guess_likely,
            "high": line.guess_high,
            "draws": line.draws_hundredths,
        }
        super().__init__(*args, prefix=f"line-{line.pk}", **kwargs)
        for field in self.fields.values():
            # The page says once that all of them may stay empty.
            field.is_one_of_two = True  # type: ignore[attr-defined]

    def clean(self) -> dict[str, Any]:
        found = super().clean() or {}
        three = [found.get(name) for name in ("low", "likely", "high")]
        if self.errors or three == [None] * 3:
            return found
        if None in three:
            self.refuse(GuessHalfWritten(), "low")
            return found
        try:
            Guess(found["low"], found["likely"], found["high"])
        except StudioError as out_of_order:
            self.refuse(out_of_order, "low")
        return found

    def as_guess(self) -> dict[str, Any]:
        """Return what `set_guess` takes."""
        found = self.cleaned_data
        return {
            **{name: found[name] for name in ("low", "likely", "high")},
            "draws_hundredths": found["draws"] or ORDINARY_HUNDREDTHS,
        }
