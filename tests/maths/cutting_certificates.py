"""Prove a length off the bolt again from its weights alone, in whole numbers.

Knows only the definitions: what a strip may hold, and that all strips together must be
worth what is wanted. No part of the engine is used, and no floating point.
"""

from functools import cache

from tests.maths.cutting_checker import ways
from tests.maths.cutting_stacks import Plan, Strips


def proves(kinds, width, stages, certificate, length):
    """Say whether the weights show that nothing shorter than the length will do."""
    cuts = [
        (strip_worths(kinds, width, stages, certificate.heights, weights), weights)
        for weights in certificate.weights
    ]
    wanted = [
        sum(w * k.count for w, k in zip(ws, kinds, strict=True)) for _v, ws in cuts
    ]
    return not EveryHeight(
        certificate, [v for v, _ws in cuts], wanted, stages
    ).any_below(length)


def refuses_rightly(kinds, width, stages, certificate):
    """Say whether the heights that were refused do not hold a plan, any of them.

    Every plan of the heights is tried, as far as the weights leave any hope for it.
    """
    return not any(
        can_be_cut(kinds, width, stages, certificate, refused)
        for refused in certificate.refused
    )


def can_be_cut(kinds, width, stages, certificate, numbers):
    strips = [
        (as_stacks(tuple(kinds), width, stages, height), number)
        for height, number in zip(certificate.heights, numbers, strict=True)
        if number
    ]
    return Plan(strips, list(dict.fromkeys(certificate.weights))).is_possible()


def strip_worths(kinds, width, stages, heights, weights):
    """The most that a strip of each height can be worth, kind by kind, width by width."""
    return [strip_worth(kinds, width, stages, height, weights) for height in heights]


@cache
def as_stacks(kinds, width, stages, height):
    return Strips(kinds, width, stages, height)


def strip_worth(kinds, width, stages, height, weights):
    if stages[0] == "3":
        return as_stacks(tuple(kinds), width, stages, height).worth(weights)
    best = [0] * (width + 1)
    for kind, weight in zip(kinds, weights, strict=True):
        across = [
            way[0]
            for way in ways((kind.width, kind.height), kind.turns)
            if way[1] == height or (way[1] < height and stages == "2N")
        ]
        if across:
            best = with_copies(best, min(across), weight, kind.count)
    return best[width]


def with_copies(best, across, weight, count):
    """The best of each width with up to so many copies of one piece more."""
    return [
        max(
            best[room - copies * across] + copies * weight
            for copies in range(min(count, room // across) + 1)
        )
        for room in range(len(best))
    ]


class EveryHeight:
    """Goes through all numbers of strips, tallest first, that keep every cut.

    A branch is left when, for some cut, even the height that is worth most for its
    length cannot bring what is missing in the length that is left.
    """

    def __init__(self, certificate, values, wanted, stages):
        order = sorted(
            range(len(certificate.heights)), key=lambda r: -certificate.heights[r]
        )
        self.heights = [certificate.heights[row] for row in order]
        self.values = [[row[place] for place in order] for row in values]
        self.wanted = wanted
        self.refused = [
            [strips[place] for place in order] for strips in certificate.refused
        ]
        self.taller_will_do = stages != "2E"
        self.best = [
            [self.best_from(cut, first) for first in range(len(order))]
            for cut in self.values
        ]

    def best_from(self, cut, first):
        """The height, from a place on, that is worth most for its length."""
        pairs = list(zip(cut, self.heights, strict=True))[first:]
        top = pairs[0]
        for worth, height in pairs[1:]:
            if worth * top[1] > top[0] * height:
                top = (worth, height)
        return top

    def any_below(self, length):
        return self.search(0, length - 1, list(self.wanted), [])

    def search(self, place, left, missing, strips):
        if place == len(self.heights):
            return max(missing) <= 0 and not self.is_refused(strips)
        for gap, best in zip(missing, self.best, strict=True):
            worth, height = best[place]
            if gap * height > left * worth:
                return False
        height = self.heights[place]
        return any(
            self.search(
                place + 1,
                left - number * height,
                [
                    gap - number * cut[place]
                    for gap, cut in zip(missing, self.values, strict=True)
                ],
                [*strips, number],
            )
            for number in range(left // height, -1, -1)
        )

    def is_refused(self, strips):
        """Say whether the strips are no better than some that were refused."""
        return any(self.no_better(strips, refused) for refused in self.refused)

    def no_better(self, strips, refused):
        if not self.taller_will_do:
            return all(s <= r for s, r in zip(strips, refused, strict=True))
        return all(
            sum(strips[:place]) <= sum(refused[:place])
            for place in range(1, len(strips) + 1)
        )
