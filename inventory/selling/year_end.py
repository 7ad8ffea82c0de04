"""Stock at the end of the year, line by line at the lower of cost and what it fetches.

    a line = count x min(material cost, selling price - what selling it still costs)

rounded once at the end of the line, never below nought. Parts meant for goods that
sell above cost stay at cost. Own hours are no cost, samples stand apart, goods at the
channel that are not sold are still hers. Source of the rule: IAS 2, paragraphs 9, 29
and 32, and section 13 of FRS 102 (from memory). What the law asks is hers to decide.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from studio.money import MILLS_IN_A_PENNY, mills_to_pence, show_pounds

REMINDERS = (
    "Each line stands at the lower of its cost and what it will fetch (IAS 2, "
    "paragraph 9, and FRS 102, section 13; read them, or ask your accountant).",
    "By receipts and payments, which most sole traders use, stock is not part of the "
    "sum, but a count is still worth keeping (gov.uk, Business records if you're "
    "self-employed). Which basis is yours is for you to say.",
    "Your own hours are no cost here. Samples kept for showing stand apart.",
)


@dataclass(frozen=True)
class Counted:
    """What was counted; ``fetches_pence`` None: made into goods, or no price yet."""

    name: str
    place: str
    count: int
    cost_mills: int
    fetches_pence: int | None = None
    still_to_pay_pence: int = 0
    is_sample: bool = False


@dataclass(frozen=True)
class YearEndLine:
    """One line and why it has its value."""

    counted: Counted
    cost_pence: int
    value_pence: int
    sentence: str

    @property
    def written_down_pence(self) -> int:
        """Return by how much it stands below its cost."""
        return self.cost_pence - self.value_pence


@dataclass(frozen=True)
class YearEnd:
    """The stock sheet."""

    lines: tuple[YearEndLine, ...]
    samples: tuple[YearEndLine, ...]
    total_pence: int
    cost_pence: int
    by_place: Mapping[str, int]
    to_ask: tuple[str, ...]
    reminders: tuple[str, ...] = REMINDERS


def value_stock(counted: Iterable[Counted]) -> YearEnd:
    """Value each line on its own; one that fetches more never covers for another."""
    rows = list(counted)
    lines = tuple(_line(one) for one in rows if one.count > 0 and not one.is_sample)
    by_place: Counter[str] = Counter()
    for line in lines:
        by_place[line.counted.place] += line.value_pence
    return YearEnd(
        lines=lines,
        samples=tuple(_line(one) for one in rows if one.count > 0 and one.is_sample),
        total_pence=sum(line.value_pence for line in lines),
        cost_pence=sum(line.cost_pence for line in lines),
        by_place=dict(by_place),
        to_ask=tuple(_questions(rows)),
    )


def _line(one: Counted) -> YearEndLine:
    cost = mills_to_pence(one.count * one.cost_mills)
    if one.fetches_pence is None:
        return YearEndLine(one, cost, cost, "At cost.")
    net = max(0, one.fetches_pence - one.still_to_pay_pence)
    if net * MILLS_IN_A_PENNY >= one.cost_mills:
        return YearEndLine(one, cost, cost, "At cost: it fetches as much or more.")
    value = one.count * net
    sentence = (
        f"At what it fetches, {show_pounds(net)} each: {show_pounds(cost - value)} below "
        "cost."
    )
    return YearEndLine(one, cost, value, sentence)


def _questions(rows: Iterable[Counted]) -> Iterable[str]:
    for one in rows:
        if one.count < 0:
            yield f"{one.name}, {one.place}: the book says {one.count}. Count it, please."
        elif one.count and one.cost_mills <= 0 and not one.is_sample:
            yield f"{one.name}, {one.place}: no cost is written. Write it, please."
