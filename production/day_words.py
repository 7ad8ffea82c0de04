"""The sentences of a selling day's plan: one for the top, one for each line."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from production.day_plan import PlanLine, PlanRun, Proposal
from production.needs import LineNeed
from studio.days import WEEKDAYS, show_day_short

_WORDS = (
    *("no", "one", "two", "three", "four", "five", "six"),
    *("seven", "eight", "nine", "ten", "eleven", "twelve"),
)
A_FORTNIGHT = 14
A_WEEK = 7


def word(count: int) -> str:
    return _WORDS[count] if 0 <= count < len(_WORDS) else str(count)


def counted(count: int, one: str, many: str = "") -> str:
    """Write "one session" or "four sessions"."""
    return f"{word(count)} {one if count == 1 else many or one + 's'}"


def numbered(count: int, one: str, many: str = "") -> str:
    """Write "1 sheet" or "18 sheets"."""
    return f"{count} {one if count == 1 else many or one + 's'}"


def time_left(today: date, starts_on: date) -> str:
    """Write how long there is, from the days between."""
    days = (starts_on - today).days
    if days < 0:
        return "It is over"
    if days == 0:
        return "It is today"
    if days == 1:
        return "It is tomorrow"
    if days < A_FORTNIGHT:
        return f"{word(days).capitalize()} days to go"
    return f"{word(days // A_WEEK).capitalize()} weeks to go"


def opening_sentence(
    *,
    today: date,
    starts_on: date,
    is_repeat: bool,
    lines: Sequence[PlanLine],
    sheets: int,
    minutes: int,
    sessions: int,
    minutes_missing: int,
) -> str:
    """Say in one sentence what stands between today and the selling day."""
    left = _what_is_left(lines, sheets, minutes, sessions, minutes_missing)
    days = (starts_on - today).days
    has_work = sheets or any(line.to_make or line.to_buy for line in lines)
    if is_repeat and has_work and 0 <= days < A_WEEK:
        return f"{WEEKDAYS[starts_on.weekday()]}’s repeat needs {left}."
    return f"{time_left(today, starts_on)}: {left}."


def _what_is_left(
    lines: Sequence[PlanLine],
    sheets: int,
    minutes: int,
    sessions: int,
    minutes_missing: int,
) -> str:
    if not lines:
        return "no line is written yet"
    if sheets:
        return _cutting(sheets, minutes, sessions, minutes_missing)
    if any(line.to_make or line.to_buy for line in lines):
        return _making_and_buying(lines)
    if any(line.number is None for line in lines):
        return "your numbers are wanted first"
    if any(line.from_shelf for line in lines):
        return "all that is wanted is on the shelf"
    return "all that is wanted is there"


def _making_and_buying(lines: Sequence[PlanLine]) -> str:
    to_make = sum(line.to_make for line in lines)
    to_buy = sum(line.to_buy for line in lines)
    parts = [
        f"{numbered(to_make, 'set')} to make up" if to_make else "",
        f"{numbered(to_buy, 'thing')} to buy in" if to_buy else "",
    ]
    return " and ".join(part for part in parts if part)


def _cutting(sheets: int, minutes: int, sessions: int, missing: int) -> str:
    cut = f"{numbered(sheets, 'sheet')} and {minutes} minutes of cutting"
    if missing:
        return f"{cut}, and {missing} of the minutes find no session"
    return f"{cut}, in {counted(sessions, 'session')}"


def line_sentence(need: LineNeed, proposal: Proposal | None, *, known: bool) -> str:
    """Give the reason of one line."""
    if not known:
        if proposal is None:
            return "Nothing is known of it yet. Write your number."
        return " ".join(proposal.sentences)
    if not need.wanted:
        return "None is wanted there."
    if not need.to_come:
        return f"All {need.wanted} are there."
    if need.to_make:
        return _to_make_sentence(need)
    if need.to_buy:
        what = "is" if need.to_buy == 1 else "are"
        return f"{_from_shelf(need)}{need.to_buy} {what} to be bought in."
    if need.to_come == 1:
        return "The one to come is on the shelf."
    return f"All {need.to_come} to come are on the shelf."


def _to_make_sentence(need: LineNeed) -> str:
    what = "is" if need.to_make == 1 else "are"
    start = f"{_from_shelf(need)}{need.to_make} {what} to be made up"
    if need.ready_now >= need.to_make:
        return f"{start}, and all the parts are here."
    if need.ready_now:
        return f"{start}; the loose pieces are enough for {need.ready_now}."
    return f"{start}, and their pieces must be cut first."


def _from_shelf(need: LineNeed) -> str:
    if not need.from_shelf:
        return ""
    what = "comes" if need.from_shelf == 1 else "come"
    return f"{need.from_shelf} {what} from the shelf; "


def session_words(runs: Sequence[PlanRun]) -> str:
    """Write "Cut 3 LA and 3 LG: 6 sheets, 156 minutes."."""
    sheets = sum(run.sheets for run in runs)
    minutes = sum(run.minutes for run in runs)
    parts = [f"{run.sheets} {run.layout}" for run in runs]
    listed = " and ".join(
        [", ".join(parts[:-1]), parts[-1]] if len(parts) > 1 else parts
    )
    return f"Cut {listed}: {numbered(sheets, 'sheet')}, {minutes} minutes."


def begin_sentence(begin_by: date | None, ends_on: date | None) -> str:
    if begin_by is None or ends_on is None:
        return ""
    return (
        f"It ends on {show_day_short(ends_on)}. "
        f"Cutting must begin on {show_day_short(begin_by)} at the latest."
    )
