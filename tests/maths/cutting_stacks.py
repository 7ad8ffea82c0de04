"""Strips of stacks from their definition: what one is worth, and which may be in a plan.

Knows no part of the engine. A column of a strip is as wide as some side of a piece and
no higher than the strip; in 3E its pieces are exactly as wide, in 3N they may be
narrower. Everything is in whole numbers.
"""

from functools import cached_property

import numpy as np

from tests.maths.cutting_checker import less, ways

# How long a search may take before the plain bound is taken instead.
PATIENCE = 20_000
MOST_STACKS = 400
# Under so many weights a strip is given up early.
TIGHT = 4


class Strips:
    """All ways of filling a strip of one height."""

    def __init__(self, kinds, width, stages, height):
        self.kinds, self.width, self.stages, self.height = kinds, width, stages, height
        self.counts = tuple(kind.count for kind in kinds)

    @cached_property
    def stacks(self):
        """Each full stack: how wide, and how many of each kind."""
        sides = {side for k in self.kinds for side in (k.width, k.height)}
        found = [
            (across, counts)
            for across in sorted(sides)
            if across <= self.width
            for counts in self.columns(across)
            if any(counts)
        ]
        return without_beaten(found)

    def columns(self, across):
        """What a column so wide may hold: a stack, or one piece in 2E and 2N."""
        tall = self.tall(across)
        if self.stages[0] == "3":
            return full(tall, self.counts, self.height)
        return [
            tuple(int(kind == other) for other in range(len(tall)))
            for kind, size in enumerate(tall)
            if size == self.height
            or (self.stages == "2N" and size in range(self.height))
        ]

    def tall(self, across):
        """How high each kind is in a column so wide; None if it may not be there."""
        return [
            min(
                (
                    way[1]
                    for way in ways((kind.width, kind.height), kind.turns)
                    if way[0] == across or (way[0] < across and self.stages == "3N")
                ),
                default=None,
            )
            for kind in self.kinds
        ]

    def worth(self, weights):
        """The most a strip is worth, or a little more where that is long to find out."""
        stacks = self.by_density(weights)
        rests = self.rests(stacks, weights)
        most = min(int(rests[0][self.width]), total(weights, self.counts))
        if len(stacks) > MOST_STACKS:
            return most
        best, patience = 0, PATIENCE
        todo = [(0, self.width, self.counts, 0)]
        while todo:
            place, room, left, worth = todo.pop()
            best, patience = max(best, worth), patience - 1
            if patience < 0:
                return most
            if worth + min(int(rests[place][room]), total(weights, left)) > best:
                todo += self.steps(stacks, weights, (place, room, left, worth))
        return best

    def steps(self, stacks, weights, at):
        """Leave a stack out from here on, or take one more of it."""
        place, room, left, worth = at
        if place == len(stacks):
            return
        yield place + 1, room, left, worth
        across, counts = stacks[place]
        taken = tuple(map(min, counts, left))
        if across <= room and any(taken):
            gain = total(weights, taken)
            yield place, room - across, less(left, taken), worth + gain

    def by_density(self, weights):
        return sorted(
            self.stacks, key=lambda stack: -total(weights, stack[1]) / stack[0]
        )

    def rests(self, stacks, weights):
        """What the stacks from each on are worth in each room, without limits."""
        best = np.zeros(self.width + 1, dtype=np.int64)
        found = [best.copy()]
        for across, counts in reversed(stacks):
            step, worth = across, total(weights, counts)
            while step <= self.width:
                best[step:] = np.maximum(best[step:], best[:-step] + worth)
                step, worth = 2 * step, 2 * worth
            found.append(best.copy())
        return found[::-1]

    def worth_at_least(self, floors):
        """Every full strip that is worth at least so much under each of the weights."""
        tight = sorted(floors, key=lambda one: self.worth(one) - floors[one])[:TIGHT]
        stacks = self.by_density(tight[0])
        rests = [self.rests(stacks, one) for one in tight]
        found, seen = set(), set()
        todo = [(0, self.width, self.counts, 0)]
        while todo:
            at = todo.pop()
            place, room, left, _worth = at
            held = less(self.counts, left)
            if at in seen or any(
                total(one, held) + int(rest[place][room]) < floors[one]
                for one, rest in zip(tight, rests, strict=True)
            ):
                continue
            seen.add(at)
            if place == len(stacks):
                found.add(held)
            todo += self.steps(stacks, tight[0], at)
        return {
            held
            for held in found
            if all(total(one, held) >= floor for one, floor in floors.items())
        }


