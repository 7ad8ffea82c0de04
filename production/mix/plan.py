"""The answer of the mix, and its check in whole numbers against every rule."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from math import floor

from production.mix.question import MixQuestion


@dataclass(frozen=True)
class MixPlan:
    """How many of each line, which sheets in which session, what is left.

    ``bound`` is the most that any plan could gain; ``proven`` when none gains more.
    ``short`` names lines whose promise or pin cannot be reached, and by how many.
    """

    quantities: Mapping[str, int]
    sheets: tuple[Mapping[str, int], ...]
    made: tuple[int, ...]
    bought: tuple[int, ...]
    gain: int
    bound: int
    proven: bool
    short: Mapping[str, int]

    @property
    def sheets_of(self) -> dict[str, int]:
        """Add up the sheets of each layout over all sessions."""
        total: Counter[str] = Counter()
        for session in self.sheets:
            total.update(session)
        return dict(total)


def gain_of(question: MixQuestion, plan: MixPlan) -> int:
    """Add up in whole pence what a plan gains."""
    cost = {layout.code: layout.cost_pence for layout in question.layouts}
    return (
        sum(line.gain(plan.quantities[line.code]) for line in question.lines)
        - sum(cost[code] * count for code, count in plan.sheets_of.items())
        - sum(
            purchase.cost_pence * count
            for purchase, count in zip(question.purchases, plan.bought, strict=True)
        )
    )


def left_of_things(question: MixQuestion, plan: MixPlan) -> dict[str, int]:
    """Return what is left of each thing, good pieces cut included."""
    left = Counter({thing: question.stock.get(thing, 0) for thing in question.things})
    for piece, count in cut_of(question, plan).items():
        left[piece] += floor((1 - question.spoil) * count)
    for way, times in zip(question.ways, plan.made, strict=True):
        left[way.product] += times
        for thing, count in way.needs.items():
            left[thing] -= count * times
    for purchase, count in zip(question.purchases, plan.bought, strict=True):
        if purchase.thing in left:
            left[purchase.thing] += purchase.adds * count
    for code, count in plan.quantities.items():
        left[code] -= count
    return dict(left)


def cut_of(question: MixQuestion, plan: MixPlan) -> Counter[str]:
    """Count the pieces that come off the cutter, good and spoiled."""
    found: Counter[str] = Counter()
    sheets = plan.sheets_of
    for layout in question.layouts:
        for piece, count in layout.gives.items():
            found[piece] += count * sheets.get(layout.code, 0)
    return found


def used_of_limits(question: MixQuestion, plan: MixPlan) -> Counter[str]:
    """Add up what the plan uses of each limit; a purchase of it counts against."""
    found: Counter[str] = Counter()
    for line in question.lines:
        count = plan.quantities[line.code]
        _add(found, line.uses, count)
        _add(found, line.set_up, int(count > 0))
    for way, times in zip(question.ways, plan.made, strict=True):
        _add(found, way.uses, times)
    for layout in question.layouts:
        _add(found, layout.uses, plan.sheets_of.get(layout.code, 0))
    for purchase, count in zip(question.purchases, plan.bought, strict=True):
        _add(found, purchase.uses, count)
        found[purchase.thing] -= purchase.adds * count
    return found


def _add(found: Counter[str], uses: Mapping[str, int], times: int) -> None:
    for code, count in uses.items():
        found[code] += count * times


def session_minutes(question: MixQuestion, sheets: Mapping[str, int]) -> int:
    """Add up the minutes of one session's sheets and its set-ups."""
    return sum(
        layout.minutes * count + layout.set_up_minutes
        for layout in question.layouts
        if (count := sheets.get(layout.code, 0))
    )


def broken_rules(question: MixQuestion, plan: MixPlan) -> tuple[str, ...]:
    """Name every rule of the question that a plan breaks: none for a good plan."""
    return tuple(_broken(question, plan))


def _broken(question: MixQuestion, plan: MixPlan) -> Iterator[str]:
    yield from _broken_numbers(question, plan)
    for thing, left in left_of_things(question, plan).items():
        if left < 0:
            yield f"{-left} {thing} are missing"
    used = used_of_limits(question, plan)
    for limit in question.limits:
        if used[limit.code] > limit.amount:
            yield f"{used[limit.code]} of {limit.code} are over its limit"
    yield from _broken_sessions(question, plan)
    if plan.gain != gain_of(question, plan):
        yield "the gain does not add up"


def _broken_numbers(question: MixQuestion, plan: MixPlan) -> Iterator[str]:
    for line in question.lines:
        count, short = plan.quantities[line.code], plan.short.get(line.code, 0)
        if count < line.fewest - short:
            yield f"{count} {line.code} are fewer than promised"
        if line.pinned is not None and count > line.pinned:
            yield f"{count} {line.code} are more than pinned"


def _broken_sessions(question: MixQuestion, plan: MixPlan) -> Iterator[str]:
    for session, sheets in zip(question.sessions, plan.sheets, strict=True):
        if session_minutes(question, sheets) > session.net_minutes:
            yield f"{session.code} has too few minutes"
    for limit in question.limits:
        for sessions, amount in limit.early:
            if _used_early(question, plan, limit.code, sessions) > amount:
                yield f"{limit.code} is not there yet in the first {sessions} sessions"


def _used_early(question: MixQuestion, plan: MixPlan, code: str, sessions: int) -> int:
    uses = {layout.code: layout.uses.get(code, 0) for layout in question.layouts}
    return sum(
        uses[layout] * count
        for sheets in plan.sheets[:sessions]
        for layout, count in sheets.items()
    )
