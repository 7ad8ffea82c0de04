"""Take it or not: what a selling day brings on its own terms.

For one set, in exact fractions of a penny,

    sold     = (1 - returned) x (price - commission - card fee - posting) + returned x home
    posting  = postage + packing - postage help + share late x fine, for orders we post
    home     = (1 - spoiled) x worth at home - its share of a carton - carriage back
    net sold = sold - cost            net unsold = home - cost
    net sent = share sold x net sold + (1 - share sold) x net unsold
    break-even = (cost - home) / (sold - home)

Terms that buy outright pay for every set sent. A whole day takes carriage out and the
pitch off besides; its break-even is the share of all that is sent. Sums worked by hand.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from fractions import Fraction
from typing import Literal

from studio.days import show_day_short
from studio.errors import StudioError
from studio.money import round_half_up, show_pounds

Basis = Literal["firm", "sale-or-return", "own"]
MILLS_IN_A_PENNY = 10


class ShareOutOfReach(StudioError):
    """A share of the terms that is not from 0 to 100."""

    def __init__(self, what: str, per_hundred: Fraction) -> None:
        self.what, self.per_hundred = what, per_hundred
        super().__init__(
            f"{what} reads {float(per_hundred):g} in 100. Write a number from 0 to "
            "100, please."
        )


class CartonOfNothing(StudioError):
    """A carton that holds no set."""

    def __init__(self, holds: int) -> None:
        self.holds = holds
        super().__init__(
            f"A carton cannot hold {holds}. Write how many come home in one, at least 1."
        )


@dataclass(frozen=True)
class AgreedTerms:
    """What was agreed for one selling day; shares are in 100 and may be fractions."""

    basis: Basis
    commission_per_hundred: Fraction = Fraction(0)
    card_fee_per_hundred: Fraction = Fraction(0)
    card_fee_pence: int = 0
    customer_returns_per_hundred: Fraction = Fraction(0)
    spoiled_per_hundred: Fraction = Fraction(0)
    carton_charge_pence: int = 0
    carton_holds: int = 20
    return_carriage_pence: int = 0
    carriage_out_pence: int = 0
    pitch_pence: int = 0
    we_post: bool = False
    postage_help_pence: int = 0
    late_fine_pence: int = 0
    late_per_hundred: Fraction = Fraction(0)
    paid_on: date | None = None

    def __post_init__(self) -> None:
        for what, share in (
            ("The commission", self.commission_per_hundred),
            ("The card fee", self.card_fee_per_hundred),
            ("What customers send back", self.customer_returns_per_hundred),
            ("The spoiled share", self.spoiled_per_hundred),
            ("The share posted late", self.late_per_hundred),
        ):
            if not 0 <= share <= 100:
                raise ShareOutOfReach(what, Fraction(share))
        if self.carton_holds < 1:
            raise CartonOfNothing(self.carton_holds)


@dataclass(frozen=True)
class LineMoney:
    """What one set of a line takes and brings; material in thousandths of a pound.

    ``making_pence`` is what its bench and making-up minutes are worth, nought where
    they are not counted; ``home_pence`` what a good set fetches that comes home.
    """

    code: str
    price_pence: int
    material_mills: int
    making_pence: Fraction = Fraction(0)
    postage_pence: int = 0
    packing_pence: Fraction = Fraction(0)
    home_pence: int = 0
    sent: int = 0
    minutes: Fraction = Fraction(0)

    @property
    def cost_pence(self) -> Fraction:
        """Return material and making of one set."""
        return Fraction(self.material_mills, MILLS_IN_A_PENNY) + self.making_pence


@dataclass(frozen=True)
class LineSums:
    """The sums of one set of a line, in exact fractions of a penny."""

    line: LineMoney
    sold: Fraction
    home: Fraction
    break_even: Fraction | None
    pays_for_all: bool

    @property
    def net_sold(self) -> Fraction:
        """Return what a set brings that is sold and stays sold as often as usual."""
        return self.sold - self.line.cost_pence

    @property
    def net_unsold(self) -> Fraction:
        """Return what a set brings that comes home; mostly a loss."""
        return self.sold - self.line.cost_pence if self.pays_for_all else self._home

    @property
    def _home(self) -> Fraction:
        return self.home - self.line.cost_pence

    def net_sent(self, share_sold: Fraction) -> Fraction:
        """Return what a set brings that is sent, when so large a share is sold."""
        return share_sold * self.net_sold + (1 - share_sold) * self.net_unsold

    @property
    def sentence(self) -> str:
        """Say what one sold, one home and the break-even come to."""
        sold = show_pounds(round_half_up(self.net_sold))
        if self.pays_for_all:
            return f"{self.line.code}: each one sent brings {sold}; none comes home."
        home = show_pounds(round_half_up(self.net_unsold))
        start = f"{self.line.code}: one sold brings {sold}, one that comes home {home}"
        if self.break_even is None:
            return f"{start}. It does not pay, however many are sold."
        if self.break_even <= 0:
            return f"{start}. It pays even if none is sold."
        return f"{start}. It pays from {_in_100(self.break_even)} sold of 100 sent."


@dataclass(frozen=True)
class TakeIt:
    """A whole day weighed against not going."""

    lines: tuple[LineSums, ...]
    gain_pence: int
    instead_pence: int
    break_even: Fraction | None
    minutes: int
    cash_pence: int
    sentences: tuple[str, ...]

    @property
    def more_pence(self) -> int:
        """Return what going brings more than not going."""
        return self.gain_pence - self.instead_pence


def line_sums(terms: AgreedTerms, line: LineMoney) -> LineSums:
    """Work out what one set of a line brings under these terms."""
    home = _home(terms, line)
    returned = Fraction(terms.customer_returns_per_hundred) / 100
    sold = (1 - returned) * _kept_sale(terms, line) + returned * home
    pays_for_all = terms.basis == "firm"
    if pays_for_all:
        sold = _kept_sale(terms, line)
    even = _break_even(line.cost_pence, sold, home, pays_for_all)
    return LineSums(line, sold, home, even, pays_for_all)


def take_it_or_not(
    terms: AgreedTerms,
    lines: Sequence[LineMoney],
    share_sold: Sequence[Fraction],
    *,
    instead_pence: int = 0,
    minutes_besides: int = 0,
) -> TakeIt:
    """Weigh a day against not going: money, hours, and cash until it is paid.

    ``share_sold`` is what is expected of each line; ``instead_pence`` what the same
    sets, or none, bring without the day.
    """
    sums = tuple(line_sums(terms, line) for line in lines)
    fixed = Fraction(terms.carriage_out_pence + terms.pitch_pence)
    gain = (
        sum(
            (
                one.line.sent * one.net_sent(share)
                for one, share in zip(sums, share_sold, strict=True)
            ),
            Fraction(0),
        )
        - fixed
    )
    minutes = sum((line.sent * line.minutes for line in lines), Fraction(0))
    cash = fixed + sum(
        Fraction(line.sent * line.material_mills, MILLS_IN_A_PENNY) for line in lines
    )
    answer = TakeIt(
        lines=sums,
        gain_pence=round_half_up(gain),
        instead_pence=instead_pence,
        break_even=day_break_even(sums, fixed),
        minutes=round_half_up(minutes) + minutes_besides,
        cash_pence=round_half_up(cash),
        sentences=(),
    )
    return TakeIt(**{**vars(answer), "sentences": _sentences(answer, terms)})


def day_break_even(sums: Sequence[LineSums], fixed_pence: Fraction) -> Fraction | None:
    """Return the share of all sent that must be sold, the same for every line."""
    unsold = sum((one.line.sent * one.net_unsold for one in sums), Fraction(0))
    sold = sum((one.line.sent * one.net_sold for one in sums), Fraction(0))
    missing = fixed_pence - unsold
    if missing <= 0:
        return Fraction(0)
    share = missing / (sold - unsold) if sold > unsold else None
    return share if share is not None and share <= 1 else None


def _kept_sale(terms: AgreedTerms, line: LineMoney) -> Fraction:
    fees = Fraction(terms.commission_per_hundred + terms.card_fee_per_hundred)
    brings = line.price_pence * (1 - fees / 100) - terms.card_fee_pence
    if not terms.we_post:
        return brings
    fine = Fraction(terms.late_per_hundred) / 100 * terms.late_fine_pence
    posting = line.postage_pence + line.packing_pence - terms.postage_help_pence
    return brings - posting - fine


def _home(terms: AgreedTerms, line: LineMoney) -> Fraction:
    good = 1 - Fraction(terms.spoiled_per_hundred) / 100
    carton = Fraction(terms.carton_charge_pence, terms.carton_holds)
    return good * line.home_pence - carton - terms.return_carriage_pence


def _break_even(
    cost: Fraction, sold: Fraction, home: Fraction, pays_for_all: bool
) -> Fraction | None:
    if pays_for_all:
        return Fraction(0) if sold >= cost else None
    if home >= cost:
        return Fraction(0)
    share = (cost - home) / (sold - home) if sold > home else None
    return share if share is not None and share <= 1 else None


def _sentences(answer: TakeIt, terms: AgreedTerms) -> tuple[str, ...]:
    more = answer.more_pence
    word = "more" if more >= 0 else "less"
    first = (
        f"Going brings about {show_pounds(answer.gain_pence)}, "
        f"{show_pounds(abs(more))} {word} than not going."
    )
    hours, minutes = divmod(answer.minutes, 60)
    back = (
        f", which comes back on {show_day_short(terms.paid_on)}"
        if terms.paid_on
        else ""
    )
    second = (
        f"It takes {hours} hours and {minutes} minutes, and "
        f"{show_pounds(answer.cash_pence)} before it is paid{back}."
    )
    return first, second, _day_even(answer.break_even)


def _day_even(share: Fraction | None) -> str:
    if share is None:
        return "It loses money even if everything is sold."
    if not share:
        return "It pays even if nothing is sold."
    return f"It pays from {_in_100(share)} sold of 100 sent."


def _in_100(share: Fraction) -> int:
    # Rounded up: one fewer would not be enough.
    return -(-100 * share.numerator // share.denominator)
