"""Who took this also took: the share of orders with one thing that hold another.

    share = orders with both / orders with the first,   its range exact (Clopper and
    Pearson 1934, from memory);   usual = orders with the second / all orders

A pairing is told only when its whole range lies above the usual share.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from itertools import permutations

from studio.maths.binomials import share_range

LEAST_ORDERS = 5
MOST_FOR_EACH = 3


@dataclass(frozen=True)
class GoesWith:
    """Orders with ``first``, how many of them held ``second``, and how sure that is."""

    first: str
    second: str
    orders: int
    both: int
    share: float
    low_95: float
    high_95: float
    usual: float

    @property
    def proved(self) -> bool:
        """Say whether it goes with the first more than with orders in general."""
        return self.low_95 > self.usual

    @property
    def sentence(self) -> str:
        """Say it as she would."""
        usual = f"of all orders {100 * self.usual:.0f} in 100 did"
        told = (
            f"{self.both} of {self.orders} who took {self.first} also took "
            f"{self.second}; {usual}"
        )
        return f"{told}." if self.proved else f"{told}, so it is not proved."


def what_goes_with(
    orders: Iterable[Iterable[str]], most: int = MOST_FOR_EACH
) -> tuple[GoesWith, ...]:
    """Return the commonest pairings of each thing, the largest share first.

    An order counts a thing once, however many of it were bought.
    """
    baskets = [frozenset(order) for order in orders]
    holding = Counter(item for basket in baskets for item in basket)
    pairs = Counter(
        pair for basket in baskets for pair in permutations(sorted(basket), 2)
    )
    partners: dict[str, list[tuple[int, str]]] = defaultdict(list)
    for (first, second), both in pairs.items():
        if holding[first] >= LEAST_ORDERS:
            partners[first].append((-both, second))
    found = [
        _pairing((first, second), -both, holding, len(baskets))
        for first, told in partners.items()
        for both, second in sorted(told)[:most]
    ]
    return tuple(sorted(found, key=lambda one: (-one.share, one.first, one.second)))


def _pairing(
    pair: tuple[str, str], both: int, holding: Counter[str], orders: int
) -> GoesWith:
    first, second = pair
    low, high = share_range(both, holding[first], 0.95)
    return GoesWith(
        first=first,
        second=second,
        orders=holding[first],
        both=both,
        share=both / holding[first],
        low_95=low,
        high_95=high,
        usual=holding[second] / orders,
    )
