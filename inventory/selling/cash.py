"""Where cash sleeps: money in goods by place and age, the ten worst, how to wake each.

    money = count x material cost, rounded once at the end of a line
    asleep longest = money x days it has lain; from before the book counts as two years

Samples stand apart: they are kept to be shown. Goods at the channel are still ours
and count. Of the acts that would wake a line, the one that frees the most for each
penny and minute it takes is told. House rules; worked by hand.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from inventory.selling.ages import Age, Layer, age_of
from studio.money import mills_to_pence, show_pounds

BEFORE_THE_BOOK_DAYS = 728
TOP = 10
PENCE_A_MINUTE = 20


@dataclass(frozen=True)
class Act:
    """One cheap act that would wake money: what it frees, costs and takes."""

    sentence: str
    frees_pence: int
    costs_pence: int = 0
    minutes: int = 0

    @property
    def worth(self) -> float:
        """Return what it frees for each penny it takes, minutes included."""
        takes = self.costs_pence + PENCE_A_MINUTE * self.minutes
        return self.frees_pence / (1 + takes)


@dataclass(frozen=True)
class Pile:
    """Goods of one kind in one place, as layers by age."""

    name: str
    kind: str
    place: str
    cost_mills: int
    layers: tuple[Layer, ...]
    acts: tuple[Act, ...] = ()
    is_sample: bool = False
    still_ours_elsewhere: bool = False

    @property
    def count(self) -> int:
        """Add up the layers."""
        return sum(layer.count for layer in self.layers)

    @property
    def pence(self) -> int:
        """Return the money in it."""
        return mills_to_pence(self.count * self.cost_mills)


@dataclass(frozen=True)
class Sleeper:
    """One of the ten: its money, how long it has lain, and what would wake it."""

    pile: Pile
    pence: int
    days: int
    before_the_book: bool
    act: Act | None
    sentence: str


@dataclass(frozen=True)
class CashAsleep:
    """The whole picture; parts by kind, place and age add up to the total."""

    total_pence: int
    elsewhere_pence: int
    samples_pence: int
    by_kind: Mapping[str, int]
    by_place: Mapping[str, int]
    by_age: Mapping[Age, int]
    top: tuple[Sleeper, ...]
    without_cost: tuple[str, ...]
    sentence: str


def cash_asleep(piles: Iterable[Pile], today: date, top: int = TOP) -> CashAsleep:
    """Add up money in goods and name the piles in which it has slept the longest."""
    all_piles = [pile for pile in piles if pile.count > 0]
    goods = [pile for pile in all_piles if not pile.is_sample]
    with_money = [pile for pile in goods if pile.pence > 0]
    worst = sorted(with_money, key=lambda pile: -asleep_for(pile, today))[:top]
    sleepers = tuple(_sleeper(pile, today) for pile in worst)
    total = sum(pile.pence for pile in goods)
    return CashAsleep(
        total_pence=total,
        elsewhere_pence=sum(p.pence for p in goods if p.still_ours_elsewhere),
        samples_pence=sum(pile.pence for pile in all_piles if pile.is_sample),
        by_kind=_by(goods, [pile.kind for pile in goods]),
        by_place=_by(goods, [pile.place for pile in goods]),
        by_age=_by_age(goods, today),
        top=sleepers,
        without_cost=tuple(pile.name for pile in goods if pile.cost_mills <= 0),
        sentence=_sentence(total, sleepers),
    )


def asleep_for(pile: Pile, today: date) -> int:
    """Return the money in a pile times the days it has lain."""
    return sum(
        layer.count * pile.cost_mills * _days(layer, today) for layer in pile.layers
    )


def best_act(acts: Sequence[Act]) -> Act | None:
    """Return the act that frees the most for what it takes; None frees anything."""
    useful = [act for act in acts if act.frees_pence > act.costs_pence]
    return max(useful, key=lambda act: act.worth, default=None)


def _days(layer: Layer, today: date) -> int:
    days = layer.days(today)
    return BEFORE_THE_BOOK_DAYS if days is None else days


def _sleeper(pile: Pile, today: date) -> Sleeper:
    before = any(layer.came_on is None for layer in pile.layers)
    days = max(_days(layer, today) for layer in pile.layers)
    act = best_act(pile.acts)
    since = "from before the book" if before else f"up to {days} days"
    told = act.sentence if act else "Nothing cheap is known that would wake it."
    return Sleeper(
        pile=pile,
        pence=pile.pence,
        days=days,
        before_the_book=before,
        act=act,
        sentence=(
            f"{pile.count} {pile.name}, {pile.place}, {since}: "
            f"{show_pounds(pile.pence)} asleep. {told}"
        ),
    )


def _by(piles: Sequence[Pile], names: Sequence[str]) -> dict[str, int]:
    totals: Counter[str] = Counter()
    for pile, name in zip(piles, names, strict=True):
        totals[name] += pile.pence
    return dict(totals.most_common())


def _by_age(piles: Sequence[Pile], today: date) -> dict[Age, int]:
    """Share each pile's whole pence over its ages, so that they add up to it."""
    totals = dict.fromkeys(Age, 0)
    for pile in piles:
        left = pile.pence
        for layer in pile.layers[1:]:
            part = mills_to_pence(layer.count * pile.cost_mills)
            totals[age_of(layer, today)] += min(part, left)
            left -= min(part, left)
        totals[age_of(pile.layers[0], today)] += left
    return totals


def _sentence(total: int, sleepers: Sequence[Sleeper]) -> str:
    if not total:
        return "No money lies in goods, or no cost is written for them."
    first = f"{show_pounds(total)} lies in goods."
    if not sleepers:
        return first
    part = sum(one.pence for one in sleepers)
    return f"{first} {show_pounds(part)} of it lies in the {len(sleepers)} piles below."
