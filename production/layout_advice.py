"""Which layout for a small shortfall, and layouts that do not match their sets.

Shortfall: a layout is safe with the fewest sheets whose chance of giving enough
good pieces, at the usual spoil, is at least 19 in 20. Among safe layouts take the
one with the fewest kinds of piece that nobody asked for, then the fewest minutes,
then list order. The limit of 19 in 20 is a rule of the house.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import prod

from production.sheetplan import Layout
from production.spoil import chance_of_at_least

SAFE_ENOUGH = Fraction(19, 20)
MOST_SHEETS = 200

_WORDS = (
    *("no", "one", "two", "three", "four", "five", "six"),
    *("seven", "eight", "nine", "ten", "eleven", "twelve"),
)


@dataclass(frozen=True)
class Offer:
    """One layout for the shortfall, and how sure it is."""

    layout: Layout
    sheets: int
    chance: Fraction
    chance_of_one_sheet: Fraction
    unasked: tuple[str, ...]

    @property
    def minutes(self) -> int:
        """Add up the helper minutes."""
        return self.sheets * self.layout.minutes


@dataclass(frozen=True)
class Suggestion:
    """The sheet to cut, the other layouts looked at, and the reasons."""

    best: Offer
    others: tuple[Offer, ...]
    reasons: tuple[str, ...]


@dataclass(frozen=True)
class LayoutFault:
    """A layout that gives too few of one piece of the set it is laid out for."""

    layout: str
    product: str
    piece: str
    gives: int
    fullest_piece: str
    fullest_gives: int
    short: int
    sentence: str


def sheet_for_shortfall(
    shortfall: Mapping[str, int], layouts: Iterable[Layout], spoil: Fraction
) -> Suggestion | None:
    """Suggest sheets of one layout for all short pieces, or None if none gives all."""
    short = {piece: count for piece, count in shortfall.items() if count > 0}
    offers = [
        offer
        for layout in layouts
        if short and all(layout.gives.get(piece) for piece in short)
        if (offer := _offer(layout, short, spoil))
    ]
    if not offers:
        return None
    best, *others = sorted(offers, key=lambda o: (len(o.unasked), o.minutes))
    return Suggestion(best, tuple(others), _reasons(best, others, short))


def layout_faults(
    layouts: Iterable[Layout], recipes: Mapping[str, Mapping[str, int]]
) -> tuple[LayoutFault, ...]:
    """Name layouts that hold every piece of a set but not the same number of sets.

    ``recipes`` maps a product to the pieces of one set, without paper and dots.
    """
    return tuple(
        fault
        for layout in layouts
        for product, needs in recipes.items()
        if len(needs) > 1 and all(layout.gives.get(piece) for piece in needs)
        for fault in _faults(layout, product, needs)
    )


def _offer(layout: Layout, short: Mapping[str, int], spoil: Fraction) -> Offer | None:
    for sheets in range(1, MOST_SHEETS + 1):
        chance = _chance(layout, sheets, short, spoil)
        if chance >= SAFE_ENOUGH:
            return Offer(
                layout=layout,
                sheets=sheets,
                chance=chance,
                chance_of_one_sheet=_chance(layout, 1, short, spoil),
                unasked=tuple(
                    p for p, n in layout.gives.items() if n and p not in short
                ),
            )
    return None


def _chance(
    layout: Layout, sheets: int, short: Mapping[str, int], spoil: Fraction
) -> Fraction:
    return prod(
        (
            chance_of_at_least(count, layout.gives[piece] * sheets, 1 - spoil)
            for piece, count in short.items()
        ),
        start=Fraction(1),
    )


def _reasons(
    best: Offer, others: Sequence[Offer], short: Mapping[str, int]
) -> tuple[str, ...]:
    sheets = "1 sheet" if best.sheets == 1 else f"{best.sheets} sheets"
    pieces = " and ".join(f"{count} {piece}" for piece, count in short.items())
    first = (
        f"Cut {sheets} of {best.layout.code}, {best.minutes} minutes, for {pieces}: "
        f"enough good pieces {_in_a_hundred(best.chance)}."
    )
    return (first, *(_why_not(other) for other in others))


def _why_not(offer: Offer) -> str:
    sentence = (
        f"1 sheet of {offer.layout.code} is enough only "
        f"{_in_a_hundred(offer.chance_of_one_sheet)}"
        if offer.sheets > 1
        else f"1 sheet of {offer.layout.code} takes {offer.minutes} minutes"
    )
    if not offer.unasked:
        return f"{sentence}."
    return f"{sentence}, and it adds {', '.join(offer.unasked)} nobody has asked for."


def _in_a_hundred(chance: Fraction) -> str:
    return f"{int(100 * chance)} times in 100"


def _faults(
    layout: Layout, product: str, needs: Mapping[str, int]
) -> Iterable[LayoutFault]:
    sets = {piece: layout.gives[piece] // n for piece, n in needs.items()}
    fullest = max(sets, key=lambda piece: sets[piece])
    for piece, count in needs.items():
        short = sets[fullest] * count - layout.gives[piece]
        if short > 0:
            yield LayoutFault(
                layout=layout.code,
                product=product,
                piece=piece,
                gives=layout.gives[piece],
                fullest_piece=fullest,
                fullest_gives=layout.gives[fullest],
                short=short,
                sentence=(
                    f"Layout {layout.code} gives {layout.gives[fullest]} {fullest} but "
                    f"{layout.gives[piece]} {piece}: {_word(short)} short for each sheet."
                ),
            )


def _word(count: int) -> str:
    return _WORDS[count] if count < len(_WORDS) else str(count)
