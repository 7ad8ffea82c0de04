"""What a customs form asks for, as a reminder: she fills it in and signs for it.

    CN22 for goods worth up to £270, CN23 above (operator's rule)
    gross weight = the packed packet; net weight of a line = count × one, unpacked
    value of a line = the price paid

Headings are suggestions from the World Customs Organization's nomenclature (HS 2022)
and published rulings of other countries, which show only the reasoning: each is to be
confirmed by the sender, who answers for it.
"""

from __future__ import annotations

from dataclasses import dataclass

# The operator's line between its two forms; the postal union's own is 300 SDR.
SMALL_FORM_UP_TO_PENCE = 27_000


@dataclass(frozen=True)
class Suggestion:
    """What to write of the goods, and which heading to look at first."""

    description: str
    heading: str
    doubt: str = ""


ACRYLIC = Suggestion(
    "Acrylic templates for cutting patchwork",
    "3926.90",
    "9017.80 for a ruler with a measuring grid",
)
CLOTH = Suggestion(
    "Printed cotton fabric pieces for patchwork",
    "5208.52",
    "5209 above 200 g/m²; 6307.90 for shapes that are not square or oblong",
)
BOOKLET = Suggestion(
    "Printed booklet of sewing instructions",
    "4901.99",
    "4911.99 or 4823.90 for shapes to cut out",
)
DOTS = Suggestion("Self-adhesive non-slip plastic dots", "3919.90")
UNKNOWN = Suggestion("", "")

_BY_KIND = {
    "set": ACRYLIC,
    "single": ACRYLIC,
    "piece": ACRYLIC,
    "gift": ACRYLIC,
    "bundle": CLOTH,
    "pattern": BOOKLET,
    "booklet": BOOKLET,
    "consumable": DOTS,
}


def form_for(value_pence: int) -> str:
    """Name the form for goods of this value leaving Great Britain by post."""
    return "CN22" if value_pence <= SMALL_FORM_UP_TO_PENCE else "CN23"


def suggestion_for(kind: str) -> Suggestion:
    """Suggest words and a heading by the kind of an item, nothing where unsure."""
    return _BY_KIND.get(kind, UNKNOWN)
