"""How many to send, when a sold-out slot says only "at least".

The share of slots with demand above q is the product-limit estimate (Kaplan and
Meier 1958, from memory): at each sold figure that ended with stock left,

    share above = share above before x (1 - ended here / at risk)

and a sold-out slot leaves the count at risk without ending. The number to send is
the smallest q whose chance of being enough reaches

    service = money lost by one short / (that + money lost by one left over).

All in exact fractions; checked against sums worked by hand.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction

from studio.errors import StudioError


class CostBelowNought(StudioError):
    """A cost of being short or of a piece left over that makes no sense."""

    def __init__(self, short_cost_pence: int, left_cost_pence: int) -> None:
        self.short_cost_pence = short_cost_pence
        self.left_cost_pence = left_cost_pence
        super().__init__(
            "Give what one short loses and what one left over loses; neither may be "
            "below nought, and at least one must be above it."
        )


@dataclass(frozen=True)
class Step:
    """One sold figure: slots at risk, ended with stock left, sold out, share above."""

    quantity: int
    at_risk: int
    ended: int
    sold_out: int
    share_above: Fraction


@dataclass(frozen=True)
class Curve:
    """The share of slots with demand above each figure ever sold."""

    steps: tuple[Step, ...]
    records: int
    sold_out: int
    mean_at_least: Fraction

    @property
    def most_tried(self) -> int:
        """Return the largest number ever sold in a slot."""
        return self.steps[-1].quantity if self.steps else 0


@dataclass(frozen=True)
class ServiceQuantity:
    """The number to send, or None with the number that it must exceed."""

    quantity: int | None
    more_than: int
    service: Fraction
    chance: Fraction
    sentences: tuple[str, ...]


def at_least_demand(records: Iterable[tuple[int, bool]]) -> Curve:
    """Build the curve from pairs of sold and whether the slot sold out."""
    records = sorted(records)
    share, at_risk = Fraction(1), len(records)
    steps, mean, before = [], Fraction(0), 0
    for quantity in sorted({sold for sold, _ in records}):
        here = [out for sold, out in records if sold == quantity]
        ended = here.count(False)
        mean += share * (quantity - before)
        share *= 1 - Fraction(ended, at_risk)
        steps.append(Step(quantity, at_risk, ended, len(here) - ended, share))
        at_risk, before = at_risk - len(here), quantity
    sold_out = sum(step.sold_out for step in steps)
    return Curve(tuple(steps), len(records), sold_out, mean)


def service_quantity(
    curve: Curve, short_cost_pence: int, left_cost_pence: int
) -> ServiceQuantity:
    """Return the number to send, or say that the record cannot tell."""
    total = short_cost_pence + left_cost_pence
    if min(short_cost_pence, left_cost_pence) < 0 or not total:
        raise CostBelowNought(short_cost_pence, left_cost_pence)
    service = Fraction(short_cost_pence, total)
    found = next((s for s in curve.steps if 1 - s.share_above >= service), None)
    if found is None:
        return _cannot_say(curve, service)
    chance = 1 - found.share_above
    sentence = (
        f"Send {found.quantity}: enough in {_in_100(chance)} of 100 slots, and "
        f"{_in_100(service)} of 100 are wanted."
    )
    sentences = (sentence, *_at_least_sentence(curve))
    return ServiceQuantity(found.quantity, found.quantity, service, chance, sentences)


def _cannot_say(curve: Curve, service: Fraction) -> ServiceQuantity:
    if not curve.steps:
        sentence = "There is no record yet. Type your own guess, please."
        return ServiceQuantity(None, 0, service, Fraction(0), (sentence,))
    most = curve.most_tried
    sentences = (
        f"The record cannot say: more than {most}.",
        f"{most} is the most ever tried, and it sold out. "
        "Type your own upper guess, please.",
        *_at_least_sentence(curve),
    )
    chance = 1 - curve.steps[-1].share_above
    return ServiceQuantity(None, most, service, chance, sentences)


def _at_least_sentence(curve: Curve) -> tuple[str, ...]:
    if not curve.sold_out:
        return ()
    return (
        f"In {curve.sold_out} of {curve.records} slots the demand is known only as "
        "“at least”.",
    )


def _in_100(chance: Fraction) -> int:
    return round(100 * chance)
