"""What goods cost once they are on the shelf: their price and their share of carriage.

    share of a line = carriage x value of its good ones / value of all good ones
    landed cost of one = price + share of its line / good ones of the line

Only good ones bear carriage: what came broken is claimed for, not paid for twice.
Shares are whole pence that add up to the carriage exactly; the cost of one is rounded
half up to a thousandth of a pound. Common practice; worked by hand.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from studio import money


@dataclass(frozen=True)
class Arrived:
    """The good ones of one line, and the price of one in thousandths of a pound."""

    good: int
    price_mills: int

    @property
    def value_mills(self) -> int:
        return self.good * self.price_mills


def landed_mills(
    lines: Sequence[Arrived], carriage_pence: int
) -> tuple[int | None, ...]:
    """Give the landed cost of one of each line; None where nothing good arrived."""
    weights = [line.value_mills for line in lines]
    if sum(weights):
        shares: Sequence[int] = money.share(carriage_pence, weights)
    else:
        shares = [0] * len(lines)
    return tuple(
        _landed(line, pence) for line, pence in zip(lines, shares, strict=True)
    )


def _landed(line: Arrived, share_pence: int) -> int | None:
    if not line.good:
        return None
    extra = (share_pence * money.MILLS_IN_A_PENNY + line.good // 2) // line.good
    return line.price_mills + extra
