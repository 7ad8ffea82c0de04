"""Looking back on advice: how well the ranges held, told in the open.

A range is judged only where more could be bought than its top: then nothing hid what
was wanted, and choosing what to judge does not lean on how it came out. With n ranges
judged, luck gives likely_hits(n, claim, 0.95) that hold, by the binomial distribution.

Where less was there, the chance said beforehand that some would be left is judged
instead. Those chances differ, so luck there is the sum of unequal coins:

    P(k after i) = P(k - 1 after i - 1) c[i] + P(k after i - 1) (1 - c[i])
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from enum import Enum
from itertools import accumulate

from studio.days import show_day_short
from studio.maths.binomials import likely_hits

LEAST_JUDGED = 5
LUCK_COVER = 0.95


class Held(Enum):
    """How a range fared."""

    YES = "it held"
    BELOW = "fewer than it said"
    ABOVE = "more than it said"
    CANNOT_SAY = "too few were there to tell"
    NOT_YET = "the days are not over"


@dataclass(frozen=True)
class Advice:
    """What was said of one thing, what she chose, and what came of it.

    ``offered`` is all that could be bought over the days, ``chance_left`` the chance
    said for that number that some would be left; ``sold`` is None until it is over.
    """

    name: str
    given_on: date
    days: int
    low: int
    high: int
    proposed: int
    chosen: int | None = None
    offered: int | None = None
    chance_left: float | None = None
    sold: int | None = None

    @property
    def held(self) -> Held:
        """Say how its range fared."""
        if self.sold is None:
            return Held.NOT_YET
        if self.offered is None or self.offered <= self.high:
            return Held.CANNOT_SAY
        if self.sold > self.high:
            return Held.ABOVE
        return Held.BELOW if self.sold < self.low else Held.YES

    @property
    def some_left(self) -> bool | None:
        """Say whether some were left; None until it is over."""
        if self.sold is None or self.offered is None:
            return None
        return self.sold < self.offered

    @property
    def sentence(self) -> str:
        """Tell the whole story of it."""
        said = (
            f"{self.name}, {show_day_short(self.given_on)}: {self.low} to {self.high} "
            f"in {self.days} days, {self.proposed} proposed"
        )
        chose = "" if self.chosen is None else f", {self.chosen} chosen"
        if self.sold is None:
            return f"{said}{chose}; {self.held.value}."
        came = "all sold" if self.some_left is False else f"{self.sold} sold"
        return f"{said}{chose}, {came}: {self.held.value}."


@dataclass(frozen=True)
class Trust:
    """How often it came true, beside what luck alone would do."""

    judged: int
    came_true: int
    expected: float
    luck_low: int
    luck_high: int
    unjudged: int
    sentence: str

    @property
    def believable(self) -> bool | None:
        """Say whether luck explains the count; None while too few are judged."""
        if self.judged < LEAST_JUDGED:
            return None
        return self.luck_low <= self.came_true <= self.luck_high


def how_well_ranges_held(advice: Iterable[Advice], claim: float = 0.8) -> Trust:
    """Count the ranges that held, against what they claim."""
    fared = [one.held for one in advice]
    counts = [fared.count(held) for held in (Held.YES, Held.BELOW, Held.ABOVE)]
    judged = sum(counts)
    low, high = likely_hits(judged, claim, LUCK_COVER)
    return Trust(
        judged=judged,
        came_true=counts[0],
        expected=claim * judged,
        luck_low=low,
        luck_high=high,
        unjudged=len(fared) - judged,
        sentence=_ranges_sentence(counts, (low, high), claim),
    )


def how_often_some_were_left(advice: Iterable[Advice]) -> Trust:
    """Count how often some were left, against the chances said beforehand."""
    all_advice = list(advice)
    told = [
        (one.chance_left, one.some_left)
        for one in all_advice
        if one.chance_left is not None and one.some_left is not None
    ]
    chances = [chance for chance, _ in told]
    left = sum(some_left for _, some_left in told)
    low, high = luck_of(chances, LUCK_COVER)
    return Trust(
        judged=len(told),
        came_true=left,
        expected=sum(chances),
        luck_low=low,
        luck_high=high,
        unjudged=len(all_advice) - len(told),
        sentence=_left_sentence(left, chances, (low, high)),
    )


def luck_of(chances: Sequence[float], cover: float) -> tuple[int, int]:
    """Return between which counts unequal coins stay this often, at least."""
    spread = [1.0]
    for chance in chances:
        spread = [
            (spread[k - 1] * chance if k else 0.0)
            + (spread[k] * (1 - chance) if k < len(spread) else 0.0)
            for k in range(len(spread) + 1)
        ]
    tail = (1 - cover) / 2
    low = next(k for k, total in enumerate(accumulate(spread)) if total > tail)
    above = next(k for k, total in enumerate(accumulate(spread[::-1])) if total > tail)
    return low, len(chances) - above


def _ranges_sentence(counts: Sequence[int], luck: tuple[int, int], claim: float) -> str:
    held, below, above = counts
    judged = sum(counts)
    if judged < LEAST_JUDGED:
        return _too_few(judged, "estimate")
    start = (
        f"{held} of {judged} estimates held; they claim {100 * claim:.0f} in 100, for which "
        f"luck gives {luck[0]} to {luck[1]}."
    )
    if held < luck[0]:
        return f"{start} {_which_way(below, above)}"
    if held > luck[1]:
        return f"{start} They are wider than they need be."
    return f"{start} The claim stands."


def _which_way(below: int, above: int) -> str:
    if above > below:
        return "They were mostly too low: reckon with more than they say."
    if below > above:
        return "They were mostly too high: reckon with less than they say."
    return "They were too narrow: reckon with more and with less than they say."


def _left_sentence(left: int, chances: Sequence[float], luck: tuple[int, int]) -> str:
    if len(chances) < LEAST_JUDGED:
        return _too_few(len(chances), "chance")
    start = (
        f"Some were left {left} of {len(chances)} times; {sum(chances):.1f} were to be "
        f"expected, and luck gives {luck[0]} to {luck[1]}."
    )
    if left < luck[0]:
        return f"{start} It ran out more often than was said: make more."
    if left > luck[1]:
        return f"{start} It ran out less often than was said: make fewer."
    return f"{start} The chances were honest."


def _too_few(judged: int, what: str) -> str:
    return (
        f"{judged} {what if judged == 1 else f'{what}s'} can be judged so far: too few "
        "to tell how far to trust the advice."
    )
