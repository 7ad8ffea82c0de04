"""A belief about a rate laid out on points, for sums over what the rate may be.

    weight ~ gamma density x rate,   at 400 points even in ln rate,

from far below the mean to far above it: 10 / sqrt(shape) + 10 / shape below in the
logarithm, 10 / sqrt(shape) above. The weights add up to one. No chance is drawn.
"""

from __future__ import annotations

from math import exp, log, sqrt

from inventory.demand import Belief

_POINTS = 400


def rate_points(belief: Belief) -> tuple[tuple[float, float], ...]:
    """Return pairs of a rate and its weight."""
    wide = 10 / sqrt(belief.shape)
    low = log(belief.mean) - wide - 10 / belief.shape
    step = (log(belief.mean) + wide - low) / (_POINTS - 1)
    logs = [low + step * k for k in range(_POINTS)]
    weights = [belief.shape * one - belief.exposure * exp(one) for one in logs]
    top = max(weights)
    plain = [exp(one - top) for one in weights]
    total = sum(plain)
    return tuple(
        (exp(one), weight / total) for one, weight in zip(logs, plain, strict=True)
    )
