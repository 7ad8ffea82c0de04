"""What a set that comes home is still worth, and the gain of each further set sent.

The k-th set that comes home lies behind those on the shelf already, and goes by post
only if so many are wanted there while it can still be sold:

    worth(k) = by post x P(wanted at home >= on the shelf + k) + else x the rest

Sending the k-th set to a day is then worth, for the demand D of that day,

    gain(k) = price P(D >= k) + sum over d < k of P(D = d) worth(k - d) - cost

which never rises from one set to the next. The worth of what is left is the gain of the
next occasion, worked backwards: the news-stand problem over several occasions, as in
Snyder and Shen, Fundamentals of Supply Chain Theory (from memory). Whole pence.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import accumulate

from production.quantities import Demand


def worth_left(
    at_home: Demand, by_post_pence: int, else_pence: int, on_shelf: int, most: int
) -> tuple[int, ...]:
    """Return what the first, second and each further set that comes home is worth.

    ``by_post_pence`` is net of postage and packing, ``else_pence`` what it fetches
    when nobody wants it in time.
    """
    chances = (float(at_home.chance_of(k)) for k in range(on_shelf + most))
    at_most = list(accumulate(chances))
    worth = []
    for place in range(on_shelf, on_shelf + most):
        wanted = max(0.0, 1.0 - at_most[place])
        worth.append(round(by_post_pence * wanted + else_pence * (1.0 - wanted)))
    return tuple(worth)


def gain_curve(
    demand: Demand,
    price_pence: int,
    cost_pence: int,
    left_worth_pence: Sequence[int],
    most: int,
) -> tuple[int, ...]:
    """Return the gain of each further set, rounded to whole pence.

    ``left_worth_pence`` never rises; its last figure holds for all further sets.
    """
    chances = [float(demand.chance_of(count)) for count in range(most)]
    gains, at_least = [], 1.0
    for k in range(1, most + 1):
        at_least -= chances[k - 1]
        home = sum(
            chances[d] * _worth(left_worth_pence, k - d) for d in range(k) if chances[d]
        )
        gains.append(round(price_pence * max(0.0, at_least) + home - cost_pence))
    return tuple(gains)


def _worth(left_worth_pence: Sequence[int], place: int) -> int:
    if not left_worth_pence:
        return 0
    return left_worth_pence[min(place, len(left_worth_pence)) - 1]
