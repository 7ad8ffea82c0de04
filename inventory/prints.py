"""Papers of the goods room: a sheet to count by, and a slip that says what is held."""

from __future__ import annotations

from typing import Any

from django.http import HttpResponse

from inventory.models import Balance, Claim, Place
from inventory.pictures import with_pictures
from studio import printing
from studio.access import StudioRequest


def count_sheet(request: StudioRequest, place: Place) -> HttpResponse:
    """Print what should lie in a place, with boxes to write what was found."""
    return printing.paper_response(
        request,
        "inventory/print/count_sheet.html",
        {"place": place, "lines": lines_of(place), "studio": request.studio},
        f"count-{place.code}.pdf",
        title=f"Count of {place.name}",
    )


def lines_of(place: Place) -> list[dict[str, Any]]:
    """Return the goods of a place in the order of their names: five queries."""
    balances = Balance.objects.filter(place=place).exclude(count=0)
    return [
        {"item": one.item, "state": one.get_state_display(), "count": one.count}
        for one in with_pictures(balances, by="item").order_by("item__name", "state")
    ]


def hold_slip(request: StudioRequest, claim: Claim) -> HttpResponse:
    """Print the slip that lies with goods held for somebody."""
    return printing.paper_response(
        request,
        "inventory/print/hold_slip.html",
        {"claim": claim, "studio": request.studio},
        f"hold-{claim.pk}.pdf",
        title=f"Held for {claim.label}",
    )
