"""The most that can surely be made and posted, and what to declare for a repeat.

    surely   = free on the shelf + mended + the most that pieces and sessions make
    declared = the smaller of surely and (wanted with room to spare - still there)

Wanted with room to spare is the smallest number for which the chance that more is
wanted, rounded to 0.01, is at most 0.05. A tenth of each session's minutes is kept free
for what goes wrong, so that a promise with a fine does not hang on the last sheet. Good
pieces are the usual ones, rounded down. All three are rules of the house. Checked
against sums worked by hand.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from fractions import Fraction

from inventory.demand import Belief
from production.mix.best import best_mix_for
from production.mix.plan import MixPlan, session_minutes
from production.mix.question import MixLine, MixQuestion
from production.mix.reasons import what_stops

KEPT_FREE = Fraction(1, 10)
MOST_MADE = 1000


@dataclass(frozen=True)
class Supply:
    """What there is for one product before its day of posting.

    ``bench`` holds ways, layouts, sessions, stock, limits and spoil; what else a session
    owes is ``owed_minutes`` by its code, and is no part of the bench's limits any more.
    """

    code: str
    free_now: int
    mended: int
    bench: MixQuestion
    owed_minutes: Mapping[str, int]
    most_posted: int | None = None


@dataclass(frozen=True)
class Surely:
    """The most that can be kept, how it is made, and what stops the next one."""

    count: int
    made: int
    plan: MixPlan
    minutes: int
    with_every_minute: int
    stopped_by: str


@dataclass(frozen=True)
class Declared:
    """What to declare, and how it was weighed."""

    number: int
    wanted: int
    chance_of_more: float
    expected_sold: float
    sentences: tuple[str, ...]


def most_surely(supply: Supply, kept_free: Fraction = KEPT_FREE) -> Surely:
    """Return the most that can surely be made and posted."""
    question = _question(supply, kept_free)
    plan = best_mix_for(question)
    made = plan.quantities[supply.code]
    every = best_mix_for(_question(supply, Fraction(0))).quantities[supply.code]
    there = supply.free_now + supply.mended
    return Surely(
        count=_posted(supply, there + made),
        made=made,
        plan=plan,
        minutes=sum(session_minutes(question, sheets) for sheets in plan.sheets),
        with_every_minute=_posted(supply, there + every),
        stopped_by=_stopped_by(supply, question, plan),
    )


def declare(belief: Belief, still_there: int, surely: int) -> Declared:
    """Say how many to declare for a repeat that wants so many."""
    enough = belief.smallest_when_rounded()
    wanted = max(0, enough - still_there)
    number = max(0, min(wanted, surely))
    more = belief.chance_of_more(still_there + number)
    sold = belief.expected_sold(still_there + number)
    return Declared(
        number, wanted, more, sold, _sentences(number, wanted, surely, more, belief)
    )


def _question(supply: Supply, kept_free: Fraction) -> MixQuestion:
    sessions = tuple(
        replace(
            session,
            net_minutes=max(
                0,
                int(session.net_minutes * (1 - kept_free))
                - supply.owed_minutes.get(session.code, 0),
            ),
        )
        for session in supply.bench.sessions
    )
    line = MixLine(supply.code, (1,) * MOST_MADE)
    return replace(supply.bench, lines=(line,), sessions=sessions)


def _posted(supply: Supply, count: int) -> int:
    return count if supply.most_posted is None else min(count, supply.most_posted)


def _stopped_by(supply: Supply, question: MixQuestion, plan: MixPlan) -> str:
    made = plan.quantities[supply.code]
    there = supply.free_now + supply.mended + made
    if supply.most_posted is not None and there > supply.most_posted:
        return f"No more than {supply.most_posted} can be posted in time."
    return f"The next {supply.code} {what_stops(question, plan, supply.code)}."


def _sentences(
    number: int, wanted: int, surely: int, more: float, belief: Belief
) -> tuple[str, ...]:
    about = f"About {belief.mean:.1f} are wanted, give or take {belief.spread:.1f}."
    chance = f"The chance that more is wanted is {more:.2f}."
    if number < wanted:
        return (
            about,
            f"Declare {number}: {wanted} would be asked for and {surely} can surely be "
            "made and posted.",
            chance,
        )
    return about, f"Declare {number}.", chance
