"""What a limit costs, what her own plan loses, and what one more of a line costs.

Each by solving again: with one step more of the limit, with her numbers pinned, with
one more of the line promised. A limit whose bound in fractions gains nothing needs no
search.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

from production.mix.best import best_mix_for
from production.mix.model import MixModel
from production.mix.plan import MixPlan, used_of_limits
from production.mix.question import MixQuestion
from studio.money import show_pounds

SECONDS_EACH = 3.0
MINUTES = "minutes"
MORE_MINUTES = 30


@dataclass(frozen=True)
class More:
    """One step more of a limit, a thing, or the helper's minutes, in words."""

    code: str
    step: int
    words: str


@dataclass(frozen=True)
class LimitWorth:
    """What that step brings in pence at least, and how the numbers of the lines move.

    ``at_most_pence`` is the same figure where it was proven in time.
    """

    more: More
    gain_pence: int
    at_most_pence: int
    moves: Mapping[str, int]
    sentence: str


@dataclass(frozen=True)
class OwnPlan:
    """Her numbers as a plan of their own, and what they lose against the best."""

    plan: MixPlan
    loses_pence: int
    sentence: str


@dataclass(frozen=True)
class OneMore:
    """One more of a line: what it wins itself and what the other lines give up."""

    code: str
    wins_pence: int
    costs_pence: int | None
    moves: Mapping[str, int]
    sentence: str


def steps_of(question: MixQuestion) -> tuple[More, ...]:
    """Name one step more of each limit, and of the helper's minutes."""
    steps = [
        More(limit.code, limit.step, limit.words or f"{limit.step} more {limit.code}")
        for limit in question.limits
    ]
    if question.sessions and question.layouts:
        last = question.sessions[-1].code
        words = f"{MORE_MINUTES} more minutes in {last}"
        steps.append(More(MINUTES, MORE_MINUTES, words))
    return tuple(steps)


def limits_worth(
    question: MixQuestion,
    plan: MixPlan,
    steps: Iterable[More] | None = None,
    seconds: float = SECONDS_EACH,
) -> tuple[LimitWorth, ...]:
    """Say for each step what it would bring, the most worth first."""
    asked = steps_of(question) if steps is None else steps
    idle = _idle_limits(question, plan, seconds)
    found = [
        LimitWorth(more, 0, 0, {}, _brings(more, 0, 0, {}))
        if more.code in idle
        else _worth(question, plan, more, seconds)
        for more in asked
    ]
    return tuple(sorted(found, key=lambda worth: -worth.gain_pence))


def own_plan(
    question: MixQuestion,
    best: MixPlan,
    numbers: Mapping[str, int],
    seconds: float = SECONDS_EACH,
) -> OwnPlan:
    """Plan around her numbers and compare with the best."""
    lines = tuple(
        replace(line, pinned=numbers.get(line.code, line.pinned))
        for line in question.lines
    )
    plan = best_mix_for(replace(question, lines=lines), seconds)
    loses = max(0, best.gain - plan.gain)
    return OwnPlan(plan, loses, _own_sentence(plan, loses, numbers))


def one_more(
    question: MixQuestion, plan: MixPlan, code: str, seconds: float = SECONDS_EACH
) -> OneMore:
    """Say what one more of a line would cost the others."""
    count = plan.quantities[code] + 1
    line = next(line for line in question.lines if line.code == code)
    wins = line.gain(count) - line.gain(count - 1)
    asked = replace(line, at_least=count, pinned=None)
    other = best_mix_for(
        replace(
            question,
            lines=tuple(asked if one is line else one for one in question.lines),
        ),
        seconds,
    )
    if set(other.short) - set(plan.short):
        words = f"One more {code} cannot be had, whatever else is left out."
        return OneMore(code, wins, None, {}, words)
    moves = _moves(plan, other)
    costs = wins - (other.gain - plan.gain)
    moved = {one: by for one, by in moves.items() if one != code}
    words = (
        f"One more {code} wins {show_pounds(wins)} and costs "
        f"{'' if other.proven else 'at most '}{show_pounds(costs)}"
        f"{': ' + _told(moved) if moved else ''}."
    )
    return OneMore(code, wins, costs, moves, words)


