"""Fields that choose: a place, an outlet, a state, an item by its code."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from django import forms
from django.core.exceptions import ValidationError

from inventory.models import (
    Item,
    Outlet,
    PartsLine,
    PartsList,
    Place,
    State,
    Supplier,
)
from studio.forms import TypedField

if TYPE_CHECKING:
    PlaceChoice = forms.ModelChoiceField[Place]
    OutletChoice = forms.ModelChoiceField[Outlet]
    SupplierChoice = forms.ModelChoiceField[Supplier]
    ItemChoice = forms.ModelChoiceField[Item]
    PartsListChoice = forms.ModelChoiceField[PartsList]
else:
    PlaceChoice = OutletChoice = SupplierChoice = forms.ModelChoiceField
    ItemChoice = PartsListChoice = forms.ModelChoiceField

_CHOOSE = "Choose one from the list."


# Words that are addresses of their own under /goods/.
_ADDRESSES = frozenset(
    {
        *("add", "ask", "asked-for", "begin", "below-nought", "deliveries", "designs"),
        *(
            "from-block",
            "holds",
            "outlets",
            "incomplete",
            "list.csv",
            "places",
            "samples",
            "suppliers",
        ),
    }
)


def read_code(typed: str) -> str:
    """Refuse codes that could not stand in an address."""
    code = typed.strip()
    if " " in code or any(sign in code for sign in "/\\?#%&") or "\t" in code:
        raise ValidationError(
            "A code has no spaces and no / ? # or %. Write it like RF-090.",
            code="unfit-code",
        )
    if code.lower() in _ADDRESSES:
        raise ValidationError(
            f"{code} is the name of a page. Choose another code.", code="unfit-code"
        )
    return code


class PlaceField(PlaceChoice):
    """A place of ours; the outside ones belong to the ledger."""

    def __init__(self, **kwargs: Any) -> None:
        kwargs.setdefault("empty_label", "Choose a place")
        kwargs.setdefault(
            "error_messages",
            {
                "required": "Choose a place from the list.",
                "invalid_choice": "That place is not in the book. Choose another.",
            },
        )
        ours = Place.objects.exclude(kind=Place.Kind.OUTSIDE)
        super().__init__(ours, **kwargs)


class OutletField(OutletChoice):
    def __init__(self, **kwargs: Any) -> None:
        kwargs.setdefault("empty_label", "Choose an outlet")
        kwargs.setdefault(
            "error_messages", {"required": _CHOOSE, "invalid_choice": _CHOOSE}
        )
        super().__init__(Outlet.objects.all(), **kwargs)


class SupplierField(SupplierChoice):
    def __init__(self, **kwargs: Any) -> None:
        kwargs.setdefault("empty_label", "Choose a supplier")
        kwargs.setdefault(
            "error_messages", {"required": _CHOOSE, "invalid_choice": _CHOOSE}
        )
        super().__init__(Supplier.objects.all(), **kwargs)


class StateField(forms.ChoiceField):
    """A state of goods, without those that have a page of their own."""

    def __init__(self, *, leave_out: tuple[str, ...] = (), **kwargs: Any) -> None:
        choices = [
            (value, label) for value, label in State.choices if value not in leave_out
        ]
        super().__init__(
            choices=choices,
            error_messages={"required": _CHOOSE, "invalid_choice": _CHOOSE},
            **kwargs,
        )


class ItemField(TypedField):
    """An item as typed by its code, or by the whole of its name."""

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self.widget.attrs.setdefault("list", "items-known")

    def read(self, typed: str) -> Item:
        code = typed.split(" · ")[0].strip()
        found = (
            Item.objects.filter(code__iexact=code).first()
            or Item.objects.filter(name__iexact=typed.strip()).first()
        )
        if found is None:
            raise ValidationError(
                f"Nothing in the book is called {typed}. Write its code or its whole "
                "name, or add it to the goods first.",
                code="no-such-item",
            )
        return found

    def show(self, value: Any) -> str:
        return value.code if isinstance(value, Item) else str(value)


class PieceField(ItemChoice):
    """A part of the item's own parts lists."""

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(
            Item.objects.none(),
            empty_label="Choose a piece",
            error_messages={
                "required": "Choose the piece that is missing.",
                "invalid_choice": "That piece is no part of this. Choose another.",
            },
            **kwargs,
        )

    def ask_for_parts_of(self, item: Item) -> None:
        """Offer loose pieces first, then what else is in the set."""
        parts = PartsLine.objects.filter(parts_list__item=item, gives_back=False)
        self.queryset = Item.objects.filter(pk__in=parts.values("item")).order_by(
            "-kind", "code"
        )


class WayField(PartsListChoice):
    """One of an item's ways of being made up, where there is a choice."""

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(
            PartsList.objects.none(),
            empty_label=None,
            required=False,
            error_messages={"invalid_choice": _CHOOSE},
            **kwargs,
        )

    def offer_ways_of(self, item: Item) -> bool:
        ways = item.parts_lists.order_by("rank")
        self.queryset = ways
        self.initial = ways.first()
        return len(ways) > 1

    def label_from_instance(self, obj: PartsList) -> str:
        return obj.name
