"""What the Post page says of a day, in sentences."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Literal

from orders.last_posting import arrival_day
from orders.models import Packet, PostRun
from orders.queries.open_orders import in_a_row
from orders.queries.packing import PostRules
from orders.queries.post_day import DayPacket, PostDay
from studio.days import MONTHS, london_day, show_clock, show_day_short
from studio.money import show_pounds
from studio.walk import PostCalendar

NextKind = Literal["print", "run", "nothing"]
STOPS_AHEAD_DAYS = 10


@dataclass(frozen=True)
class NextStep:
    """The one biggest thing to do on the page, and why now."""

    kind: NextKind
    words: str
    why: str
    run: PostRun | None = None


# ------------------------------------------------------------ the first sentence


def headline(day: PostDay) -> str:
    """Say what can go, for how much, and when packing ends."""
    if not day.packets:
        return nothing_to_go(day)
    if not to_pack(day):
        return f"{count_of(day.packets)} {are(day.packets)} packed: {postage(day)}."
    going, staying = day.schedule.going, day.schedule.staying
    if not going:
        return f"{count_of(day.packets)} cannot be packed in time {when(day)}."
    ends = f"{who(day)} ends by {show_clock(day.done_at)}"
    if not staying:
        return f"{count_of(day.packets)} can go {when(day)}: {postage(day)}; {ends}."
    last = going[-1].packet.reference
    return (
        f"{len(going)} of {count_of(day.packets)} can go {when(day)}: stop after "
        f"{last}; {ends}."
    )


def nothing_to_go(day: PostDay) -> str:
    if day.posted_today:
        posted = "1 packet is" if day.posted_today == 1 else f"{day.posted_today} are"
        return f"{posted} posted {when(day)}, and nothing else can go."
    return "No packet can go yet."


def postage(day: PostDay) -> str:
    pounds = show_pounds(day.postage_pence)
    at_counter = day.at_the_counter
    if not at_counter:
        return pounds
    more = "one" if at_counter == 1 else str(at_counter)
    return f"{pounds} and {more} at the counter"


def who(day: PostDay) -> str:
    return day.packer or "packing"


def when(day: PostDay) -> str:
    if day.day == london_day(day.now):
        return "today"
    return f"on {show_day_short(day.day)}"


def count_of(packets: Sequence[DayPacket]) -> str:
    return "1 packet" if len(packets) == 1 else f"{len(packets)} packets"


def are(packets: Sequence[DayPacket]) -> str:
    return "is" if len(packets) == 1 else "are"


def to_pack(day: PostDay) -> list[DayPacket]:
    return [
        one
        for one in day.packets
        if one.packet is None or one.packet.state == Packet.State.TO_PACK
    ]


# ------------------------------------------------------------ the next step


def next_step(day: PostDay) -> NextStep:
    new = [one for one in day.packets if one.packet is None]
    frozen = [one.packet for one in day.packets if one.packet is not None]
    if new:
        return print_step(day, new, frozen)
    if not frozen:
        return NextStep("nothing", "", "")
    left = to_pack(day)
    if left:
        words = f"Go on packing: {len(left)} to go"
        return NextStep("run", words, leave_words(day), frozen[0].run)
    words = f"Take {count_of(day.packets)} to the counter"
    return NextStep("run", words, leave_words(day), frozen[0].run)


def print_step(
    day: PostDay, new: Sequence[DayPacket], frozen: Sequence[Packet]
) -> NextStep:
    if not frozen and not (day.run and day.posted_today):
        slips = "today’s slips" if when(day) == "today" else f"the slips {when(day)}"
        return NextStep("print", f"Print {slips}", leave_words(day))
    packets = "new packet" if len(new) == 1 else "new packets"
    words = "slip" if len(new) == 1 else "slips"
    why = f"{len(new)} {packets} since the slips were printed: print only those."
    return NextStep("print", f"Print the {len(new)} new {words}", why, day.run)


def leave_words(day: PostDay) -> str:
    if day.leave_by is None or day.closes_at is None:
        return "There is no collection on that day."
    where = "" if when(day) == "today" else f" {when(day)}"
    return (
        f"Leave by {show_clock(day.leave_by)}{where}; the last collection is at "
        f"{show_clock(day.closes_at)}. Packing begins at {show_clock(day.starts_at)}."
    )


# ------------------------------------------------------------ what a stop means


def post_sentences(day: PostDay) -> list[str]:
    """Say when today's post arrives, which days are stopped, and what that means."""
    rules, today = day.rules, london_day(day.now)
    stopped = stopped_ahead(rules.calendar, today)
    said = [f"No post on {days_words(stopped)}."] if stopped else []
    said.append(arrival_words(rules, day.day, today))
    if stopped:
        following = following_collection(rules.calendar, day.day)
        said.append(arrival_words(rules, following, today))
    return said


def stopped_ahead(calendar: PostCalendar, today: date) -> list[date]:
    ahead = [today + timedelta(days=n) for n in range(STOPS_AHEAD_DAYS)]
    stopped = calendar.closed | calendar.bank_holidays
    return [one for one in ahead if one in stopped]


def following_collection(calendar: PostCalendar, day: date) -> date:
    next_day = day + timedelta(days=1)
    while not calendar.is_collection_day(next_day):
        next_day += timedelta(days=1)
    return next_day


def arrival_words(rules: PostRules, posted_on: date, today: date) -> str:
    arrivals = [
        (service.code, arrival_day(posted_on, service, rules.calendar))
        for service in reversed(rules.prices.services)
    ]
    (quick, first), *others = arrivals
    said = [f"{quick} arrives {arrival(first, today)}"]
    said += [f"{code} {arrival(there, today)}" for code, there in others]
    return f"Posted {posted(posted_on, today)}, {', '.join(said)}."


def posted(on: date, today: date) -> str:
    return "today" if on == today else f"on {show_day_short(on)}"


def arrival(on: date, today: date) -> str:
    if on == today + timedelta(days=1):
        return f"tomorrow ({show_day_short(on)})"
    return f"on {show_day_short(on)}"


def days_words(days: Sequence[date]) -> str:
    """Write “Fri 5 and Sat 6 March”: the month once where it is the same."""
    if len({one.month for one in days}) > 1:
        return in_a_row([show_day_short(one) for one in days])
    short = [show_day_short(one).rpartition(" ")[0] for one in days]
    return f"{in_a_row(short)} {MONTHS[days[0].month - 1]}"
