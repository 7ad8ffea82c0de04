"""How long a sheet takes, learned from what was logged.

    minutes = set-up + each x count

From five logs of three sizes on by the repeated median, which stands up to half of the
logs being wrong: for every log the middle of its slopes to all others, then the middle
of those; set-up = middle of what each x count leaves (Siegel 1982, from memory). Before
that the typed figures are blended with the logs: normal beliefs round them, a third of
each wide, and logs that scatter by 15 in 100 (a rule of the house), solved by the two
normal equations. A log further than 3.5 of the middle scatter from the line is shown
and asked about, and never dropped (Iglewicz and Hoaglin 1993, from memory; the scatter
is 1.4826 x the middle of the distances).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil, sqrt
from statistics import fmean, median

FEWEST_LOGS, FEWEST_SIZES = 5, 3
WIDTH_OF_A_GUESS = 1 / 3
USUAL_SCATTER = 0.15
ODD_BEYOND = 3.5
TO_A_SPREAD = 1.4826
LEAST_SPREAD_MINUTES = 1.0


@dataclass(frozen=True)
class Logged:
    """So many sheets, or pieces, in so many minutes."""

    count: int
    minutes: float


@dataclass(frozen=True)
class Pace:
    """Minutes to set up, and for each sheet."""

    set_up: float
    each: float

    def minutes_for(self, count: int) -> float:
        """Return the minutes that so many take."""
        return self.set_up + self.each * count if count else 0.0


@dataclass(frozen=True)
class Typed:
    """The figures she typed and how wide they are, as standard deviations."""

    pace: Pace
    set_up_spread: float
    each_spread: float


@dataclass(frozen=True)
class Blended:
    """A pace between guess and logs, with how sure it is."""

    pace: Pace
    set_up_spread: float
    each_spread: float


@dataclass(frozen=True)
class Odd:
    """A log far from the others, and what would have been expected."""

    log: Logged
    expected_minutes: float

    @property
    def sentence(self) -> str:
        """Ask what happened."""
        return (
            f"{self.log.count} took {self.log.minutes:g} minutes where about "
            f"{round(self.expected_minutes)} were expected. Was it interrupted? It "
            "counts until you say otherwise."
        )


@dataclass(frozen=True)
class Learned:
    """The pace to plan with, the logs it is from, and those to ask about."""

    pace: Pace
    logs: int
    is_by_logs_alone: bool
    odd: tuple[Odd, ...]
    sentence: str

    def whole_minutes(self, count: int) -> int:
        """Return the minutes to plan for so many, rounded up."""
        return ceil(self.pace.minutes_for(count) - 1e-9)


def learned_pace(logs: Sequence[Logged], typed: Pace) -> Learned:
    """Learn the pace of a layout; without logs it is the one that was typed."""
    counted = [log for log in logs if log.count > 0]
    if not counted:
        words = "No session has logged it yet; these are the minutes you typed."
        return Learned(typed, 0, is_by_logs_alone=False, odd=(), sentence=words)
    sizes = len({log.count for log in counted})
    alone = len(counted) >= FEWEST_LOGS and sizes >= FEWEST_SIZES
    pace = robust_pace(counted) if alone else _near_the_guess(counted, typed)
    odd = odd_logs(counted, pace) if len(counted) >= FEWEST_LOGS else ()
    return Learned(pace, len(counted), alone, odd, _sentence(pace, len(counted), alone))


def robust_pace(logs: Sequence[Logged]) -> Pace:
    """Return the repeated-median line, at or above nought; logs of two sizes at least."""
    slopes = [
        median(
            (one.minutes - other.minutes) / (one.count - other.count)
            for other in logs
            if other.count != one.count
        )
        for one in logs
    ]
    each = median(slopes)
    set_up = median(log.minutes - each * log.count for log in logs)
    if each <= 0 or set_up < 0:
        return Pace(0.0, median(log.minutes / log.count for log in logs))
    return Pace(set_up, each)


def blended(logs: Sequence[Logged], typed: Typed, noise: float) -> Blended:
    """Blend a typed pace with logs that scatter by so many minutes."""
    for_set_up, for_each = typed.set_up_spread**-2, typed.each_spread**-2
    weight = noise**-2
    a = for_set_up + weight * len(logs)
    b = weight * sum(log.count for log in logs)
    c = for_each + weight * sum(log.count**2 for log in logs)
    right = for_set_up * typed.pace.set_up + weight * sum(log.minutes for log in logs)
    below = for_each * typed.pace.each + weight * sum(
        log.count * log.minutes for log in logs
    )
    whole = a * c - b * b
    pace = Pace((right * c - below * b) / whole, (below * a - right * b) / whole)
    return Blended(pace, sqrt(c / whole), sqrt(a / whole))


def odd_logs(logs: Sequence[Logged], pace: Pace) -> tuple[Odd, ...]:
    """Name the logs that lie far from the line; they still count."""
    off = [abs(log.minutes - pace.minutes_for(log.count)) for log in logs]
    spread = max(LEAST_SPREAD_MINUTES, TO_A_SPREAD * median(off))
    return tuple(
        Odd(log, pace.minutes_for(log.count))
        for log, distance in zip(logs, off, strict=True)
        if distance > ODD_BEYOND * spread
    )


def _near_the_guess(logs: Sequence[Logged], typed: Pace) -> Pace:
    wide = Typed(
        typed,
        max(LEAST_SPREAD_MINUTES, WIDTH_OF_A_GUESS * typed.set_up),
        max(LEAST_SPREAD_MINUTES, WIDTH_OF_A_GUESS * typed.each),
    )
    noise = max(LEAST_SPREAD_MINUTES, USUAL_SCATTER * fmean(x.minutes for x in logs))
    found = blended(logs, wide, noise).pace
    return Pace(max(0.0, found.set_up), max(0.0, found.each))


def _sentence(pace: Pace, logs: int, alone: bool) -> str:
    many = "1 log" if logs == 1 else f"{logs} logs"
    start = f"{pace.each:.1f} minutes each and {pace.set_up:.1f} to set up"
    if alone:
        return f"{start}, learned from {many}."
    return f"{start}, between what you typed and {many}."