def total(weights, counts):
    return sum(w * c for w, c in zip(weights, counts, strict=True))


def full(tall, limits, height, place=0):
    """All ways of stacking pieces in which no other that is wanted still fits."""
    return [
        counts
        for counts in stackings(tall, limits, height, place)
        if not any(
            size is not None and count < limit and size <= height - used(tall, counts)
            for size, count, limit in zip(tall, counts, limits, strict=True)
        )
    ]


def used(tall, counts):
    return sum(size * count for size, count in zip(tall, counts, strict=True) if count)


def stackings(tall, limits, height, place):
    if place == len(tall):
        return [()]
    size = tall[place]
    most = 0 if size is None else min(limits[place], height // size)
    return [
        (count, *rest)
        for count in range(most + 1)
        for rest in stackings(tall, limits, height - (size or 0) * count, place + 1)
    ]


def without_beaten(stacks):
    """Drop the stacks that one as narrow holds as much as."""
    kept = []
    for across, counts in sorted(stacks, key=lambda stack: (stack[0], -sum(stack[1]))):
        if not any(
            all(a >= b for a, b in zip(other, counts, strict=True))
            for _across, other in kept
        ):
            kept.append((across, counts))
    return kept


class Plan:
    """Whether so many strips of each height can give everything; all ways are tried."""

    def __init__(self, strips, weightings):
        self.numbers = [number for _strips, number in strips]
        self.wanted = strips[0][0].counts
        self.weightings = weightings
        self.tops = [[one.worth(w) for w in weightings] for one, _number in strips]
        self.among = [self.close(place, one) for place, (one, _n) in enumerate(strips)]

    def close(self, place, strips):
        """The strips of a height that stay behind by no more than all may together."""
        spare = [
            sum(n * top[which] for n, top in zip(self.numbers, self.tops, strict=True))
            - total(w, self.wanted)
            for which, w in enumerate(self.weightings)
        ]
        if min(spare) < 0:
            return []
        floors = {
            w: self.tops[place][which] - spare[which]
            for which, w in enumerate(self.weightings)
        }
        found = sorted(strips.worth_at_least(floors), reverse=True)
        self.tops[place] = [
            max((total(w, held) for held in found), default=0) for w in self.weightings
        ]
        return found

    def is_possible(self):
        self.seen = set()
        return self.goes_on(0, 0, self.numbers[0], self.wanted)

    def goes_on(self, place, first, more, left):
        """Take one strip after another, those of one height in their order."""
        if not any(left):
            return True
        if not more:
            place, first = place + 1, 0
            if place == len(self.numbers):
                return False
            return self.goes_on(place, 0, self.numbers[place], left)
        if (place, first, more, left) in self.seen or self.is_hopeless(
            place, more, left
        ):
            return False
        self.seen.add((place, first, more, left))
        return any(
            self.goes_on(
                place, which, more - 1, less(left, tuple(map(min, left, held)))
            )
            for which, held in enumerate(self.among[place][first:], first)
        )

    def is_hopeless(self, place, more, left):
        numbers = [0] * place + [more] + self.numbers[place + 1 :]
        return any(
            sum(n * top[which] for n, top in zip(numbers, self.tops, strict=True))
            < total(w, left)
            for which, w in enumerate(self.weightings)
        )
