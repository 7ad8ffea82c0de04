"""One batch for one occasion: how many, when what is left over is worth something.

    lost by one short = price - cost + goodwill       lost by one left = cost - value left
    service = lost by one short / (lost by one short + lost by one left)

The answer is the smallest whole number whose chance of being enough reaches the
service. Expected sales S(q) = sum over k < q of P(demand > k); left over = q - S;
turned away = mean - S. Making the k-th piece on top of s on the shelf is worth

    gain(k) = (price - value left) P(demand >= s + k) - (cost - value left)

Source: the news-stand problem as in Snyder and Shen, Fundamentals of Supply Chain
Theory, and Cachon and Terwiesch. A table of demand is reckoned in exact fractions.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from fractions import Fraction
from math import exp, lgamma, log
from typing import Protocol

from inventory.demand import Belief
from studio.maths.chances import negative_binomial

_MOST_COUNTED = 100_000


class Demand(Protocol):
    """How likely each count is, and the mean."""

    @property
    def mean(self) -> float: ...
    def chance_of(self, count: int) -> float | Fraction: ...


@dataclass(frozen=True)
class PoissonDemand:
    """Demand whose mean is given, not learned."""

    mean: float

    def chance_of(self, count: int) -> float:
        """Return the chance of exactly this count."""
        if not self.mean:
            return float(count == 0)
        return exp(count * log(self.mean) - self.mean - lgamma(count + 1))


@dataclass(frozen=True)
class LearnedDemand:
    """Demand over one unit of exposure of a belief: wider than Poisson."""

    belief: Belief

    @property
    def mean(self) -> float:
        """Return the expected demand."""
        return self.belief.mean

    def chance_of(self, count: int) -> float:
        """Return the chance of exactly this count."""
        p = self.belief.exposure / (self.belief.exposure + 1)
        return negative_binomial(count, self.belief.shape, p)


@dataclass(frozen=True)
class TableDemand:
    """Demand as a table of exact chances."""

    chances: Mapping[int, Fraction]

    @property
    def mean(self) -> float:
        """Return the expected demand."""
        return float(sum(count * chance for count, chance in self.chances.items()))

    def chance_of(self, count: int) -> Fraction:
        """Return the chance of exactly this count."""
        return self.chances.get(count, Fraction(0))


@dataclass(frozen=True)
class SaleTerms:
    """What one piece brings, costs, is worth afterwards; goodwill of one turned away.

    The price is net of commission, card fee and postage.
    """

    price_pence: int
    cost_pence: int
    left_value_pence: int = 0
    goodwill_pence: int = 0

    @property
    def short_pence(self) -> int:
        """Return the money lost by being one short."""
        return self.price_pence - self.cost_pence + self.goodwill_pence

    @property
    def left_pence(self) -> int:
        """Return the money lost by one left over."""
        return self.cost_pence - self.left_value_pence


@dataclass(frozen=True)
class Outlook:
    """What is to be expected of one quantity; money in pence."""

    quantity: int
    chance_enough: float
    sold: float
    left_over: float
    turned_away: float
    profit_pence: float
    cost_pence: float


@dataclass(frozen=True)
class BatchSize:
    """The number to make or send, or None when no number is too many."""

    quantity: int | None
    service: Fraction
    equally_good: int | None
    outlook: Outlook | None
    sentences: tuple[str, ...]


def best_quantity(terms: SaleTerms, demand: Demand) -> BatchSize:
    """Return the smallest quantity with the best expected profit."""
    if terms.left_pence <= 0 and terms.short_pence > 0:
        return _no_limit()
    service = _service(terms)
    quantity, reached = _smallest(demand, service)
    tie = _next_possible(demand, quantity) if reached == service and quantity else None
    outlook = outlook_for(quantity, terms, demand)
    return BatchSize(quantity, service, tie, outlook, _sentences(outlook, tie, service))


def outlook_for(quantity: int, terms: SaleTerms, demand: Demand) -> Outlook:
    """Work out what to expect of any quantity, hers or the best."""
    at_most: float = 0.0
    sold = 0.0
    for count, chance in _chances(demand, quantity):
        at_most += float(chance)
        if count < quantity:
            sold += 1.0 - at_most
    left, away = quantity - sold, demand.mean - sold
    profit = (
        terms.price_pence * sold
        + terms.left_value_pence * left
        - terms.cost_pence * quantity
        - terms.goodwill_pence * away
    )
    cost = terms.left_pence * left + terms.short_pence * away
    return Outlook(quantity, at_most, sold, left, away, profit, cost)


def gains(
    terms: SaleTerms, demand: Demand, on_shelf: int, count: int
) -> tuple[float, ...]:
    """Return what each further piece is worth in pence, the first one first."""
    at_least = 1.0 - sum(float(demand.chance_of(k)) for k in range(on_shelf))
    worth = []
    for k in range(on_shelf, on_shelf + count):
        at_least -= float(demand.chance_of(k))
        worth.append(
            (terms.price_pence - terms.left_value_pence) * at_least - terms.left_pence
        )
    return tuple(worth)


def _service(terms: SaleTerms) -> Fraction:
    if terms.short_pence <= 0:
        return Fraction(0)
    return Fraction(terms.short_pence, terms.short_pence + terms.left_pence)


def _smallest(demand: Demand, service: Fraction) -> tuple[int, float | Fraction]:
    if service <= 0:
        return 0, Fraction(1)
    at_most: float | Fraction = Fraction(0)
    for count, chance in _chances(demand, _MOST_COUNTED):
        at_most = at_most + chance
        if at_most >= service:
            return count, at_most
    return _MOST_COUNTED, at_most


def _chances(demand: Demand, last: int) -> Iterator[tuple[int, float | Fraction]]:
    return ((count, demand.chance_of(count)) for count in range(last + 1))


def _next_possible(demand: Demand, quantity: int) -> int | None:
    further = range(quantity + 1, quantity + _MOST_COUNTED)
    return next((k for k in further if demand.chance_of(k)), None)


def _no_limit() -> BatchSize:
    sentence = (
        "One left over loses nothing on these terms, so no number is too many. "
        "Send as many as there is time to make."
    )
    return BatchSize(None, Fraction(1), None, None, (sentence,))


def _sentences(outlook: Outlook, tie: int | None, service: Fraction) -> tuple[str, ...]:
    if service <= 0:
        return ("One sold brings no more than it costs: make none on these terms.",)
    first = (
        f"{outlook.quantity}: nobody is turned away {100 * outlook.chance_enough:.0f} "
        f"times in 100, and {float(100 * service):.0f} are worth paying for."
    )
    second = (
        f"About {outlook.left_over:.1f} come home and "
        f"{outlook.turned_away:.1f} are turned away."
    )
    if tie is None:
        return first, second
    return first, second, f"Every number up to {tie} is equally good."
