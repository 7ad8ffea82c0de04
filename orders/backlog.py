"""The ways out when a paid order is short of something, each with cost and date.

    wait    everything in one packet when the rest is there
    split   what is there now, the rest later; its postage is hers
    swap    another item the customer agrees to
    refund  the rest is taken off; the gain given up is price less material

If the first packet would leave more than so many days after the order, splitting is
proposed (a rule of the house). Delivery has a long stop of thirty days unless a day
was agreed: Consumer Rights Act 2015, section 28. Money is whole pence.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from typing import Literal

from studio.days import long_stop, show_day_short
from studio.money import show_pounds

WayKind = Literal["wait", "split", "swap", "refund"]


@dataclass(frozen=True)
class ShortOrder:
    """What is known of a short order. Postage is None where the counter must say.

    `rest_leaves` is the day the missing things can be posted, if one is known.
    """

    placed_on: date
    leaves_now: date
    rest_leaves: date | None
    something_is_there: bool
    whole_pence: int | None
    now_pence: int | None
    rest_pence: int | None
    refund_pence: int
    material_pence: int
    swaps: tuple[str, ...] = ()
    split_after_days: int = 7

    @property
    def split_costs_pence(self) -> int | None:
        """Return what two packets cost more than one."""
        known = (self.whole_pence, self.now_pence, self.rest_pence)
        whole, now, rest = known
        if whole is None or now is None or rest is None:
            return None
        return now + rest - whole

    @property
    def gain_given_up_pence(self) -> int:
        return self.refund_pence - self.material_pence


@dataclass(frozen=True)
class WayOut:
    kind: WayKind
    words: str
    sentence: str
    extra_pence: int | None
    is_proposed: bool = False


def ways_out(short: ShortOrder) -> tuple[WayOut, ...]:
    """Return the ways that are open, the proposed one marked."""
    ways = [wait(short)]
    if short.something_is_there:
        ways.append(split(short))
    if short.swaps:
        ways.append(swap(short))
    ways.append(refund(short))
    proposed = proposed_kind(short)
    return tuple(
        WayOut(way.kind, way.words, way.sentence, way.extra_pence, way.kind == proposed)
        for way in ways
    )


def proposed_kind(short: ShortOrder) -> WayKind:
    if waits_days(short) is not None and not is_long(short):
        return "wait"
    if short.something_is_there:
        return "split"
    return "wait" if short.rest_leaves is not None else "refund"


def waits_days(short: ShortOrder) -> int | None:
    if short.rest_leaves is None:
        return None
    return (short.rest_leaves - short.placed_on).days


def is_long(short: ShortOrder) -> bool:
    days = waits_days(short)
    return days is None or days > short.split_after_days


def wait(short: ShortOrder) -> WayOut:
    days = waits_days(short)
    if short.rest_leaves is None:
        sentence = "No day is known yet on which the rest can leave."
    else:
        sentence = (
            f"All leaves on {show_day_short(short.rest_leaves)}, day {days} after the "
            f"order, for {shown(short.whole_pence)}."
        )
    return WayOut("wait", "Wait and send all", sentence, 0)


def split(short: ShortOrder) -> WayOut:
    then = "when it is there"
    if short.rest_leaves is not None:
        then = f"on {show_day_short(short.rest_leaves)}"
    sentence = (
        f"What is there leaves on {show_day_short(short.leaves_now)} for "
        f"{shown(short.now_pence)}, the rest {then} for {shown(short.rest_pence)}. "
        f"It costs {shown(short.split_costs_pence)} more than one packet."
    )
    return WayOut("split", "Split it", sentence, short.split_costs_pence)


def swap(short: ShortOrder) -> WayOut:
    sentence = (
        f"Offer {either(short.swaps)} instead; once it is agreed, all leaves on "
        f"{show_day_short(short.leaves_now)}."
    )
    return WayOut("swap", "Swap the item", sentence, 0)


def refund(short: ShortOrder) -> WayOut:
    gain = short.gain_given_up_pence
    sentence = (
        f"Refund {show_pounds(short.refund_pence)}; the gain given up is "
        f"{show_pounds(gain)}"
    )
    more = short.split_costs_pence
    if short.something_is_there and more is not None:
        sentence += f", {show_pounds(gain - more)} against splitting"
    return WayOut("refund", "Refund the item", f"{sentence}.", gain)


def long_stop_sentence(placed_on: date) -> str:
    last = show_day_short(long_stop(placed_on))
    return (
        f"Without an agreed day it has to be delivered by {last} "
        "(Consumer Rights Act 2015, section 28)."
    )


def shown(pence: int | None) -> str:
    return "what the counter says" if pence is None else show_pounds(pence)


def either(codes: Sequence[str]) -> str:
    """Write “FB-02” or “FB-01 or FB-02”."""
    if len(codes) == 1:
        return codes[0]
    return f"{', '.join(codes[:-1])} or {codes[-1]}"
