"""What to make next: extra profit of the next piece for each bench minute.

    index = gain of the next piece / its minutes, the set-up added to the first,
            or gain of the next whole batch / minutes of that batch

Ties: the higher gain, then what is out of stock, then the smaller size, then list
order. The list says why a thing is worth making; how many of each fit the hours is
for the exact plan, since taking the best index again and again misses it. A run of a
given number goes, piece by piece, to the size whose next one gains most, which is
exact while gains fall. Fox 1966, from memory.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

from studio.errors import StudioError
from studio.money import show_pounds


class PieceWithoutMinutes(StudioError):
    """A size whose pieces take no bench minutes."""

    def __init__(self, name: str) -> None:
        self.name = name
        super().__init__(
            f"{name} has no bench minutes, so nothing can be said of a minute spent on "
            "it. Write its minutes, please."
        )


@dataclass(frozen=True)
class Candidate:
    """A size that could be made; ``gains_pence`` of each further piece, first first."""

    name: str
    gains_pence: Sequence[float]
    minutes: int
    set_up_minutes: int = 0
    made_in: int = 1
    out_of_stock: bool = False
    size_inches: Fraction | None = None

    def minutes_for(self, count: int) -> int:
        """Return the bench minutes of so many, set-up included."""
        return self.set_up_minutes + self.minutes * count if count else 0

    def gain_for(self, count: int) -> float:
        """Return the extra profit of so many."""
        return sum(self.gains_pence[:count])


@dataclass(frozen=True)
class NextPiece:
    """The next batch of a size: from which piece to which, gain, minutes, reason."""

    name: str
    first: int
    last: int
    gain_pence: float
    minutes: int
    sentence: str

    @property
    def pence_a_minute(self) -> float:
        """Return the index."""
        return self.gain_pence / self.minutes


def next_pieces(
    candidates: Sequence[Candidate], most: int = 20
) -> tuple[NextPiece, ...]:
    """List the batches in the order in which a minute earns most, gains only.

    Raises PieceWithoutMinutes.
    """
    for one in candidates:
        if one.minutes <= 0 or one.made_in < 1:
            raise PieceWithoutMinutes(one.name)
    made = [0] * len(candidates)
    picks: list[NextPiece] = []
    while len(picks) < most:
        offers = [
            (_rank(one, offer, place), place, offer)
            for place, (one, count) in enumerate(zip(candidates, made, strict=True))
            if (offer := next_of(one, count)) is not None
        ]
        if not offers:
            break
        _, place, best = min(offers, key=lambda offer: offer[0])
        made[place] = best.last
        picks.append(best)
    return tuple(picks)


def next_of(one: Candidate, already: int = 0) -> NextPiece | None:
    """Return the next batch of one size; None when it gains nothing more."""
    last = min(already + one.made_in, len(one.gains_pence))
    gain = one.gain_for(last) - one.gain_for(already)
    if last <= already or gain <= 0:
        return None
    minutes = one.minutes_for(last) - one.minutes_for(already)
    sentence = _reason(one, already, last, gain, minutes)
    return NextPiece(one.name, already + 1, last, gain, minutes, sentence)


def share_of_run(candidates: Sequence[Candidate], count: int) -> dict[str, int]:
    """Share a run of so many over the sizes; pieces that gain nothing are not made."""
    steps = [
        (-gain, not one.out_of_stock, _inches(one), place)
        for place, one in enumerate(candidates)
        for gain in _falling(one.gains_pence)
        if gain > 0
    ]
    shared = {one.name: 0 for one in candidates}
    for *_, place in sorted(steps)[: max(0, count)]:
        shared[candidates[place].name] += 1
    return shared


@dataclass(frozen=True)
class Beside:
    """The list worked down within the minutes, beside the exact plan for them."""

    by_list: Mapping[str, int]
    list_gain_pence: float
    plan_gain_pence: float
    sentence: str


def down_the_list(
    candidates: Sequence[Candidate], minutes: int
) -> tuple[dict[str, int], float]:
    """Make whatever comes next on the list and still fits; what that gains."""
    made = {one.name: 0 for one in candidates}
    left = minutes
    by_name = {one.name: one for one in candidates}
    while True:
        offers = [
            (_rank(one, offer, place), offer)
            for place, one in enumerate(candidates)
            if (offer := next_of(one, made[one.name])) and offer.minutes <= left
        ]
        if not offers:
            break
        best = min(offers, key=lambda pair: pair[0])[1]
        made[best.name] = best.last
        left -= best.minutes
    return made, sum(by_name[name].gain_for(count) for name, count in made.items())


def beside_the_plan(
    candidates: Sequence[Candidate], minutes: int, plan: Mapping[str, int]
) -> Beside:
    """Compare the list with the exact plan for these minutes, in one sentence."""
    by_list, list_gain = down_the_list(candidates, minutes)
    plan_gain = sum(one.gain_for(plan.get(one.name, 0)) for one in candidates)
    more = round(plan_gain - list_gain)
    if more > 0:
        sentence = (
            f"The plan for {minutes} minutes gains {show_pounds(more)} more than working "
            "down this list, because whole batches have to fit the time."
        )
    elif more < 0:
        sentence = (
            f"Working down this list would gain {show_pounds(-more)} more than the plan. "
            "The plan keeps to limits that the list does not know."
        )
    else:
        sentence = f"Working down this list fills the {minutes} minutes just as well."
    return Beside(by_list, list_gain, plan_gain, sentence)


def _falling(gains: Sequence[float]) -> list[float]:
    """Hold each gain to the one before, so that no piece is made before an earlier."""
    held: list[float] = []
    for gain in gains:
        held.append(min(gain, held[-1]) if held else gain)
    return held


def _rank(
    one: Candidate, offer: NextPiece, place: int
) -> tuple[float, float, bool, Fraction, int]:
    return (
        -round(offer.pence_a_minute, 9),
        -round(offer.gain_pence, 9),
        not one.out_of_stock,
        _inches(one),
        place,
    )


def _inches(one: Candidate) -> Fraction:
    return Fraction(10_000) if one.size_inches is None else one.size_inches


def _reason(one: Candidate, already: int, last: int, gain: float, minutes: int) -> str:
    count = last - already
    what = f"one {one.name}" if count == 1 else f"{count} of {one.name} together"
    why = (
        "it is out of stock" if one.out_of_stock and not already else "it may well sell"
    )
    return (
        f"Next {what}: about {show_pounds(round(gain))} more expected, "
        f"{gain / minutes:.0f}p a minute, as {why}."
    )
