"""The promise number of one item, and the sum that leads to it.

    can promise = sellable on the shelf - paid - held - kept for a day - buffer

Goods elsewhere, show sets, incomplete sets and goods to look at are owned, but
cannot be promised. By tonight adds what can be mended and then what can be made
up; when more is promised than is there, those cover the shortage first.
Source: common practice of a counted shelf, worked by hand in the acceptance
stories.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from itertools import groupby
from typing import Literal, Protocol, Self

from studio.days import show_day_short

ClaimKind = Literal["paid", "hold", "kept", "buffer"]
_PROMISED_TO_A_PERSON: tuple[ClaimKind, ...] = ("paid", "hold")
_ORDER_OF_SERVING = {"paid": 0, "hold": 0, "kept": 1, "buffer": 2}


class Orderable(Protocol):
    """Anything that can be sorted: a moment, a day, a number."""

    def __lt__(self, other: Self, /) -> bool: ...


@dataclass(frozen=True)
class ClaimFact:
    """One live claim on an item.

    ``rank`` says since when it counts, earliest first. ``until`` is the last day
    of a hold, and ``awaiting`` names what must come by then.
    """

    kind: ClaimKind
    count: int
    label: str
    until: date | None = None
    rank: Orderable = 0
    awaiting: str = "cheque"


@dataclass(frozen=True)
class Facts:
    """What is known of one item: states counted at home, goods elsewhere, claims."""

    item_code: str
    sellable: int
    show: int = 0
    incomplete: int = 0
    second: int = 0
    to_look_at_home: int = 0
    elsewhere: tuple[tuple[str, int], ...] = ()
    claims: tuple[ClaimFact, ...] = ()
    makeable: int = 0
    mendable: int = 0
    making_note: tuple[str, ...] = ()

    @property
    def on_the_shelf(self) -> int:
        """Count everything at home but the returns tray."""
        return self.sellable + self.show + self.incomplete + self.second


@dataclass(frozen=True)
class SumLine:
    """One line of a sum: what, how many (signed), and what is left after it."""

    label: str
    count: int
    running: int
    note: str = ""


@dataclass(frozen=True)
class Promise:
    """The answer to "how many can I have?", with its three sums.

    ``raw`` is the sum before it is cut off at nought.
    """

    item_code: str
    can_promise: int
    raw: int
    short: int
    by_tonight: int
    owned: int
    now_sum: tuple[SumLine, ...]
    tonight_sum: tuple[SumLine, ...]
    owned_sum: tuple[SumLine, ...]
    lapses: tuple[str, ...]
    reasons: tuple[str, ...]


@dataclass(frozen=True)
class Served:
    """One claim and how much of it the shelf covers."""

    claim: ClaimFact
    covered: int

    @property
    def short(self) -> int:
        """Count what this claim still lacks."""
        return self.claim.count - self.covered


def promise(facts: Facts) -> Promise:
    """Work out what can be promised now and by tonight, and what is owned."""
    now_sum = _now_sum(facts)
    raw = now_sum[-1].running
    tonight_sum = _tonight_sum(facts, raw)
    owned_sum = _owned_sum(facts)
    short = _short(facts)
    return Promise(
        item_code=facts.item_code,
        can_promise=max(0, raw),
        raw=raw,
        short=short,
        by_tonight=max(0, tonight_sum[-1].running),
        owned=owned_sum[-1].running,
        now_sum=now_sum,
        tonight_sum=tonight_sum,
        owned_sum=owned_sum,
        lapses=_lapses(facts.claims, raw),
        reasons=(*_short_reason(short), *facts.making_note),
    )


def serve_in_order(claims: Iterable[ClaimFact], sellable: int) -> tuple[Served, ...]:
    """Cover claims from the shelf: people by rank, then kept goods, then buffer."""
    left = max(0, sellable)
    served = []
    for claim in _in_order_of_serving(claims):
        covered = min(left, claim.count)
        left -= covered
        served.append(Served(claim, covered))
    return tuple(served)


def _in_order_of_serving(claims: Iterable[ClaimFact]) -> list[ClaimFact]:
    by_rank = sorted(claims, key=lambda claim: claim.rank)
    return sorted(by_rank, key=lambda claim: _ORDER_OF_SERVING[claim.kind])


def _short(facts: Facts) -> int:
    promised = sum(
        claim.count for claim in facts.claims if claim.kind in _PROMISED_TO_A_PERSON
    )
    return max(0, promised - max(0, facts.sellable))


def _short_reason(short: int) -> tuple[str, ...]:
    if not short:
        return ()
    verb = "is" if short == 1 else "are"
    return (f"{short} {verb} promised and not there.",)


def _running(lines: Iterable[tuple[str, int, str]]) -> tuple[SumLine, ...]:
    total = 0
    summed = []
    for label, count, note in lines:
        total += count
        summed.append(SumLine(label, count, total, note))
    return tuple(summed)


def _now_sum(facts: Facts) -> tuple[SumLine, ...]:
    set_aside = (
        ("less show sets", -facts.show, ""),
        ("less incomplete", -facts.incomplete, ""),
        ("less seconds", -facts.second, ""),
    )
    return _running(
        [
            ("On the shelf", facts.on_the_shelf, ""),
            *(line for line in set_aside if line[1]),
            *_claim_lines(facts.claims),
        ]
    )


def _claim_lines(claims: Sequence[ClaimFact]) -> list[tuple[str, int, str]]:
    by_kind: dict[ClaimKind, list[ClaimFact]] = {
        "paid": [],
        "hold": [],
        "kept": [],
        "buffer": [],
    }
    for claim in claims:
        by_kind[claim.kind].append(claim)
    return [
        *_one_line("less paid", by_kind["paid"]),
        *_one_line("less held", by_kind["hold"]),
        *_kept_lines(by_kind["kept"]),
        *_one_line("less buffer", by_kind["buffer"]),
    ]


def _kept_lines(kept: Sequence[ClaimFact]) -> list[tuple[str, int, str]]:
    lines: list[tuple[str, int, str]] = []
    in_order = sorted(kept, key=lambda claim: claim.label)
    for label, same in groupby(in_order, key=lambda claim: claim.label):
        lines += _one_line(f"less kept for {label}", list(same))
    return lines


def _one_line(label: str, claims: Sequence[ClaimFact]) -> list[tuple[str, int, str]]:
    counts = [claim.count for claim in claims]
    if not sum(counts):
        return []
    note = " + ".join(str(count) for count in counts) if len(counts) > 1 else ""
    return [(label, -sum(counts), note)]


def _tonight_sum(facts: Facts, raw: int) -> tuple[SumLine, ...]:
    return _running(
        [
            ("Left from the shelf", raw, ""),
            ("mended", facts.mendable, ""),
            ("made up", facts.makeable, ""),
        ]
    )


def _owned_sum(facts: Facts) -> tuple[SumLine, ...]:
    tray = facts.to_look_at_home
    return _running(
        [
            ("On the shelf", facts.on_the_shelf, ""),
            *([("in the returns tray", tray, "")] if tray else []),
            *((_at(place), count, "") for place, count in facts.elsewhere),
        ]
    )


def _at(place: str) -> str:
    """Name where it is; a place may carry the word in its name already."""
    return f"at {place.removeprefix('At ')}"


def _lapses(claims: Iterable[ClaimFact], raw: int) -> tuple[str, ...]:
    dated = [
        (claim.until, claim.awaiting, claim.count)
        for claim in claims
        if claim.kind == "hold" and claim.until is not None
    ]
    sentences = []
    for until, awaiting, count in sorted(dated):
        more = max(0, raw + count) - max(0, raw)
        raw += count
        if more:
            sentences.append(_lapse_sentence(more, until, awaiting))
    return tuple(sentences)


def _lapse_sentence(more: int, until: date, awaiting: str) -> str:
    many = "One" if more == 1 else str(more)
    return f"{many} more on {show_day_short(until)} if the {awaiting} does not come."
