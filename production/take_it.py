"""One selling day weighed against not going, with the sum of every figure.

    going     = sum of sets sent x net of one sent - carriage out - pitch - helper's pay
    not going = the same sets by post for as long as the money takes - their material
                - the same pay, or nothing at all where that would lose money

Net of one set sold, home and sent is that of ``production.terms_sums``; what a set
fetches by post is that of ``production.left_over``. A line of which nobody knows how
many are wanted is counted twice: at the worst and at the best that can come of it.
Only where both say the same is there an answer. Whole pence; each step of a sum is the
difference of two rounded totals, so that what is printed adds up. Sums worked by hand.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from production.day_plan import SumLine
from production.terms_sums import (
    AgreedTerms,
    LineMoney,
    LineSums,
    TakeIt,
    day_break_even,
    line_sums,
    take_it_or_not,
)
from studio.money import round_half_up, show_pounds

# Less than a pound between two ways of selling is no difference: a rule of the house.
SAME_PENCE = 100


@dataclass(frozen=True)
class LineAsked:
    """One line that can be counted: its money, what is expected, worth by post.

    ``worth_pence`` is what the first, second and each further set fetches at home.
    ``expected`` is None where nobody knows. ``money.sent`` is above nought.
    """

    name: str
    money: LineMoney
    worth_pence: tuple[int, ...]
    expected: int | None
    expected_words: str = ""
    worth_words: str = ""

    def at_home(self, sold: int) -> LineMoney:
        """Return its money with the mean worth of those that come home."""
        home = self.money.sent - sold
        worth = self.worth_pence[: max(1, home)]
        mean = round_half_up(Fraction(sum(worth), len(worth))) if worth else 0
        return replace(self.money, home_pence=mean)

    def sold_or(self, unknown: int) -> int:
        """Return how many are expected to be sold, or the number for an unknown one."""
        if self.expected is None:
            return unknown
        return min(self.expected, self.money.sent)

    @property
    def share_expected(self) -> Fraction:
        """Return the share of those sent that is expected to be sold, or none."""
        return Fraction(self.sold_or(0), self.money.sent)

    @property
    def by_post_pence(self) -> Fraction:
        """Return what all its sets bring by post, less their material."""
        return sum(self.worth_pence) - self.money.sent * self.money.cost_pence


@dataclass(frozen=True)
class Figure:
    """A sum of money, and the steps it is made of."""

    pence: int
    steps: tuple[SumLine, ...]


@dataclass(frozen=True)
class LineWeighed:
    """One line with its figures."""

    asked: LineAsked
    sums: LineSums
    sold: Figure
    home: Figure | None
    sent: Figure | None

    @property
    def break_even_sets(self) -> int | None:
        """Return how many of those sent must be sold, or None where none is enough."""
        even = self.sums.break_even
        if even is None:
            return None
        return -(-even.numerator * self.asked.money.sent // even.denominator)


@dataclass(frozen=True)
class DayWeighed:
    """The whole day: worst, best, and what is expected where that is known."""

    lines: tuple[LineWeighed, ...]
    worst_pence: int
    best_pence: int
    going: Figure | None
    instead: Figure
    break_even: Fraction | None
    break_even_with_post: Fraction | None

    @property
    def unknown(self) -> tuple[LineWeighed, ...]:
        """Return the lines of which nobody knows how many are wanted."""
        return tuple(line for line in self.lines if line.sent is None)

    @property
    def is_bought_outright(self) -> bool:
        """Say whether every set is paid for, whatever is sold."""
        return any(line.sums.pays_for_all for line in self.lines)

    @property
    def against_pence(self) -> int:
        """Return what not going brings: by post, or nothing where post loses money."""
        return max(0, self.instead.pence)


def weigh(terms: AgreedTerms, lines: Sequence[LineAsked], pay_pence: int) -> DayWeighed:
    """Weigh a day of lines that each have a number, a price and a material cost."""
    worst = [line.sold_or(worst_sold(terms, line)) for line in lines]
    best = [line.sold_or(best_sold(terms, line)) for line in lines]
    weighed = tuple(weigh_line(terms, line) for line in lines)
    sums = [line.sums for line in weighed]
    fixed = Fraction(terms.carriage_out_pence + terms.pitch_pence + pay_pence)
    instead = _instead(lines, pay_pence)
    by_post = Fraction(max(0, instead.pence))
    return DayWeighed(
        lines=weighed,
        worst_pence=_case(terms, lines, worst).gain_pence - pay_pence,
        best_pence=_case(terms, lines, best).gain_pence - pay_pence,
        going=_going(terms, weighed, pay_pence),
        instead=instead,
        break_even=day_break_even(sums, fixed),
        break_even_with_post=day_break_even(sums, fixed + by_post),
    )


def _case(
    terms: AgreedTerms, lines: Sequence[LineAsked], sold: Sequence[int]
) -> TakeIt:
    pairs = list(zip(lines, sold, strict=True))
    money = [line.at_home(count) for line, count in pairs]
    shares = [Fraction(count, line.money.sent) for line, count in pairs]
    return take_it_or_not(terms, money, shares)


def value_of(terms: AgreedTerms, line: LineAsked, sold: int) -> Fraction:
    """Return what all sets of a line bring when so many are sold and the rest home."""
    sums = line_sums(terms, line.at_home(sold))
    return sold * sums.net_sold + (line.money.sent - sold) * sums.net_unsold


def worst_sold(terms: AgreedTerms, line: LineAsked) -> int:
    """Return the number sold that brings least: none or all.

    One sold brings the same each time and one more at home never more than the last,
    so between none and all it is never worse than at both.
    """
    return min((0, line.money.sent), key=lambda sold: value_of(terms, line, sold))


def best_sold(terms: AgreedTerms, line: LineAsked) -> int:
    """Return the number sold that brings most, found by halving."""
    low, high = 0, line.money.sent
    while low < high:
        middle = (low + high) // 2
        here = value_of(terms, line, middle)
        if value_of(terms, line, middle + 1) > here:
            low = middle + 1
        else:
            high = middle
    return low


def weigh_line(terms: AgreedTerms, line: LineAsked) -> LineWeighed:
    """Work out one line and open its sums."""
    sums = line_sums(terms, line.at_home(line.sold_or(0)))
    return LineWeighed(
        asked=line,
        sums=sums,
        sold=_sold_figure(terms, sums),
        home=None if sums.pays_for_all else _home_figure(terms, line, sums),
        sent=_sent_figure(line, sums),
    )


def _sold_figure(terms: AgreedTerms, sums: LineSums) -> Figure:
    line, price = sums.line, Fraction(sums.line.price_pence)
    back = sums.sold - _kept(terms, line)
    return figure(
        [
            ("Price", price, ""),
            ("commission", -price * terms.commission_per_hundred / 100, ""),
            ("card fee", -price * terms.card_fee_per_hundred / 100, ""),
            ("card fee, each payment", Fraction(-terms.card_fee_pence), ""),
            ("sent back by customers", back, _back_words(terms)),
            ("material", -line.cost_pence, ""),
        ]
    )


def _kept(terms: AgreedTerms, line: LineMoney) -> Fraction:
    """Return what a sale brings that no customer sends back."""
    return line_sums(
        replace(terms, customer_returns_per_hundred=Fraction(0)), line
    ).sold


def _back_words(terms: AgreedTerms) -> str:
    many = _plain(terms.customer_returns_per_hundred)
    return f"{many} of 100 sold are paid back and come home"


def _home_figure(terms: AgreedTerms, line: LineAsked, sums: LineSums) -> Figure:
    worth = Fraction(sums.line.home_pence)
    spoiled = _plain(terms.spoiled_per_hundred)
    carton = Fraction(terms.carton_charge_pence, terms.carton_holds)
    return figure(
        [
            ("Worth at home", worth, line.worth_words),
            (
                "spoiled",
                -worth * terms.spoiled_per_hundred / 100,
                f"{spoiled} of 100 that come home",
            ),
            ("its share of a carton", -carton, _carton_words(terms)),
            ("carriage home", Fraction(-terms.return_carriage_pence), ""),
            ("material", -sums.line.cost_pence, ""),
        ]
    )


def _carton_words(terms: AgreedTerms) -> str:
    if terms.carton_holds == 1:
        return "as written in the terms"
    return f"{show_pounds(terms.carton_charge_pence)} for {terms.carton_holds}"


def _sent_figure(line: LineAsked, sums: LineSums) -> Figure | None:
    sent = line.money.sent
    if sums.pays_for_all:
        return figure([("All are bought", sums.net_sold, "")])
    if line.expected is None:
        return None
    share = line.share_expected
    sold = line.sold_or(0)
    return figure(
        [
            (f"{sold} of {sent} sold", share * sums.net_sold, line.expected_words),
            (f"{sent - sold} come home", (1 - share) * sums.net_unsold, ""),
        ]
    )


def _going(
    terms: AgreedTerms, lines: Sequence[LineWeighed], pay_pence: int
) -> Figure | None:
    if any(line.sent is None for line in lines):
        return None
    parts = [
        (
            line.asked.name,
            line.asked.money.sent * line.sums.net_sent(line.asked.share_expected),
            f"{line.asked.money.sent} sent",
        )
        for line in lines
    ]
    return figure(
        [
            *parts,
            ("getting the goods there", Fraction(-terms.carriage_out_pence), ""),
            ("the pitch", Fraction(-terms.pitch_pence), ""),
            ("the helper’s pay", Fraction(-pay_pence), "for what is still to be cut"),
        ]
    )


def _instead(lines: Sequence[LineAsked], pay_pence: int) -> Figure:
    return figure(
        [
            *(
                (line.name, line.by_post_pence, f"{line.money.sent} by post")
                for line in lines
            ),
            ("the helper’s pay", Fraction(-pay_pence), "the same sets must be cut"),
        ]
    )


def figure(parts: Sequence[tuple[str, Fraction, str]]) -> Figure:
    """Add up a sum; steps of nought are left out, and what is printed adds up."""
    exact, shown, found = Fraction(0), 0, []
    for label, pence, why in parts:
        exact += pence
        total = round_half_up(exact)
        if total != shown:
            found.append(SumLine(label, total - shown, total, why))
        shown = total
    return Figure(shown, tuple(found))


def takings_pence(terms: AgreedTerms, day: DayWeighed) -> int:
    """Return what is paid for the sets expected to be sold, less bringing home the rest.

    A line of which nobody knows what is wanted pays nothing.
    """
    total = Fraction(0)
    returned = Fraction(terms.customer_returns_per_hundred) / 100
    bring = Fraction(terms.carton_charge_pence, terms.carton_holds)
    bring += terms.return_carriage_pence
    for line in day.lines:
        sent, kept = line.asked.money.sent, _kept(terms, line.asked.money)
        if line.sums.pays_for_all:
            total += sent * kept
            continue
        sold = line.asked.sold_or(0) * (1 - returned)
        total += sold * kept - (sent - sold) * bring
    return round_half_up(total)


def verdict(day: DayWeighed, left_out: int, cash_low_pence: int | None) -> str:
    """Say in one sentence whether to take it, or what is not known.

    ``left_out`` counts the lines that have no number or no price; the low point of
    the bank is None where nobody knows it.
    """
    if not day.lines:
        return "It cannot be said yet: no line has a number and a price."
    said = _by_money(day)
    if cash_low_pence is not None and cash_low_pence < 0 and said.startswith("Take"):
        said += f", but find {show_pounds(-cash_low_pence)} first: the bank runs short"
    if left_out:
        lines = "line is" if left_out == 1 else "lines are"
        said += f"; {left_out} {lines} left out"
    return f"{said}."


def _by_money(day: DayWeighed) -> str:
    against = day.against_pence
    if day.going and abs(day.going.pence - against) < SAME_PENCE:
        return (
            "Take it or leave it: it brings about as much as "
            f"{'the same sets by post' if against else 'not going'}"
        )
    about = "at least" if day.unknown else "about"
    if day.worst_pence > against:
        words = "the same sets by post" if against else "not going"
        least = show_pounds(day.worst_pence - against)
        return f"Take it: it brings {about} {least} more than {words}"
    if day.best_pence <= 0:
        most = show_pounds(-day.best_pence)
        return f"Do not take it: it loses {about} {most}"
    if day.best_pence <= against:
        most = show_pounds(against - day.best_pence)
        return (
            "Do not take it in place of the post, where the same sets bring "
            f"{about} {most} more"
        )
    names = ", ".join(line.asked.name for line in day.unknown)
    return (
        f"It cannot be said yet: it brings {show_pounds(day.worst_pence)} to "
        f"{show_pounds(day.best_pence)} against {show_pounds(against)} without it, and "
        f"nobody knows how many are wanted of {names}"
    )


def break_even_words(share: Fraction | None) -> str:
    """Say from how many of a hundred it pays."""
    if share is None:
        return "never, even if everything is sold"
    if not share:
        return "even if nothing is sold"
    return f"from {-(-100 * share.numerator // share.denominator)} sold of 100 sent"


def _plain(share: Fraction) -> str:
    return f"{float(share):g}"
