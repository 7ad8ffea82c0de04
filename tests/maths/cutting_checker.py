"""Lay every plan out again, and prove every bound again, without the engine's code.

Written from the definitions alone: what 2E, 2N, 3E and 3N allow, what a cut of a piece
of cloth is, and what a weighting proves. Knows nothing of how the answer was found.
"""

from collections import Counter
from functools import cache
from itertools import combinations, product


def ways(piece, turns):
    width, height = piece[:2]
    return {(width, height), (height, width)} if turns else {(width, height)}


# ---------------------------------------------------------------- plans


def missing_or_surplus(places, kinds):
    """Counts made less counts wanted, where they differ."""
    made = Counter(place.kind for place in places)
    wanted = Counter({number: kind.count for number, kind in enumerate(kinds)})
    return {
        key: made[key] - wanted[key]
        for key in made | wanted
        if made[key] != wanted[key]
    }


def misshapen(places, kinds):
    """Places whose size is not that of their kind, or that are turned and may not be."""
    for place in places:
        kind = kinds[place.kind]
        size = (kind.height, kind.width) if place.turned else (kind.width, kind.height)
        if (place.width, place.height) != size or (place.turned and not kind.turns):
            yield place


def outside(places, width, length):
    for place in places:
        if min(place.x, place.y) < 0:
            yield place
        if place.x + place.width > width or place.y + place.height > length:
            yield place


def overlaps(places):
    for one, other in combinations(places, 2):
        if (
            one.stock == other.stock
            and one.x < other.x + other.width
            and other.x < one.x + one.width
            and one.y < other.y + other.height
            and other.y < one.y + one.height
        ):
            yield one, other


def bands(places, low, size):
    """Part places at the lines that cross none of them; low and size read one side."""
    parts, end = [], None
    for place in sorted(places, key=low):
        if end is None or low(place) >= end:
            parts.append([])
        parts[-1].append(place)
        end = max(end or 0, low(place) + size(place))
    return parts


def stage_faults(places, stages, sides):
    """Say where places cannot have been cut in the stages named.

    Strips across first; each strip as high as some side of a piece; then columns; then
    one piece to a column (2E, 2N) or a stack of them (3E, 3N).
    """
    for strip in bands(places, lambda p: p.y, lambda p: p.height):
        floor = min(place.y for place in strip)
        top = max(place.y + place.height for place in strip)
        strip_height = min(
            (side for side in sides if side >= top - floor), default=None
        )
        if strip_height is None:
            yield "no strip is so high", strip
        for column in bands(strip, lambda p: p.x, lambda p: p.width):
            yield from column_faults(column, stages, floor, strip_height)


def column_faults(column, stages, floor, strip_height):
    if stages[0] == "2" and len(column) > 1:
        yield "more than one piece to a cross-cut", column
    if stages == "2E" and column[0].height != strip_height:
        yield "lower than its strip", column
    if stages == "3E" and len({place.width for place in column}) > 1:
        yield "narrower than its column", column
    if len({place.x for place in column}) > 1 or min(p.y for p in column) != floor:
        yield "not cut from the corner of its column", column


def can_be_guillotined(places):
    """Say whether cuts from edge to edge part the places into single pieces."""
    if len(places) < 2:
        return True
    for low, size in (
        (lambda p: p.x, lambda p: p.width),
        (lambda p: p.y, lambda p: p.height),
    ):
        parts = bands(places, low, size)
        if len(parts) > 1:
            return all(can_be_guillotined(part) for part in parts)
    return False


# ---------------------------------------------------------------- brute force