def _idle_limits(question: MixQuestion, plan: MixPlan, seconds: float) -> set[str]:
    """Name limits with room to spare without which no plan gains more: one search."""
    used = used_of_limits(question, plan)
    roomy = {limit.code for limit in question.limits if used[limit.code] < limit.amount}
    if not roomy or not plan.proven:
        return set()
    kept = tuple(limit for limit in question.limits if limit.code not in roomy)
    other = best_mix_for(replace(question, limits=kept), seconds, plan)
    return roomy if other.proven and other.gain == plan.gain else set()


def _worth(
    question: MixQuestion, plan: MixPlan, more: More, seconds: float
) -> LimitWorth:
    changed = with_more(question, more)
    most = MixModel(changed).program.most_in_fractions()
    if plan.proven and most is not None and most <= plan.gain:
        return LimitWorth(more, 0, 0, {}, _brings(more, 0, 0, {}))
    other = best_mix_for(changed, seconds, plan)
    gain = max(0, other.gain - plan.gain)
    at_most = gain if other.proven else max(gain, other.bound - plan.gain)
    moves = _moves(plan, other) if gain else {}
    return LimitWorth(more, gain, at_most, moves, _brings(more, gain, at_most, moves))


def with_more(question: MixQuestion, more: More) -> MixQuestion:
    """Return the question with one step more of something."""
    limits = tuple(
        replace(limit, amount=limit.amount + more.step * (limit.code == more.code))
        for limit in question.limits
    )
    if limits != question.limits:
        return replace(question, limits=limits)
    if more.code == MINUTES and question.sessions:
        last = question.sessions[-1]
        longer = replace(last, net_minutes=last.net_minutes + more.step)
        return replace(question, sessions=(*question.sessions[:-1], longer))
    there = question.stock.get(more.code, 0) + more.step
    return replace(question, stock={**question.stock, more.code: there})


def _moves(before: MixPlan, after: MixPlan) -> dict[str, int]:
    return {
        code: after.quantities[code] - count
        for code, count in before.quantities.items()
        if after.quantities[code] != count
    }


def _brings(more: More, gain: int, at_most: int, moves: Mapping[str, int]) -> str:
    words = more.words[:1].upper() + more.words[1:]
    if not at_most:
        return f"{words} would bring nothing."
    if not gain:
        return f"{words} would bring {show_pounds(at_most)} at most."
    if at_most > gain:
        brings = f"{show_pounds(gain)} to {show_pounds(at_most)}"
    else:
        brings = show_pounds(gain)
    return f"{words} would bring {brings}: {_told(moves)}."


def _told(moves: Mapping[str, int]) -> str:
    more = [f"{by} more {code}" for code, by in moves.items() if by > 0]
    fewer = [f"{-by} fewer {code}" for code, by in moves.items() if by < 0]
    return _listed([*more, *fewer]) or "the same sets for less"


def _listed(words: Sequence[str]) -> str:
    if len(words) < 2:
        return "".join(words)
    return f"{', '.join(words[:-1])} and {words[-1]}"


def _own_sentence(plan: MixPlan, loses: int, numbers: Mapping[str, int]) -> str:
    if plan.short:
        missing = [
            f"{numbers.get(code, plan.quantities[code] + short)} {code}, of which "
            f"{plan.quantities[code]} can be had"
            for code, short in plan.short.items()
        ]
        return f"Your numbers cannot all be reached: {_listed(missing)}."
    if not loses:
        return "Your numbers gain as much as any."
    about = "" if plan.proven else "at most "
    return f"Your numbers gain {about}{show_pounds(loses)} less than the best ones."
