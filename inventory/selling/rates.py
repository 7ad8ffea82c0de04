"""Sales by size as they were: a rate while in stock, or an honest "cannot say".

    kept = sold - came back        rate = kept / weeks in which it could be bought

Television hours and fairs have sums of their own and never make the rate. What was
missed while a size was out stands apart as a guess. The strongest size is picked
after looking, so the luck of a gap counts for every pair of sizes (the correction of
Bonferroni, from memory).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from inventory import demand
from inventory.selling.missed import Missed, missed_while_out
from studio.errors import StudioError

LEAST_DAYS = 14
MINUTES_IN_AN_HOUR = 60
_LESS_THAN = 1 / 10_000


class DaysBelowNought(StudioError):
    """A size that was in or out of stock for fewer days than none."""

    def __init__(self, name: str, days: float) -> None:
        self.name = name
        self.days = days
        super().__init__(
            f"{name} cannot have been in or out of stock for {days:g} days. "
            "Correct the days it was out, please."
        )


@dataclass(frozen=True)
class Occasions:
    """Sales of one kind of occasion, and how long it lasted in its own unit."""

    sold: int = 0
    minutes: float = 0.0
    times: int = 0


@dataclass(frozen=True)
class SizeSales:
    """What the book knows of one size. A correction may bring ``kept`` below nought."""

    name: str
    sold: int
    returned: int
    days_in_stock: float
    days_out: float = 0.0
    television: Occasions = Occasions()
    fairs: Occasions = Occasions()

    @property
    def kept(self) -> int:
        """Count what was sold and did not come back."""
        return self.sold - self.returned


@dataclass(frozen=True)
class SizeTold:
    """One size judged; ``rate``, ``share`` and ``missed`` are None: cannot say."""

    sales: SizeSales
    rate: demand.Rate | None
    share: float | None
    missed: Missed | None
    sentence: str
    apart: tuple[str, ...]


@dataclass(frozen=True)
class Gap:
    """Whether the strongest size is proved to sell faster than another."""

    stronger: str
    weaker: str
    proved: bool
    luck: float
    sentence: str


@dataclass(frozen=True)
class SizesTold:
    """All sizes of a design, in the order given, and the gaps between them."""

    lines: tuple[SizeTold, ...]
    gaps: tuple[Gap, ...]
    sentence: str


def honest_sizes(
    sizes: Sequence[SizeSales],
    prior: demand.Belief | None = None,
    least_days: float = LEAST_DAYS,
) -> SizesTold:
    """Judge the sizes of one design beside each other.

    Raises DaysBelowNought where a size has fewer days than none.
    """
    for size in sizes:
        _check(size)
    judged = [_judge(size, prior, least_days) for size in sizes]
    shares = _shares([rate for rate, _ in judged])
    lines = tuple(
        SizeTold(
            sales=size,
            rate=rate,
            share=part,
            missed=missed_while_out(rate, size.days_out) if rate else None,
            sentence=sentence,
            apart=_apart(size),
        )
        for size, (rate, sentence), part in zip(sizes, judged, shares, strict=True)
    )
    gaps = gaps_between(lines)
    return SizesTold(lines, gaps, _summary(lines, gaps))


def gaps_between(lines: Sequence[SizeTold]) -> tuple[Gap, ...]:
    """Compare the strongest size that can be judged with every other one."""
    known = [(line.sales.name, line.rate) for line in lines if line.rate]
    if len(known) < 2:
        return ()
    best = max(known, key=lambda one: one[1].per_week)
    pairs = len(known) * (len(known) - 1) // 2
    return tuple(_gap(best, other, pairs) for other in known if other is not best)


def _gap(
    best: tuple[str, demand.Rate], other: tuple[str, demand.Rate], pairs: int
) -> Gap:
    difference = demand.proved_different(best[1], other[1])
    luck = min(1.0, pairs * difference.luck)
    proved = luck < demand.LUCK_BELOW
    start = (
        f"{best[0]} against {other[0]}: {shown(best[1].per_week)} a week in stock "
        f"against {shown(other[1].per_week)}"
    )
    among = "" if pairs == 1 else " somewhere among these sizes"
    if proved:
        words = f"The gap is proved: luck alone makes one like it{among} {often(luck)}."
    else:
        words = (
            "The gap between the two sizes is not proved: luck alone makes one like "
            f"it{among} {often(luck)}."
        )
    return Gap(best[0], other[0], proved, luck, f"{start}. {words}")


def _check(size: SizeSales) -> None:
    for days in (size.days_in_stock, size.days_out):
        if not days >= 0:
            raise DaysBelowNought(size.name, days)


def _judge(
    size: SizeSales, prior: demand.Belief | None, least_days: float
) -> tuple[demand.Rate | None, str]:
    why_not = _why_not(size, least_days)
    if why_not:
        return None, f"Cannot say: {why_not}"
    rate = demand.rate_while_in_stock(size.kept, size.days_in_stock, prior)
    return rate, rate.sentence


def _why_not(size: SizeSales, least_days: float) -> str:
    if size.kept < 0:
        return (
            f"{size.returned} came back and only {size.sold} went out. "
            "Look at its corrections."
        )
    if not size.days_in_stock and size.kept:
        return (
            f"{size.kept} sold, yet no day is written on which it could be bought. "
            "Look at the days it was out."
        )
    if not size.days_in_stock:
        return _never_in_stock(size)
    if size.days_in_stock < least_days:
        return (
            f"it could be bought on {size.days_in_stock:g} days only, and "
            f"{least_days:g} are the least to judge by."
        )
    return ""


def _never_in_stock(size: SizeSales) -> str:
    if size.television.sold or size.fairs.sold:
        return "it was only sold on television or at fairs, never day by day."
    if size.days_out:
        return "it was sold out on every day looked at."
    return "it was never in stock."


def _shares(rates: Sequence[demand.Rate | None]) -> list[float | None]:
    total = sum(rate.per_week for rate in rates if rate)
    return [rate.per_week / total if rate and total else None for rate in rates]


def _apart(size: SizeSales) -> tuple[str, ...]:
    told = []
    air, fairs = size.television, size.fairs
    if air.sold or air.times:
        told.append(_on_air(air))
    if fairs.sold or fairs.times:
        at = f"{fairs.times} {'fair' if fairs.times == 1 else 'fairs'}"
        told.append(f"{fairs.sold} sold at {at if fairs.times else 'fairs'}.")
    return tuple(told)


def _on_air(air: Occasions) -> str:
    if air.minutes <= 0:
        return f"{air.sold} sold on television; the minutes on air are not written."
    an_hour = air.sold * MINUTES_IN_AN_HOUR / air.minutes
    return (
        f"{air.sold} sold in {air.minutes:g} minutes on air while there were any: "
        f"{an_hour:.1f} an hour."
    )


def _summary(lines: Sequence[SizeTold], gaps: Sequence[Gap]) -> str:
    known = [line for line in lines if line.rate]
    if not known:
        return "The record cannot say yet which size sells."
    best = max(known, key=lambda line: line.rate.per_week if line.rate else 0.0)
    if best.rate and not best.rate.per_week:
        return "Nothing was sold day by day, so no size leads."
    if not gaps:
        return f"{best.sales.name} is the only size that can be judged yet."
    unproved = [gap.weaker for gap in gaps if not gap.proved]
    if not unproved:
        return f"{best.sales.name} sells fastest while in stock, and that is proved."
    return (
        f"{best.sales.name} sold fastest while in stock, but its lead over "
        f"{' and '.join(unproved)} is not proved."
    )


def shown(per_week: float) -> str:
    """Write a weekly rate with one place, or two below one a week."""
    return f"{per_week:.1f}" if per_week >= 1 else f"{per_week:.2f}"


def often(chance: float) -> str:
    """Say how often a thing of this chance happens."""
    if chance >= 0.95:
        return "nearly always"
    if chance >= 0.1:
        return f"about {round(10 * chance)} times in 10"
    if chance < _LESS_THAN:
        return "less than 1 time in 10,000"
    return f"about 1 time in {round(1 / chance):,}"
