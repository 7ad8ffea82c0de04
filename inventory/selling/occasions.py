"""The steady trade apart from occasions: an hour on television, a fair, the days after.

Counts add, so each window of time expects

    steady x days + sum over occasions of uplift x how many of them,   all at least 0

and the likeliest figures come from multiplying each by

    sum(use x count / expected) / sum(use)

again and again (Shepp and Vardi 1982, from memory). An occasion that sold less than
a plain day gets nought and its days join the steady ones. A day outside every listed
occasion is asked about when so many sales had less than 1 chance in 20 of turning up
on any of the days looked at; it is never left out silently.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date

from studio.days import show_day_short
from studio.maths.chances import gamma_at_most

ONE_IN = 20
_MOST_ROUNDS = 5_000
_SETTLED = 1e-11


@dataclass(frozen=True)
class Window:
    """A stretch of days in stock, its sales, and how many of each occasion in it."""

    sold: int
    days: float
    occasions: Mapping[str, float] = field(default_factory=dict)


@dataclass(frozen=True)
class Apart:
    """Sales a day without occasions, and what one of each kind adds on top."""

    steady_per_day: float
    adds: Mapping[str, float]
    sentences: tuple[str, ...]


@dataclass(frozen=True)
class Spike:
    """A day that sold more than luck explains, to be asked about."""

    day: date
    sold: int
    chance: float
    sentence: str


def steady_apart(windows: Sequence[Window]) -> Apart | None:
    """Part the steady rate from occasions; None without a day in stock."""
    kinds = sorted({kind for window in windows for kind in window.occasions})
    uses = [
        [max(0.0, w.days), *(w.occasions.get(kind, 0.0) for kind in kinds)]
        for w in windows
    ]
    if not sum(row[0] for row in uses):
        return None
    found = likeliest_rates([max(0, window.sold) for window in windows], uses)
    adds = dict(zip(kinds, found[1:], strict=True))
    return Apart(found[0], adds, _sentences(found[0], adds))


def likeliest_rates(
    counts: Sequence[int], uses: Sequence[Sequence[float]]
) -> tuple[float, ...]:
    """Return rates, none below nought, that make these counts likeliest.

    A rate that no window uses is nought.
    """
    totals = [sum(column) for column in zip(*uses, strict=True)]
    start = (sum(counts) + 1) / (sum(totals) or 1.0)
    rates = [start if total else 0.0 for total in totals]
    for _ in range(_MOST_ROUNDS):
        better = _one_round(rates, counts, uses, totals)
        moved = max(abs(b - r) for b, r in zip(better, rates, strict=True))
        rates = better
        if moved < _SETTLED * start:
            break
    return tuple(rates)


def unlisted_spikes(
    sold_by_day: Sequence[tuple[date, int]], steady_per_day: float
) -> tuple[Spike, ...]:
    """Name days that sold more than the steady rate can explain."""
    limit = 1 / (ONE_IN * max(1, len(sold_by_day)))
    return tuple(
        Spike(day, sold, chance, _asked(day, sold))
        for day, sold in sold_by_day
        if sold > 0 and (chance := chance_of_so_many(sold, steady_per_day)) < limit
    )


def chance_of_so_many(sold: int, steady_per_day: float) -> float:
    """Return the chance that a plain day sells at least this many."""
    return gamma_at_most(steady_per_day, sold) if sold > 0 else 1.0


def _one_round(
    rates: Sequence[float],
    counts: Sequence[int],
    uses: Sequence[Sequence[float]],
    totals: Sequence[float],
) -> list[float]:
    expected = [sum(r * u for r, u in zip(rates, row, strict=True)) for row in uses]
    ratios = [n / e if e > 0 else 0.0 for n, e in zip(counts, expected, strict=True)]
    return [
        rate * sum(row[j] * q for row, q in zip(uses, ratios, strict=True)) / total
        if total
        else 0.0
        for j, (rate, total) in enumerate(zip(rates, totals, strict=True))
    ]


def _sentences(steady: float, adds: Mapping[str, float]) -> tuple[str, ...]:
    first = f"Without occasions {7 * steady:.1f} a week are sold."
    return (
        first,
        *(
            f"One {kind} adds about {more:.1f}."
            if more >= 0.05
            else f"One {kind} adds nothing that can be seen."
            for kind, more in adds.items()
        ),
    )


def _asked(day: date, sold: int) -> str:
    return (
        f"{sold} sold on {show_day_short(day)}, far more than on a plain day. "
        "What happened? Write it down as an occasion, or leave it as it is."
    )
