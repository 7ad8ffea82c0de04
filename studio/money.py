"""Money in whole pence, and costs too fine for a penny in thousandths of a pound.

    share of one line = total x weight / all weights, rounded down; the pennies left
    over go to the largest remainders, the first line winning a tie
    rounding = half up, away from nought on a tie, once at the end of a line

A mill is a thousandth of a pound: a grip dot at 1.5p is 15 mills.
Source of the rounding: the ordinary half-up rule of retail sums; of the sharing:
common practice (largest remainder).
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from decimal import Decimal
from fractions import Fraction
from math import floor

from studio.errors import StudioError

MOST_POUNDS = 1_000_000
MILLS_IN_A_PENNY = 10

_MINUS = "−"
_AMOUNT = re.compile(r"(?P<pounds>[0-9]+)?(?:\.(?P<after>[0-9]+))?")
_IN_PENCE = re.compile(r"([0-9]{1,2})p")
_IN_THOUSANDS = re.compile(r"[0-9]{1,3}(,[0-9]{3})+(\.[0-9]*)?")
_WITH_EXPONENT = re.compile(r"[0-9.]+e[+-]?[0-9]+", re.IGNORECASE)


class MoneyUnreadable(StudioError):
    """An amount of money that cannot be read as it was typed."""

    def __init__(self, typed: str, reason: str) -> None:
        self.typed = typed
        self.reason = reason
        super().__init__(typed, reason)

    def __str__(self) -> str:
        return self.reason


class CannotShare(StudioError):
    """A sum that has no lines, or no weight, to be shared by."""

    def __init__(self, weights: Sequence[int]) -> None:
        self.weights = tuple(weights)
        super().__init__(self.weights)

    def __str__(self) -> str:
        return (
            "A sum can only be shared over lines that count for something. "
            "Give at least one line a weight above nought, and none below it."
        )


def parse_pounds(typed: str) -> int:
    """Read pounds and pence as typed; give whole pence.

    Takes ``£12.50``, ``12.5``, ``12``, ``1,234.00``, ``50p`` and ``-0.50``.
    Raises MoneyUnreadable for anything else.
    """
    sign, plain = _sign_and_rest(typed)
    in_pence = _IN_PENCE.fullmatch(plain)
    if in_pence:
        return sign * int(in_pence[1])
    return sign * _scaled(typed, plain, places=2)


def parse_cost(typed: str) -> int:
    """Read a unit cost with up to three places; give mills, ``0.015`` as 15."""
    sign, plain = _sign_and_rest(typed)
    return sign * _scaled(typed, plain, places=3)


def show_pounds(pence: int) -> str:
    """Write pence as pounds: 1250 as ``£12.50``, -50 as ``−£0.50``."""
    pounds, rest = divmod(abs(pence), 100)
    return f"{_MINUS if pence < 0 else ''}£{pounds:,}.{rest:02}"


def show_cost(cost_mills: int) -> str:
    """Write mills as pounds, with a third place only where it is needed."""
    pounds, rest = divmod(abs(cost_mills), 1000)
    after = f"{rest:03}"
    after = after[:2] if after.endswith("0") else after
    return f"{_MINUS if cost_mills < 0 else ''}£{pounds:,}.{after}"


def round_half_up(pence: Decimal | Fraction) -> int:
    """Round an exact number of pence to whole pence, away from nought on a tie."""
    exact = Fraction(pence)
    rounded = floor(abs(exact) + Fraction(1, 2))
    return -rounded if exact < 0 else rounded


def mills_to_pence(total_mills: int) -> int:
    """Round the mills of a whole line to pence, half up. Do it once, at the end."""
    return round_half_up(Fraction(total_mills, MILLS_IN_A_PENNY))


def share(total_pence: int, weights: Sequence[int]) -> tuple[int, ...]:
    """Share a sum over lines so that the parts add up to it exactly.

    A sum below nought is shared as its opposite is. Raises CannotShare without a
    weight above nought, or with one below.
    """
    if not weights or min(weights) < 0 or sum(weights) == 0:
        raise CannotShare(weights)
    if total_pence < 0:
        return tuple(-part for part in share(-total_pence, weights))
    parts = [divmod(total_pence * weight, sum(weights)) for weight in weights]
    left = total_pence - sum(whole for whole, _ in parts)
    by_remainder = sorted(range(len(parts)), key=lambda line: -parts[line][1])
    lucky = set(by_remainder[:left])
    return tuple(whole + (line in lucky) for line, (whole, _) in enumerate(parts))


def _sign_and_rest(typed: str) -> tuple[int, str]:
    plain = "".join(typed.split()).replace(_MINUS, "-").replace("–", "-")
    below = plain.startswith(("-", "£-"))
    for mark in ("£", "-", "£"):
        plain = plain.removeprefix(mark)
    return (-1 if below else 1), plain


def _scaled(typed: str, plain: str, *, places: int) -> int:
    if _IN_THOUSANDS.fullmatch(plain):
        plain = plain.replace(",", "")
    amount = _AMOUNT.fullmatch(plain)
    if not plain or amount is None:
        raise MoneyUnreadable(typed, _why_unreadable(typed, plain))
    pounds, after = int((amount["pounds"] or "0")[:12]), amount["after"] or ""
    if len(after) > places:
        raise MoneyUnreadable(typed, _too_many_places(typed, places))
    if pounds > MOST_POUNDS:
        raise MoneyUnreadable(typed, _too_much(typed))
    return int(pounds * 10**places + int(after.ljust(places, "0")))


def _why_unreadable(typed: str, plain: str) -> str:
    shown = typed.strip()
    if not plain:
        return "No amount is written. Write pounds and pence, such as 12.50."
    if _WITH_EXPONENT.fullmatch(plain):
        return f"“{shown}” is a calculator's short form. Write the amount out, please."
    if "," in plain and not re.search(r"[^0-9.,]", plain):
        return (
            f"The comma in “{shown}” does not part thousands. "
            "Write 12.50 for pounds and pence, or 1,250.00 with thousands."
        )
    return f"“{shown}” is not an amount of money. Write it in figures, such as 12.50."


def _too_many_places(typed: str, places: int) -> str:
    if places == 2:
        return (
            f"“{typed.strip()}” goes beyond whole pence. "
            "Write two figures after the point, such as 12.50."
        )
    return (
        f"“{typed.strip()}” is finer than a tenth of a penny. "
        "Write up to three figures after the point, such as 0.015."
    )


def _too_much(typed: str) -> str:
    return (
        f"“{typed.strip()}” is more than a million pounds. "
        "Check where the point belongs."
    )
