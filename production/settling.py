"""Sent, sold, returned and paid: does the statement add up, and does the carton?

    sold for good  = sold - put back on sale there - come back damaged
    expected pay   = sold for good x price - charges
    still there    = sent - sold + put back, and the damaged ones
    unaccounted    = sent - paid for - come home        (needs no report of theirs)

Every set that was sent is either paid for or comes home. Money counts in the tax year
in which it came, 6 April to 5 April, on the receipts-and-payments basis (gov.uk,
Business records if you are self-employed). Whole pence; material in thousandths of a
pound. Sums worked by hand.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from studio.days import show_day
from studio.errors import StudioError
from studio.money import mills_to_pence, show_pounds


class MoreSoldThanSent(StudioError):
    """A report that sells or returns more than there was."""

    def __init__(self, code: str, what: str, count: int, most: int) -> None:
        self.code, self.what, self.count, self.most = code, what, count, most
        super().__init__(
            f"{count} {code} {what}, but there were only {most}. Check the numbers, "
            "please."
        )


@dataclass(frozen=True)
class Sending:
    """One line that was sent, and what is known of it now.

    ``paid_sets`` is None where the statement gives one sum only; ``home_good`` and
    ``home_damaged`` are None until the carton has come.
    """

    code: str
    name: str
    sent: int
    sold: int
    price_pence: int
    material_mills: int
    put_back: int = 0
    damaged_back: int = 0
    paid_sets: int | None = None
    home_good: int | None = None
    home_damaged: int | None = None

    def __post_init__(self) -> None:
        if self.sold > self.sent + self.put_back:
            raise MoreSoldThanSent(
                self.code, "are sold", self.sold, self.sent + self.put_back
            )
        if self.put_back + self.damaged_back > self.sold:
            back = self.put_back + self.damaged_back
            raise MoreSoldThanSent(self.code, "came back to them", back, self.sold)

    @property
    def sold_for_good(self) -> int:
        """Count what customers kept."""
        return self.sold - self.put_back - self.damaged_back

    @property
    def due_pence(self) -> int:
        """Return what the sets that were kept are worth."""
        return self.sold_for_good * self.price_pence

    @property
    def good_there(self) -> int:
        """Count the good ones that should still be there."""
        return self.sent - self.sold + self.put_back

    @property
    def owned_there(self) -> int:
        """Count all that are still hers there, damaged ones too."""
        return self.good_there + self.damaged_back

    @property
    def owned_pence(self) -> int:
        """Return what those cost in material."""
        return mills_to_pence(self.owned_there * self.material_mills)

    @property
    def has_come_home(self) -> bool:
        """Say whether the carton has come."""
        return self.home_good is not None or self.home_damaged is not None

    @property
    def home(self) -> int:
        """Count what came home, good or damaged."""
        return (self.home_good or 0) + (self.home_damaged or 0)


@dataclass(frozen=True)
class Statement:
    """What the channel says it pays, and on which day."""

    paid_pence: int
    charges_pence: int
    paid_on: date


@dataclass(frozen=True)
class LineSettled:
    """One line matched three ways; ``unpaid_sets`` is None where it cannot be told."""

    sending: Sending
    unpaid_sets: int | None
    missing_good: int
    missing_damaged: int
    unaccounted: int | None

    @property
    def claim_pence(self) -> int:
        """Return what the sets neither paid for nor come home are worth."""
        return max(0, self.unaccounted or 0) * self.sending.price_pence


@dataclass(frozen=True)
class Settled:
    """A statement and its cartons, matched."""

    lines: tuple[LineSettled, ...]
    expected_pence: int
    short_pence: int
    tax_year: str
    sentences: tuple[str, ...]
    letter: str

    @property
    def claim_sets(self) -> int:
        """Count the sets to claim."""
        return sum(max(0, line.unaccounted or 0) for line in self.lines)

    @property
    def claim_pence(self) -> int:
        """Return what to claim; where sets cannot be told, the money that is short."""
        by_sets = sum(line.claim_pence for line in self.lines)
        known = all(line.unaccounted is not None for line in self.lines)
        return by_sets if known else max(by_sets, self.short_pence, 0)


def settle(sendings: Sequence[Sending], statement: Statement) -> Settled:
    """Match what was sent, sold, returned and paid, and write the letter."""
    due = sum(sending.due_pence for sending in sendings)
    expected = due - statement.charges_pence
    paid = [_paid_sets(sending, len(sendings), statement) for sending in sendings]
    lines = tuple(
        _line(sending, sets) for sending, sets in zip(sendings, paid, strict=True)
    )
    draft = Settled(
        lines=lines,
        expected_pence=expected,
        short_pence=expected - statement.paid_pence,
        tax_year=tax_year_of(statement.paid_on),
        sentences=(),
        letter="",
    )
    return Settled(
        **{
            **vars(draft),
            "sentences": _sentences(draft, statement),
            "letter": claim_letter(draft, statement),
        }
    )


def tax_year_of(day: date) -> str:
    """Return the tax year of a day, such as 2027–28; it begins on 6 April."""
    first = day.year if (day.month, day.day) >= (4, 6) else day.year - 1
    return f"{first}–{(first + 1) % 100:02d}"


def claim_letter(settled: Settled, statement: Statement) -> str:
    """Write what to send them; empty where there is nothing to claim."""
    if settled.claim_pence <= 0:
        return ""
    told = [_told(line) for line in settled.lines if line.claim_pence]
    if not told:
        told = [
            f"We reckon {show_pounds(settled.expected_pence)} and "
            f"{show_pounds(statement.paid_pence)} are stated."
        ]
    return "\n".join(
        (
            f"Your statement with payment on {show_day(statement.paid_on)}",
            "",
            *told,
            "",
            f"Please pay {show_pounds(settled.claim_pence)}, or tell us where the goods "
            "are.",
        )
    )


def _paid_sets(sending: Sending, lines: int, statement: Statement) -> int | None:
    if sending.paid_sets is not None or lines != 1 or not sending.price_pence:
        return sending.paid_sets
    sets, rest = divmod(
        statement.paid_pence + statement.charges_pence, sending.price_pence
    )
    return None if rest else sets


def _line(sending: Sending, paid_sets: int | None) -> LineSettled:
    there = sending.has_come_home
    unpaid = None if paid_sets is None else sending.sold_for_good - paid_sets
    unaccounted = unpaid
    if there and paid_sets is not None:
        unaccounted = sending.sent - paid_sets - sending.home
    return LineSettled(
        sending=sending,
        unpaid_sets=unpaid,
        missing_good=sending.good_there - (sending.home_good or 0) if there else 0,
        missing_damaged=(
            sending.damaged_back - (sending.home_damaged or 0) if there else 0
        ),
        unaccounted=unaccounted,
    )


def _told(line: LineSettled) -> str:
    sending = line.sending
    parts = [
        f"{sending.sent} sent",
        f"{sending.sold_for_good - (line.unpaid_sets or 0)} paid for",
    ]
    if sending.has_come_home:
        parts.append(f"{sending.home} come back")
    return (
        f"{sending.name} ({sending.code}): {', '.join(parts)}; "
        f"{line.unaccounted} unaccounted for at {show_pounds(sending.price_pence)} "
        f"each, {show_pounds(line.claim_pence)}."
    )


def _sentences(settled: Settled, statement: Statement) -> tuple[str, ...]:
    return (
        _money_sentence(settled, statement),
        *(
            sentence
            for line in settled.lines
            for sentence in (_there_sentence(line), *_missing(line))
        ),
        *_claim_sentence(settled),
        f"The money comes on {show_day(statement.paid_on)}, so it belongs to the tax "
        f"year {settled.tax_year}. Ask your accountant if you keep other books.",
    )


def _money_sentence(settled: Settled, statement: Statement) -> str:
    expected = show_pounds(settled.expected_pence)
    start = f"{expected} are due and {show_pounds(statement.paid_pence)} are stated"
    if not settled.short_pence:
        return f"{start}: the money is right."
    by = show_pounds(abs(settled.short_pence))
    word = "short" if settled.short_pence > 0 else "too much"
    return f"{start}: {by} {word}."


def _there_sentence(line: LineSettled) -> str:
    sending = line.sending
    if sending.has_come_home:
        return f"{sending.code}: {sending.home} came home."
    return (
        f"{sending.code}: {sending.owned_there} there are still yours, "
        f"{show_pounds(sending.owned_pence)} of material."
    )


def _missing(line: LineSettled) -> tuple[str, ...]:
    code, good = line.sending.code, line.missing_good
    if good > 0:
        return (f"{code}: {good} more good should have come home.",)
    if good < 0:
        return (f"{code}: {-good} more came home than should have been there.",)
    return ()


def _claim_sentence(settled: Settled) -> tuple[str, ...]:
    if settled.claim_pence <= 0:
        return ()
    sets = "1 set" if settled.claim_sets == 1 else f"{settled.claim_sets} sets"
    what = f"{sets}, {show_pounds(settled.claim_pence)}"
    return (
        f"Claim {what if settled.claim_sets else show_pounds(settled.claim_pence)}.",
    )