class EveryWay:
    """The least length, by trying every way of filling every strip."""

    def __init__(self, kinds, width, stages):
        self.kinds, self.width, self.stages = kinds, width, stages
        self.counts = tuple(kind.count for kind in kinds)
        self.heights = {
            way[1]
            for kind in kinds
            for way in ways((kind.width, kind.height), kind.turns)
            if way[0] <= width
        }
        self.least = cache(self.least)
        self.strip_width = cache(self.strip_width)

    def least(self, counts):
        """The least length for so many of each kind."""
        if not any(counts):
            return 0
        return min(
            height + self.least(less(counts, taken))
            for taken in product(*(range(count + 1) for count in counts))
            for height in self.heights
            if any(taken) and self.fits(taken, height)
        )

    def fits(self, counts, height):
        held = self.strip_width(counts, height)
        return held is not None and held <= self.width

    def strip_width(self, counts, height):
        """The least width of a strip that holds the counts; None if it cannot."""
        if not any(counts):
            return 0
        first = next(number for number, count in enumerate(counts) if count)
        found = []
        for content in contents(counts, self.stages):
            if content[first]:
                column = column_width(self.kinds, content, height, self.stages)
                rest = self.strip_width(less(counts, content), height)
                found.append((column, rest))
        return min((sum(pair) for pair in found if None not in pair), default=None)


def shortest(kinds, width, stages):
    every = EveryWay(kinds, width, stages)
    return every.least(every.counts)


def best_strip(kinds, width, stages, height):
    """The most cloth that one strip of a height can hold."""
    every = EveryWay(kinds, width, stages)
    return max(
        sum(k.width * k.height * t for k, t in zip(kinds, taken, strict=True))
        for taken in product(*(range(count + 1) for count in every.counts))
        if every.fits(taken, height)
    )


def less(counts, taken):
    return tuple(count - gone for count, gone in zip(counts, taken, strict=True))


class EveryPiece:
    """The fewest pre-cut pieces, by trying every cut from edge to edge."""

    def __init__(self, kinds, stock):
        self.kinds, self.stock = kinds, stock
        self.counts = tuple(kind.count for kind in kinds)
        self.holds = cache(self.holds)
        self.fewest = cache(self.fewest)

    def fewest(self, counts):
        if not any(counts):
            return 0
        return 1 + min(
            self.fewest(less(counts, taken))
            for taken in product(*(range(count + 1) for count in counts))
            if any(taken) and self.holds(*self.stock, taken)
        )

    def holds(self, width, height, counts):
        """Say whether a rectangle can be cut into so many of each kind."""
        if not any(counts):
            return True
        pieces = [k for k, count in zip(self.kinds, counts, strict=True) if count]
        if sum(k.width * k.height for k in pieces) > width * height:
            return False
        if sum(counts) == 1:
            sizes = ways((pieces[0].width, pieces[0].height), pieces[0].turns)
            return any(way[0] <= width and way[1] <= height for way in sizes)
        return any(
            self.holds(*first, taken) and self.holds(*rest, less(counts, taken))
            for first, rest in halves(width, height)
            for taken in product(*(range(count + 1) for count in counts))
            if any(taken) and taken != counts
        )


def fewest(kinds, stock):
    every = EveryPiece(kinds, stock)
    return every.fewest(every.counts)


def halves(width, height):
    """Every pair of rectangles that one cut in whole units makes."""
    for at in range(1, width // 2 + 1):
        yield (at, height), (width - at, height)
    for at in range(1, height // 2 + 1):
        yield (width, at), (width, height - at)


def contents(counts, stages):
    """What one column may hold of the counts."""
    for content in product(*(range(count + 1) for count in counts)):
        if sum(content) == 1 or (sum(content) > 1 and stages[0] == "3"):
            yield content


def column_width(kinds, content, height, stages):
    """The least width of a column that holds the content; None if it cannot."""
    pieces = [kinds[n] for n, count in enumerate(content) for _one in range(count)]
    found = []
    for laid in product(*(ways((p.width, p.height), p.turns) for p in pieces)):
        widths, tall = {way[0] for way in laid}, sum(way[1] for way in laid)
        fits = tall == height if stages == "2E" else tall <= height
        if fits and (stages[1] == "N" or len(widths) == 1):
            found.append(max(widths))
    return min(found, default=None)
