"""What to make in the hours there are: the exact best plan, and the reason of each line.

Gains are those of each further piece of a size beyond what is on the shelf, in pence;
the plan is the best whole-number mix under whole sheets, shared pieces, by-product
pieces and minutes (``production.mix``), proven or with its bound. Beside it stands the
list by extra profit for each bench minute (``inventory.selling.next_pieces``), which
says why but does not fit the hours. Sets on the shelf are in the gains already and are
no stock here, or they would be made twice.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from fractions import Fraction

from inventory.selling.next_pieces import Beside, Candidate, beside_the_plan
from production.mix.best import USUAL_SECONDS, best_mix_for
from production.mix.plan import MixPlan, left_of_things
from production.mix.question import (
    MixLayout,
    MixLimit,
    MixLine,
    MixQuestion,
    MixSession,
    MixWay,
)
from studio.money import show_pounds


@dataclass(frozen=True)
class SizeOffer:
    """A size that could be made; ``owed`` must be, ``pinned`` is her own number."""

    candidate: Candidate
    owed: int = 0
    pinned: int | None = None

    @property
    def name(self) -> str:
        """Return its name, which is the code of its product too."""
        return self.candidate.name


@dataclass(frozen=True)
class Bench:
    """Loose parts, ways to make up, layouts, sessions, and what else is limited."""

    sessions: tuple[MixSession, ...]
    ways: tuple[MixWay, ...] = ()
    layouts: tuple[MixLayout, ...] = ()
    stock: Mapping[str, int] = field(default_factory=dict)
    limits: tuple[MixLimit, ...] = ()
    spoil: Fraction = Fraction(0)


@dataclass(frozen=True)
class ChosenLine:
    """How many of a size to make, what that gains, and why."""

    name: str
    count: int
    gain_pence: int
    sentence: str


@dataclass(frozen=True)
class HoursChoice:
    """The plan, its lines, its sheets in words, and the list beside it."""

    plan: MixPlan
    lines: tuple[ChosenLine, ...]
    beside: Beside
    left_over: Mapping[str, int]
    sentences: tuple[str, ...]


def choose_for_hours(
    offers: Sequence[SizeOffer],
    bench: Bench,
    minutes: int,
    seconds: float = USUAL_SECONDS,
) -> HoursChoice:
    """Choose what to make; ``minutes`` are those the list beside it may use.

    Raises PieceWithoutMinutes, NumberBelowNought or SaidTwice.
    """
    question = _question(offers, bench)
    plan = best_mix_for(question, seconds)
    lines = tuple(_line(offer, plan) for offer in offers)
    candidates = [offer.candidate for offer in offers]
    beside = beside_the_plan(candidates, minutes, plan.quantities)
    over = _left_over(question, plan)
    sentences = (*_sheet_sentences(question, plan, over), _proof(plan))
    return HoursChoice(plan, lines, beside, over, sentences)


def worth_of_more_minutes(
    offers: Sequence[SizeOffer],
    bench: Bench,
    choice: HoursChoice,
    minutes: int = 30,
    seconds: float = USUAL_SECONDS,
) -> int:
    """Return what a further stretch of the helper's time would gain, in pence."""
    more = replace(bench, sessions=(*bench.sessions, MixSession("more", minutes)))
    plan = best_mix_for(_question(offers, more), seconds)
    return max(0, plan.gain - choice.plan.gain)


def _question(offers: Sequence[SizeOffer], bench: Bench) -> MixQuestion:
    names = {offer.name for offer in offers}
    return MixQuestion(
        lines=tuple(
            MixLine(
                offer.name,
                tuple(round(gain) for gain in offer.candidate.gains_pence),
                at_least=offer.owed,
                pinned=offer.pinned,
            )
            for offer in offers
        ),
        ways=bench.ways,
        layouts=bench.layouts,
        sessions=bench.sessions,
        stock={thing: n for thing, n in bench.stock.items() if thing not in names},
        limits=bench.limits,
        spoil=bench.spoil,
    )


def _line(offer: SizeOffer, plan: MixPlan) -> ChosenLine:
    count = plan.quantities[offer.name]
    gain = round(offer.candidate.gain_for(count))
    return ChosenLine(offer.name, count, gain, _reason(offer, count, gain, plan))


def _reason(offer: SizeOffer, count: int, gain: int, plan: MixPlan) -> str:
    short = plan.short.get(offer.name, 0)
    if short:
        return (
            f"{offer.name}: {count} can be made, {short} fewer than promised or asked "
            "for. Find more parts or more time, or tell whoever waits."
        )
    if offer.pinned is not None:
        return f"{offer.name}: {count}, as you said; {_brings(gain)}."
    if not count:
        return _why_none(offer.candidate)
    return f"{offer.name}: make {count}; {_brings(gain)}.{_next_one(offer, count)}"


def _brings(gain: int) -> str:
    if gain < 0:
        return f"about {show_pounds(-gain)} less expected than without"
    return f"about {show_pounds(gain)} more expected"


def _why_none(one: Candidate) -> str:
    first = one.gains_pence[0] if one.gains_pence else 0.0
    if first <= 0:
        return f"{one.name}: none, since one more is not expected to pay for itself."
    return (
        f"{one.name}: none. Its first would gain about {show_pounds(round(first))}, but "
        "its sheets, parts and minutes gain more elsewhere, or are not there."
    )


def _next_one(offer: SizeOffer, count: int) -> str:
    gains = offer.candidate.gains_pence
    if count >= len(gains) or gains[count] <= 0:
        return " One more is not expected to pay for itself."
    return f" One more would gain {show_pounds(round(gains[count]))}, but does not fit."


def _left_over(question: MixQuestion, plan: MixPlan) -> dict[str, int]:
    """Return the pieces that the sheets give beyond what the sets take."""
    cut = {piece for layout in question.layouts for piece in layout.gives}
    left = left_of_things(question, plan)
    return {
        piece: more
        for piece in left
        if piece in cut and (more := left[piece] - question.stock.get(piece, 0)) > 0
    }


def _sheet_sentences(
    question: MixQuestion, plan: MixPlan, over: Mapping[str, int]
) -> tuple[str, ...]:
    counts = plan.sheets_of
    sheets = {one.code: counts.get(one.code, 0) for one in question.layouts}
    sheets = {code: count for code, count in sheets.items() if count}
    if not sheets:
        return ("No sheet is cut: what is made comes from loose pieces.",)
    minutes = {layout.code: layout.minutes for layout in question.layouts}
    took = sum(minutes[code] * count for code, count in sheets.items())
    cut = _listed([f"{count} of {code}" for code, count in sheets.items()])
    first = f"Cut {cut} in {took} minutes."
    if not over:
        return (first,)
    kept = _listed([f"{count} {piece}" for piece, count in over.items()])
    return first, f"{kept} will lie over for later sets."


def _proof(plan: MixPlan) -> str:
    if plan.proven:
        return "No other mix gains more within these hours."
    return (
        f"No mix can gain more than {show_pounds(plan.bound - plan.gain)} above this one; "
        "the search for it was cut short."
    )


def _listed(words: Sequence[str]) -> str:
    if len(words) < 2:
        return "".join(words)
    return f"{', '.join(words[:-1])} and {words[-1]}"
