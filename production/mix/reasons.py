"""One sentence for each line: why this many and not one more.

The next set of a line is looked up in what the plan leaves over: the limits it would
use, the parts it would take, the sheet that would give them and the minutes left for
one. Nothing is solved again.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from production.mix.plan import (
    MixPlan,
    left_of_things,
    session_minutes,
    used_of_limits,
)
from production.mix.question import MixLine, MixQuestion, MixWay
from studio.money import show_pounds


@dataclass(frozen=True)
class _Left:
    """What the plan leaves of things, limits, and minutes in the freest session."""

    things: Mapping[str, int]
    limits: Mapping[str, int]
    minutes: int


def reasons(question: MixQuestion, plan: MixPlan) -> dict[str, str]:
    """Return for each line one sentence that says why it is so many."""
    left = _left(question, plan)
    return {line.code: _reason(question, plan, line, left) for line in question.lines}


def what_stops(question: MixQuestion, plan: MixPlan, code: str) -> str:
    """Return what the next set of a line lacks, as the end of a sentence."""
    line = next(line for line in question.lines if line.code == code)
    return _lacks(question, line, _left(question, plan))


def _left(question: MixQuestion, plan: MixPlan) -> _Left:
    used = used_of_limits(question, plan)
    free = (
        session.net_minutes - session_minutes(question, sheets)
        for session, sheets in zip(question.sessions, plan.sheets, strict=True)
    )
    return _Left(
        left_of_things(question, plan),
        {limit.code: limit.amount - used[limit.code] for limit in question.limits},
        max(free, default=0),
    )


def _reason(question: MixQuestion, plan: MixPlan, line: MixLine, left: _Left) -> str:
    count, short = plan.quantities[line.code], plan.short.get(line.code, 0)
    if short:
        asked = f"{count + short} {line.code} are asked for and {count} can be had"
        return f"{asked}; the next one {_lacks(question, line, left)}."
    if line.pinned is not None:
        return f"{count} {line.code}: your number."
    worth = line.gain(count + 1) - line.gain(count)
    if count >= line.most or worth <= 0:
        return _enough(line, count)
    next_one = f"{count} {line.code}; the next one, worth {show_pounds(worth)},"
    return f"{next_one} {_lacks(question, line, left)}."


def _enough(line: MixLine, count: int) -> str:
    if count and count == line.at_least:
        return f"{count} {line.code}: as promised, and more would not pay."
    if count >= len(line.gains):
        return f"{count} {line.code}: as many as the record or your guess speaks for."
    return f"{count} {line.code}: one more would cost more than it is likely to bring."


def _lacks(question: MixQuestion, line: MixLine, left: _Left) -> str:
    ways = [way for way in question.ways if way.product == line.code]
    limits = _short_limits(question, line.uses, left)
    if limits:
        return f"finds {_listed(limits)} used up"
    if left.things.get(line.code, 0) > 0:
        return "would gain less than what it takes from others"
    if not ways:
        return _no_way(question, line.code, left)
    told = [_way_lacks(question, way, left) for way in ways]
    return min(told, key=len)


def _no_way(question: MixQuestion, code: str, left: _Left) -> str:
    words = _sheet_for(question, code, left)
    return words or "is not on the shelf and nothing makes it"


def _way_lacks(question: MixQuestion, way: MixWay, left: _Left) -> str:
    limits = _short_limits(question, way.uses, left)
    if limits:
        return f"finds {_listed(limits)} used up"
    lacking = {
        part: count - max(0, left.things.get(part, 0))
        for part, count in way.needs.items()
        if count > max(0, left.things.get(part, 0))
    }
    if not lacking:
        return "would gain less than what it takes from others"
    words = [f"{count} {part}" for part, count in lacking.items()]
    sheet = next(
        (told for part in lacking if (told := _sheet_for(question, part, left))), ""
    )
    return f"lacks {_listed(words)}" + (f", and {sheet}" if sheet else "")


def _sheet_for(question: MixQuestion, piece: str, left: _Left) -> str:
    """Say why no further sheet gives this piece; empty where none ever does."""
    layouts = [layout for layout in question.layouts if layout.gives.get(piece)]
    if not layouts:
        return ""
    shortest = min(layouts, key=lambda layout: layout.minutes + layout.set_up_minutes)
    short = _short_limits(question, shortest.uses, left)
    if short:
        return f"there is no more of {_listed(short)} for a sheet of {shortest.code}"
    minutes = shortest.minutes + shortest.set_up_minutes
    if minutes > left.minutes:
        return (
            f"no session has the {minutes} minutes left that a sheet of "
            f"{shortest.code} takes"
        )
    return f"a whole sheet of {shortest.code} would not pay for itself"


def _short_limits(
    question: MixQuestion, uses: Mapping[str, int], left: _Left
) -> list[str]:
    return [
        limit.code
        for limit in question.limits
        if uses.get(limit.code, 0) > left.limits[limit.code]
    ]


def _listed(words: Sequence[str]) -> str:
    if len(words) < 2:
        return "".join(words)
    return f"{', '.join(words[:-1])} and {words[-1]}"
