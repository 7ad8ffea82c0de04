"""What one coming selling day wants of one line: record, guess, or both.

    five comparable days or more   their product-limit curve, sell-outs "at least"
    fewer                          n of n + 1 parts the curve, one part the belief
    her guess                      the belief: her guess, learned upon by the days
    neither                        nothing is known

The belief lets days differ, see ``inventory.grid_belief``. Beyond the most ever sold
the curve says nothing: there the belief gives the tail, and no number is taken from it
unless she guessed herself. How much of an answer is guess is

    variance of the mean after the days / variance of the mean before them,

for gamma and Poisson the part b / (b + exposure) of a belief Gamma(a, b). Weighing n
days against one more that the belief draws is a rule of the house; five days too.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import accumulate
from typing import Literal

from inventory.demand import Belief, NothingKnown
from inventory.grid_belief import GridBelief, learned
from inventory.guesses import Guess
from inventory.past_days import PastDay
from inventory.slot_demand import Curve, at_least_demand, service_quantity

Kind = Literal["record", "record and guess", "guess", "nothing"]
ENOUGH_DAYS = 5
ORDINARY = Fraction(1)


@dataclass(frozen=True)
class DayDemand:
    """How likely each number is; ``above[k]`` is the chance of more than k."""

    kind: Kind
    above: tuple[float, ...]
    curve: Curve
    guess_share: float

    @property
    def is_known(self) -> bool:
        """Say whether there is a record or a guess."""
        return self.kind != "nothing"

    @property
    def is_guess(self) -> bool:
        """Say whether her guess is in the answer."""
        return self.kind in ("guess", "record and guess")

    @property
    def most_known(self) -> int | None:
        """Return the number beyond which the record says nothing; None with a guess."""
        return None if self.is_guess else self.curve.most_tried

    @property
    def mean(self) -> float:
        """Return the expected demand."""
        return sum(self.above)

    def chance_of_more(self, count: int) -> float:
        """Return the chance that more than this are wanted."""
        self._check()
        if count < 0:
            return 1.0
        return self.above[count] if count < len(self.above) else 0.0

    def chance_of(self, count: int) -> float:
        """Return the chance of exactly this count."""
        return self.chance_of_more(count - 1) - self.chance_of_more(count)

    def _check(self) -> None:
        if not self.is_known:
            raise NothingKnown


@dataclass(frozen=True)
class Risk:
    """What one number risks: chance that it runs out, sold, left over, turned away."""

    runs_out: float
    sold: float
    left_over: float
    turned_away: float


@dataclass(frozen=True)
class DayNumber:
    """The number that these terms want, or None with the number it must exceed."""

    quantity: int | None
    more_than: int
    service: Fraction
    is_guess: bool
    sentences: tuple[str, ...]


def day_demand(
    days: Sequence[PastDay], guess: Guess | None = None, draws: Fraction = ORDINARY
) -> DayDemand:
    """Say what a day that draws so much wants, from earlier days and her guess."""
    curve = at_least_demand([(day.as_on(draws), day.sold_out) for day in days])
    prior = guess.belief() if guess else None
    if prior is None and not any(day.exposure for day in days):
        return DayDemand("nothing", (), curve, 0.0)
    if prior is not None and not days:
        return DayDemand("guess", _above(_counts_of(prior)), curve, 1.0)
    ordinary = None if prior is None else prior.times(float(1 / draws))
    belief = learned(days, ordinary)
    tail = _above(belief.times(float(draws)).chances)
    if ordinary is not None:
        return DayDemand("record and guess", tail, curve, _share(ordinary, belief))
    return DayDemand("record", _joined(curve, tail), curve, 0.0)


def risk_of(demand: DayDemand, quantity: int) -> Risk:
    """Say what to expect of any number, hers or the best."""
    sold = sum(demand.chance_of_more(k) for k in range(quantity))
    runs_out = demand.chance_of_more(quantity)
    return Risk(runs_out, sold, quantity - sold, demand.mean - sold)


def number_for(demand: DayDemand, short_pence: int, left_pence: int) -> DayNumber:
    """Return the smallest number whose chance of being enough these terms pay for.

    Where the record cannot say, none is made up: the caller asks for her guess.
    """
    by_record = service_quantity(demand.curve, short_pence, left_pence)
    if demand.kind == "nothing":
        return DayNumber(
            None, by_record.more_than, by_record.service, False, by_record.sentences
        )
    if demand.kind == "record" and demand.curve.records >= ENOUGH_DAYS:
        return DayNumber(
            by_record.quantity,
            by_record.more_than,
            by_record.service,
            False,
            by_record.sentences,
        )
    return _by_belief(demand, by_record.service, by_record.sentences)


def _by_belief(
    demand: DayDemand, service: Fraction, record: tuple[str, ...]
) -> DayNumber:
    quantity = _smallest(demand, float(1 - service))
    most = demand.curve.most_tried
    if not demand.is_guess:
        if quantity is None or quantity > most:
            return DayNumber(None, most, service, False, _cannot_say(demand.curve))
        return DayNumber(quantity, quantity, service, False, _of_few(demand, quantity))
    if quantity is None:
        return DayNumber(None, most, service, True, _no_end())
    return DayNumber(
        quantity, quantity, service, True, _of_guess(demand, quantity, record)
    )


def _smallest(demand: DayDemand, most_chance: float) -> int | None:
    return next(
        (k for k, more in enumerate(demand.above) if more <= most_chance + 1e-12), None
    )


def _above(chances: Sequence[float]) -> tuple[float, ...]:
    at_most = accumulate(chances)
    return tuple(max(0.0, 1.0 - reached) for reached in at_most)


def _counts_of(belief: Belief) -> tuple[float, ...]:
    found: list[float] = []
    left = 1.0
    p = belief.exposure / (belief.exposure + 1)
    chance = p**belief.shape
    while left > 1e-9:
        found.append(chance)
        left -= chance
        chance *= (belief.shape + len(found) - 1) * (1 - p) / len(found)
    return tuple(found)


def _share(before: Belief, after: GridBelief) -> float:
    doubt_before = before.shape / before.exposure**2
    return min(1.0, after.doubt**2 / doubt_before)


def _joined(curve: Curve, tail: Sequence[float]) -> tuple[float, ...]:
    """Follow the curve as far as it goes, and the belief beyond the most ever sold."""
    days, most = curve.records, curve.most_tried
    part = 1.0 if days >= ENOUGH_DAYS else days / (days + 1)
    steps = {step.quantity: float(step.share_above) for step in curve.steps}
    found, share = [], 1.0
    for count in range(max(most + 1, len(tail))):
        share = steps.get(count, share)
        own = tail[count] if count < len(tail) else 0.0
        known = share * _beyond(tail, most, count)
        found.append(part * known + (1 - part) * own)
    return tuple(found)


def _beyond(tail: Sequence[float], most: int, count: int) -> float:
    if count <= most:
        return 1.0
    at_most = tail[most] if most < len(tail) else 0.0
    return tail[count] / at_most if at_most and count < len(tail) else 0.0


def _cannot_say(curve: Curve) -> tuple[str, ...]:
    days = "1 earlier day is" if curve.records == 1 else f"{curve.records} days are"
    return (
        f"The record cannot say: {days} too few for it, and {curve.most_tried} is the "
        "most ever sold. Type your own low, likely and high number, please.",
    )


def _of_few(demand: DayDemand, quantity: int) -> tuple[str, ...]:
    enough = round(100 * (1 - demand.chance_of_more(quantity)))
    days = demand.curve.records
    return (
        f"Send {quantity}: enough about {enough} times in 100, as far as "
        f"{days} earlier {'day' if days == 1 else 'days'} can tell.",
    )


def _of_guess(
    demand: DayDemand, quantity: int, record: tuple[str, ...]
) -> tuple[str, ...]:
    enough = round(100 * (1 - demand.chance_of_more(quantity)))
    first = f"Send {quantity}: enough about {enough} times in 100, by your own guess"
    if demand.kind == "guess":
        return (f"{first} alone. There is no record yet.",)
    parts = round(100 * demand.guess_share)
    return (
        f"{first} and the record together; {parts} parts in 100 of it are guess.",
        f"The record alone: {record[0]}",
    )


def _no_end() -> tuple[str, ...]:
    return (
        "One left over loses nothing on these terms, so no number is too many. "
        "Send as many as there is time to make.",
    )
