"""How long a sheet takes, learned from logs of so many sheets in so many minutes.

Model: minutes = set-up + sheet minutes × sheets, neither below nought.

* Fewer than three logs: the typed figures stay.
* Not three different numbers of sheets among them: the typed set-up stays, and a sheet
  takes the median of (minutes − set-up) / sheets.
* Otherwise the repeated median line (Siegel 1982): for each log the median slope to
  all logs of another size, then the median of those; set-up is the median of
  minutes − slope × sheets. It stands while fewer than half of the logs are wrong.

A log further from that line than 3.5 times its spread is odd (Iglewicz and Hoaglin
1993): it is shown, and it counts. The spread is 1.4826 × the median distance, or 15 in
100 of what was expected until five logs exist, and never below the minute to which
times are written. The typed figures then count as normal beliefs, a third of
themselves wide; for this blend no log lies further out than 1.5 spreads, so that one
bad figure moves nothing by much. The widths, the 1.5 and the fewest of three are rules
of the house. All sums are exact fractions.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from statistics import median

from studio.errors import StudioError

FEWEST_LOGS = 3
LOGS_FOR_SPREAD = 5
SIZES_FOR_A_LINE = 3
SPREAD_OF_MEDIAN = Fraction(14826, 10000)
SHARE_AT_FIRST = Fraction(15, 100)
LEAST_SPREAD = Fraction(1)
ODD_BEYOND = Fraction(7, 2)
PULLED_IN_TO = Fraction(3, 2)
WIDTH_OF_TYPED = Fraction(1, 3)


@dataclass
class MinutesMoved(StudioError):
    """Minutes were to be taken over although the layout says something else by now."""

    layout: str
    says: int
    said: int

    def __str__(self) -> str:
        return (
            f"Layout {self.layout} says {self.says} minutes a sheet by now, not "
            f"{self.said}, so nothing was changed. Look at it again."
        )


@dataclass(frozen=True)
class TimedLog:
    """So many sheets, and the minutes they took together."""

    key: int
    sheets: int
    minutes: Fraction


@dataclass(frozen=True)
class Line:
    """Minutes before the first sheet, and minutes for each sheet."""

    setup_minutes: Fraction
    sheet_minutes: Fraction

    def at(self, sheets: int) -> Fraction:
        return self.setup_minutes + self.sheet_minutes * sheets


@dataclass(frozen=True)
class Believed:
    """A figure and how wide it is believed, in minutes; None knows nothing at all."""

    minutes: Fraction
    width_minutes: Fraction | None

    @property
    def weight(self) -> Fraction:
        return Fraction(0) if self.width_minutes is None else 1 / self.width_minutes**2


@dataclass(frozen=True)
class Blended:
    """A line of logs and typed figures together, and the square widths of its two."""

    line: Line
    setup_square_width: Fraction
    sheet_square_width: Fraction


@dataclass(frozen=True)
class OddLog:
    """A log far outside of what the others say."""

    log: TimedLog
    expected_minutes: Fraction


@dataclass(frozen=True)
class Learned:
    """What the logs say of one layout, beside what is typed."""

    typed_minutes: int
    logs: int
    line: Line
    sheet_minutes: Fraction
    odd: tuple[OddLog, ...]

    @property
    def is_enough(self) -> bool:
        return self.logs >= FEWEST_LOGS

    @property
    def whole_minutes(self) -> int:
        """Round to the minute, a half up."""
        return max(1, int(self.sheet_minutes + Fraction(1, 2)))

    @property
    def offer_minutes(self) -> int | None:
        """Return other minutes a sheet where they are a whole minute or more apart."""
        apart = abs(self.sheet_minutes - self.typed_minutes)
        if not self.is_enough or apart < 1:
            return None
        return self.whole_minutes


def learned(logs: Sequence[TimedLog], typed: Line) -> Learned:
    """Learn the minutes a sheet of one layout, set-up beyond the typed one shared out."""
    is_enough = len(logs) >= FEWEST_LOGS
    line = robust_line(logs, typed) if is_enough else typed
    spreads = spreads_of(logs, line)
    blended = blended_line(logs, typed, line, spreads).line if is_enough else typed
    return Learned(
        typed_minutes=int(typed.sheet_minutes),
        logs=len(logs),
        line=blended,
        sheet_minutes=a_sheet(logs, blended, typed),
        odd=tuple(
            OddLog(log, line.at(log.sheets))
            for log, spread in zip(logs, spreads, strict=True)
            if abs(log.minutes - line.at(log.sheets)) > ODD_BEYOND * spread
        ),
    )


def a_sheet(logs: Sequence[TimedLog], line: Line, typed: Line) -> Fraction:
    """Share the set-up out over a usual log, as the plan counts by the sheet alone."""
    if not logs:
        return line.sheet_minutes
    usual = Fraction(median([log.sheets for log in logs]))
    return line.sheet_minutes + (line.setup_minutes - typed.setup_minutes) / usual


def robust_line(logs: Sequence[TimedLog], typed: Line) -> Line:
    """Return the line that no few wrong logs can pull away; see above."""
    if len({log.sheets for log in logs}) < SIZES_FOR_A_LINE:
        return line_after(typed.setup_minutes, logs)
    line = repeated_median_line(logs)
    if line.sheet_minutes <= 0:
        return line_after(typed.setup_minutes, logs)
    if line.setup_minutes < 0:
        return line_after(Fraction(0), logs)
    return line


def line_after(setup_minutes: Fraction, logs: Sequence[TimedLog]) -> Line:
    each = median([(log.minutes - setup_minutes) / log.sheets for log in logs])
    return Line(setup_minutes, max(Fraction(0), each))


def repeated_median_line(logs: Sequence[TimedLog]) -> Line:
    slope = median([slope_from(log, logs) for log in logs])
    return Line(median([log.minutes - slope * log.sheets for log in logs]), slope)


def slope_from(log: TimedLog, logs: Sequence[TimedLog]) -> Fraction:
    return median(
        [
            (other.minutes - log.minutes) / (other.sheets - log.sheets)
            for other in logs
            if other.sheets != log.sheets
        ]
    )


def spreads_of(logs: Sequence[TimedLog], line: Line) -> tuple[Fraction, ...]:
    """Return how far from the line each log may well lie, in minutes."""
    if len(logs) < LOGS_FOR_SPREAD:
        shares = [SHARE_AT_FIRST * line.at(log.sheets) for log in logs]
        return tuple(max(LEAST_SPREAD, share) for share in shares)
    apart = median([abs(log.minutes - line.at(log.sheets)) for log in logs])
    return (max(LEAST_SPREAD, SPREAD_OF_MEDIAN * apart),) * len(logs)


def blended_line(
    logs: Sequence[TimedLog], typed: Line, line: Line, spreads: Sequence[Fraction]
) -> Blended:
    """Blend the logs, pulled in towards their line, with what was typed."""
    near = [
        pulled_in(log, line, spread) for log, spread in zip(logs, spreads, strict=True)
    ]
    sheet = Believed(typed.sheet_minutes, typed.sheet_minutes * WIDTH_OF_TYPED)
    if len({log.sheets for log in logs}) < SIZES_FOR_A_LINE:
        return blend_after(typed.setup_minutes, near, sheet, spreads)
    width = (typed.setup_minutes or typed.sheet_minutes) * WIDTH_OF_TYPED
    found = blend(near, Believed(typed.setup_minutes, width), sheet, spreads)
    if found.line.sheet_minutes <= 0:
        return blend_after(typed.setup_minutes, near, sheet, spreads)
    if found.line.setup_minutes < 0:
        return blend_after(Fraction(0), near, sheet, spreads)
    return found


def pulled_in(log: TimedLog, line: Line, spread: Fraction) -> TimedLog:
    middle, most = line.at(log.sheets), PULLED_IN_TO * spread
    minutes = min(max(log.minutes, middle - most), middle + most)
    return TimedLog(log.key, log.sheets, minutes)


def blend(
    logs: Sequence[TimedLog],
    setup: Believed,
    sheet: Believed,
    spreads: Sequence[Fraction],
) -> Blended:
    """Solve the two normal equations of set-up and sheet minutes."""
    weighed = [(log, 1 / s**2) for log, s in zip(logs, spreads, strict=True)]
    ones = sum((w for _, w in weighed), setup.weight)
    cross = sum((w * log.sheets for log, w in weighed), Fraction(0))
    squares = sum((w * log.sheets**2 for log, w in weighed), sheet.weight)
    plain = sum((w * log.minutes for log, w in weighed), setup.weight * setup.minutes)
    times = sum(
        (w * log.sheets * log.minutes for log, w in weighed),
        sheet.weight * sheet.minutes,
    )
    whole = ones * squares - cross**2
    line = Line(
        (plain * squares - cross * times) / whole,
        (ones * times - cross * plain) / whole,
    )
    return Blended(line, squares / whole, ones / whole)


def blend_after(
    setup_minutes: Fraction,
    logs: Sequence[TimedLog],
    sheet: Believed,
    spreads: Sequence[Fraction],
) -> Blended:
    """Blend the sheet minutes alone, the set-up being what it is."""
    weight, times = sheet.weight, sheet.weight * sheet.minutes
    for log, spread in zip(logs, spreads, strict=True):
        weight += log.sheets**2 / spread**2
        times += log.sheets * (log.minutes - setup_minutes) / spread**2
    line = Line(setup_minutes, max(Fraction(0), times / weight))
    return Blended(line, Fraction(0), 1 / weight)


# ------------------------------------------------------------------ words


def sentence_of(found: Learned, layout: str, who: str) -> str:
    """Say what the logs say of a layout, and what the layout says."""
    typed = f"{found.typed_minutes} {minutes_word(found.typed_minutes)}"
    if not found.logs:
        return (
            f"No log says yet how long a sheet of {layout} takes, so the layout’s own "
            f"figure stays: {typed}."
        )
    if not found.is_enough:
        say = "log says" if found.logs == 1 else "logs say"
        return (
            f"Only {found.logs} {say} how long a sheet of {layout} takes, which is too "
            f"few to learn from, so the layout’s own figure stays: {typed}."
        )
    takes = found.offer_minutes or found.typed_minutes
    start = (
        f"{who} takes {takes} {minutes_word(takes)} a sheet of {layout} over the last "
        f"{found.logs} logs"
    )
    if found.offer_minutes is None:
        return f"{start}, as the layout says."
    return f"{start}; the layout says {found.typed_minutes}."


def odd_sentence(odd: OddLog, layout: str, day: str) -> str:
    """Say which log is odd, what was expected, and what may have happened."""
    sheets, minutes = odd.log.sheets, int(odd.log.minutes)
    expected = int(odd.expected_minutes + Fraction(1, 2))
    took = (
        f"{sheets} {'sheet' if sheets == 1 else 'sheets'} of {layout} on {day} took "
        f"{minutes} {minutes_word(minutes)}, and {expected} "
        f"{'was' if expected == 1 else 'were'} expected"
    )
    if odd.log.minutes > odd.expected_minutes:
        return f"{took}: was it interrupted, or is the figure wrong?"
    return f"{took}: were fewer sheets meant, or is the figure wrong?"


def minutes_word(minutes: int) -> str:
    return "minute" if minutes == 1 else "minutes"
