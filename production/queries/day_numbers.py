"""What each line of a coming day may be wanted: its earlier days and her guess.

Earlier days count by how much of an ordinary hour they drew: the hour's own factor,
the price's, and for a repeat the share that a repeat draws.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from fractions import Fraction

from inventory.day_demand import DayDemand, day_demand
from inventory.guesses import Guess
from inventory.past_days import HourShape, PastDay, Tallied, learned_shape
from production.models import Line, SellingDay, Tally, Terms
from production.queries.proposals import TELEVISED, sold_out
from production.repeat import USUAL_REPEAT_SHARE

HUNDRED = 100


def demand_for(
    selling_day: SellingDay, lines: Iterable[Line]
) -> Mapping[int, DayDemand]:
    """Return by line what it may be wanted on the day: four queries for all."""
    lines = list(lines)
    past = past_days(selling_day, lines)
    repeats = repeat_shares([selling_day])
    return {
        line.pk: day_demand(
            past[line.item_id],
            guess_of(line),
            draws_of(selling_day, line, repeats),
        )
        for line in lines
    }


def guess_of(line: Line) -> Guess | None:
    """Return her guess, or None where she made none."""
    if line.guess_low is None or line.guess_likely is None or line.guess_high is None:
        return None
    return Guess(line.guess_low, line.guess_likely, line.guess_high)


def past_days(
    selling_day: SellingDay, lines: Iterable[Line]
) -> Mapping[int, list[PastDay]]:
    """Return by item its earlier days of this kind, the oldest first."""
    televised = selling_day.kind in TELEVISED
    kinds = TELEVISED if televised else (selling_day.kind,)
    earlier = list(
        Line.objects.filter(
            item__in=[line.item_id for line in lines],
            sold__isnull=False,
            selling_day__kind__in=kinds,
            selling_day__starts_at__lt=selling_day.starts_at,
        )
        .select_related("selling_day")
        .order_by("selling_day__starts_at", "pk")
    )
    shape = hour_shape(kinds)
    repeats = repeat_shares([line.selling_day for line in earlier])
    found: dict[int, list[PastDay]] = defaultdict(list)
    for line in earlier:
        found[line.item_id].append(past_day(line, shape, repeats))
    return found


def past_day(line: Line, shape: HourShape, repeats: Mapping[int, Fraction]) -> PastDay:
    """Return one earlier day as the belief takes it; its minute may be unknown."""
    is_out, minute = sold_out(line), line.sold_out_minute
    seen: Fraction | None = Fraction(1)
    if is_out:
        lasts = lasts_minutes(line.selling_day)
        seen = None if minute is None else shape.share_seen(minute, lasts)
    draws = draws_of(line.selling_day, line, repeats)
    return PastDay(line.sold or 0, is_out, seen, draws)


def draws_of(
    selling_day: SellingDay, line: Line, repeats: Mapping[int, Fraction]
) -> Fraction:
    """Return what a line draws: hour, price and repeat multiplied; 1 is ordinary."""
    hour = Fraction(selling_day.draws_hundredths, HUNDRED)
    price = Fraction(line.draws_hundredths, HUNDRED)
    return hour * price * repeats.get(selling_day.pk, Fraction(1))


def repeat_shares(selling_days: Sequence[SellingDay]) -> Mapping[int, Fraction]:
    """Return what each repeat draws of its first hour: one query."""
    repeats = {
        day.pk: USUAL_REPEAT_SHARE
        for day in selling_days
        if day.kind == SellingDay.Kind.REPEAT
    }
    written = Terms.objects.filter(
        selling_day__in=list(repeats), repeat_share_hundredths__gt=0
    ).values_list("selling_day", "repeat_share_hundredths")
    return repeats | {day: Fraction(share or 0, HUNDRED) for day, share in written}


def hour_shape(kinds: Sequence[str]) -> HourShape:
    """Return the shape of an hour that her tallies and the house rule make: one query.

    An hour that sold out is no whole one, so its tallies say nothing of the shape.
    """
    by_line: dict[int, list[tuple[int, int]]] = defaultdict(list)
    lasts: dict[int, int] = {}
    rows = (
        Tally.objects.filter(
            line__selling_day__kind__in=kinds, line__sold_out_minute=None
        )
        .select_related("line__selling_day")
        .order_by("line", "minute")
    )
    for tally in rows:
        by_line[tally.line_id].append((tally.minute, tally.gone))
        lasts[tally.line_id] = lasts_minutes(tally.line.selling_day)
    return learned_shape(
        [Tallied(tuple(gone), lasts[line]) for line, gone in by_line.items()]
    )


def lasts_minutes(selling_day: SellingDay) -> int:
    return int((selling_day.ends_at - selling_day.starts_at).total_seconds() // 60)
