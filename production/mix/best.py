"""Find the best mix and prove it.

First by totals, which can only promise too much; then the plan with the fewest minutes
that gains as much; then its sheets are laid into sessions. Only where they do not fit
is the mix sought again session by session, from the best that comes of leaving some
minutes free. Promises and pins that cannot all be reached are first brought as near as
they can be.
"""

from __future__ import annotations

from dataclasses import replace
from math import inf
from time import monotonic

from production.mix.model import MixModel
from production.mix.packing import Sheets, into_sessions
from production.mix.plan import MixPlan, gain_of
from production.mix.question import MixLine, MixQuestion

USUAL_SECONDS = 10.0
SHORTEST_WITHIN = 0.5
PACKED_WITHIN = 1.0
LESS_MINUTES = (12, 24, 48, 96, 192)
LESS_WITHIN = 2.0
PROMISES_WITHIN = 3.0


class _Clock:
    def __init__(self, seconds: float) -> None:
        self.ends = monotonic() + seconds

    def left(self, most: float = inf) -> float:
        return max(0.05, min(most, self.ends - monotonic()))


def best_mix_for(
    question: MixQuestion,
    seconds: float = USUAL_SECONDS,
    start: MixPlan | None = None,
) -> MixPlan:
    """Return the mix that gains the most; ``proven`` when none gains more.

    ``start`` is a plan that keeps the rules of this question, to begin from.
    """
    clock = _Clock(seconds)
    plan = _best(question, clock, start)
    if plan is not None:
        return plan
    promises = _promises_only(question)
    short = {
        line.code: line.fewest - promises.quantities[line.code]
        for line in question.lines
        if promises.quantities[line.code] < line.fewest
    }
    reachable = replace(
        question,
        lines=tuple(
            _lowered(line, promises.quantities[line.code]) for line in question.lines
        ),
    )
    return replace(_best(reachable, clock) or promises, short=short)


def _best(
    question: MixQuestion, clock: _Clock, start: MixPlan | None = None
) -> MixPlan | None:
    """Return the best plan, or None where promises and pins cannot all be reached."""
    totals = MixModel(question)
    begun = None if start is None else totals.values_of(start)
    outcome = totals.program.most(clock.left(), begun)
    if outcome.values is None:
        return None
    plan = _plan_of(totals, outcome.values, None, outcome.bound)
    totals.prefer_short(plan.gain)
    known = dict(enumerate(outcome.values))
    shorter = totals.program.most(clock.left(SHORTEST_WITHIN), known)
    values = shorter.values or outcome.values
    plan = _plan_of(totals, values, None, outcome.bound)
    sheets = into_sessions(question, plan.sheets_of, clock.left(PACKED_WITHIN))
    if sheets is not None:
        return replace(plan, sheets=sheets)
    fitting = _with_less_room(totals, plan, clock)
    return _by_sessions(question, clock, outcome.bound, fitting or start)


def _with_less_room(totals: MixModel, plan: MixPlan, clock: _Clock) -> MixPlan | None:
    """Return the best plan that leaves ever more minutes free, until its sheets fit."""
    question = totals.question
    taken = sum(
        layout.minutes * plan.sheets_of.get(layout.code, 0)
        for layout in question.layouts
    )
    for less in LESS_MINUTES:
        model = MixModel(question, most_minutes=taken - less)
        outcome = model.program.most(clock.left(LESS_WITHIN))
        if outcome.values is None:
            continue
        found = _plan_of(model, outcome.values, None, plan.bound)
        sheets = into_sessions(question, found.sheets_of, clock.left(PACKED_WITHIN))
        if sheets is not None:
            return replace(found, sheets=sheets)
    return None


def _by_sessions(
    question: MixQuestion, clock: _Clock, bound: int, start: MixPlan | None
) -> MixPlan | None:
    model = MixModel(question, by_session=True)
    known = None if start is None else model.values_of(start)
    outcome = model.program.most(clock.left(), known)
    if outcome.values is None:
        return start
    sheets = _sheets_of(model, outcome.values)
    bound = min(bound, outcome.bound)
    found = _plan_of(model, outcome.values, sheets, bound)
    if start is not None and start.gain > found.gain:
        return replace(start, bound=bound, proven=start.gain >= bound)
    return found


def _sheets_of(model: MixModel, values: tuple[int, ...]) -> Sheets:
    return tuple(
        {
            layout.code: values[column]
            for layout, column in zip(model.question.layouts, columns, strict=True)
            if values[column]
        }
        for columns in model.in_session
    )


def _plan_of(
    model: MixModel, values: tuple[int, ...], sheets: Sheets | None, bound: int
) -> MixPlan:
    question = model.question
    totals = {
        layout.code: values[column]
        for layout, column in zip(question.layouts, model.sheets, strict=True)
        if values[column]
    }
    plan = MixPlan(
        quantities={code: values[column] for code, column in model.sets.items()},
        sheets=(totals,) if sheets is None else sheets,
        made=tuple(values[column] for column in model.ways),
        bought=tuple(values[column] for column in model.purchases),
        gain=0,
        bound=bound,
        proven=False,
        short={},
    )
    gain = gain_of(question, plan)
    return replace(plan, gain=gain, proven=gain >= bound)


def _promises_only(question: MixQuestion) -> MixPlan:
    """Return a plan that is as few sets short of promises and pins as can be."""
    model = MixModel(question, by_session=True)
    model.keep_promises()
    outcome = model.program.most(PROMISES_WITHIN)
    if outcome.values is None:
        return _nothing(question)
    return _plan_of(
        model, outcome.values, _sheets_of(model, outcome.values), _all(question)
    )


def _lowered(line: MixLine, reached: int) -> MixLine:
    pinned = None if line.pinned is None else min(line.pinned, reached)
    return replace(line, at_least=min(line.at_least, reached), pinned=pinned)


def _nothing(question: MixQuestion) -> MixPlan:
    return MixPlan(
        quantities={line.code: 0 for line in question.lines},
        sheets=tuple({} for _ in question.sessions),
        made=(0,) * len(question.ways),
        bought=(0,) * len(question.purchases),
        gain=0,
        bound=_all(question),
        proven=_all(question) == 0,
        short={},
    )


def _all(question: MixQuestion) -> int:
    return sum(line.gain(line.most) for line in question.lines)
