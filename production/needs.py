"""What a selling day still lacks: sets to make up, pieces to cut, goods to order.

    to come   = wanted - sent
    from the shelf = the smaller of to come and (kept for the day + can promise)
    to make up = to come - from the shelf
    pieces to cut = pieces of all sets to make up - loose pieces nobody else is promised

The pieces are reckoned jointly, so that a shared square is counted once; promises
to people take their pieces first. A set is made up in its usual way, and a part that
is itself made up is followed down to its own parts. Worked by hand.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from inventory.making_up import Wanted, Way, best_mix
from studio.errors import StudioError


class PartsInARing(StudioError):
    """A part that is, in the end, made of itself."""

    def __init__(self, code: str) -> None:
        self.code = code
        super().__init__(
            f"The parts lists say that {code} is made from itself. "
            "Correct one of the parts lists, please."
        )


@dataclass(frozen=True)
class LineFacts:
    """One line as it stands: what she wants, what went, what is there for it."""

    code: str
    wanted: int | None
    sent: int
    kept: int
    can_promise: int
    is_made_up: bool


@dataclass(frozen=True)
class LineNeed:
    """One line with its sum."""

    code: str
    wanted: int
    sent: int
    from_shelf: int
    to_make: int
    to_buy: int
    ready_now: int = 0

    @property
    def to_come(self) -> int:
        """Count what is not at the selling day yet."""
        return max(0, self.wanted - self.sent)


@dataclass(frozen=True)
class PartNeed:
    """One part: needed by all sets to make up, loose and free, still lacking."""

    code: str
    needed: int
    loose: int
    used_for: tuple[tuple[str, int], ...]

    @property
    def lacking(self) -> int:
        """Count what must be cut or bought."""
        return max(0, self.needed - self.loose)


@dataclass(frozen=True)
class DayNeeds:
    """All lines and all parts of a selling day."""

    lines: tuple[LineNeed, ...]
    parts: tuple[PartNeed, ...]


def day_needs(
    lines: Iterable[LineFacts],
    ways: Sequence[Way],
    loose: Mapping[str, int],
    promised: Mapping[str, int],
) -> DayNeeds:
    """Work out what is lacking, promises to people served first.

    ``loose`` counts what is free of each part; ``promised`` counts sets that people
    have been promised and that are not on the shelf.
    """
    needs = [line_need(line) for line in lines]
    free = less_taken(loose, needs)
    for_people = parts_of(promised, ways, free)
    left = {part: max(0, n - for_people.get(part, 0)) for part, n in free.items()}
    ready = ready_now(needs, ways, left)
    return DayNeeds(
        lines=tuple(
            LineNeed(**{**vars(need), "ready_now": ready.get(need.code, 0)})
            for need in needs
        ),
        parts=part_needs(needs, ways, left),
    )


def line_need(line: LineFacts) -> LineNeed:
    wanted = line.wanted or 0
    to_come = max(0, wanted - line.sent)
    from_shelf = min(to_come, max(0, line.kept + line.can_promise))
    lacking = to_come - from_shelf
    return LineNeed(
        code=line.code,
        wanted=wanted,
        sent=line.sent,
        from_shelf=from_shelf,
        to_make=lacking if line.is_made_up else 0,
        to_buy=0 if line.is_made_up else lacking,
    )


def less_taken(loose: Mapping[str, int], needs: Iterable[LineNeed]) -> dict[str, int]:
    """Leave out finished sets that a line takes whole, so none is used up twice."""
    taken = {need.code: need.from_shelf for need in needs}
    return {part: max(0, n - taken.get(part, 0)) for part, n in loose.items()}


def usual_ways(ways: Iterable[Way]) -> dict[str, Way]:
    """Keep the first way of each product: the list runs by rank."""
    usual: dict[str, Way] = {}
    for way in ways:
        usual.setdefault(way.product, way)
    return usual


def parts_of(
    sets: Mapping[str, int], ways: Sequence[Way], free: Mapping[str, int]
) -> dict[str, int]:
    """Count the lowest parts that so many sets take.

    A part that is itself made up is taken finished as far as it is free.
    """
    usual, left = usual_ways(ways), dict(free)
    found: Counter[str] = Counter()
    for product, count in sets.items():
        take_parts(product, count, usual, left, found, ())
    return dict(found)


def take_parts(
    product: str,
    count: int,
    usual: Mapping[str, Way],
    left: dict[str, int],
    found: Counter[str],
    above: tuple[str, ...],
) -> None:
    if product in above:
        raise PartsInARing(product)
    for part, each in usual[product].needs.items() if product in usual else ():
        wanted = each * count
        if part not in usual:
            found[part] += wanted
            continue
        finished = min(wanted, max(0, left.get(part, 0)))
        left[part] = left.get(part, 0) - finished
        take_parts(part, wanted - finished, usual, left, found, (*above, product))


def part_needs(
    needs: Sequence[LineNeed], ways: Sequence[Way], loose: Mapping[str, int]
) -> tuple[PartNeed, ...]:
    usual, left = usual_ways(ways), dict(loose)
    by_part: dict[str, Counter[str]] = {}
    for need in needs:
        found: Counter[str] = Counter()
        take_parts(need.code, need.to_make, usual, left, found, ())
        for part, count in found.items():
            by_part.setdefault(part, Counter())[need.code] += count
    return tuple(
        PartNeed(part, sum(uses.values()), loose.get(part, 0), tuple(uses.items()))
        for part, uses in by_part.items()
        if sum(uses.values())
    )


def ready_now(
    needs: Iterable[LineNeed], ways: Sequence[Way], loose: Mapping[str, int]
) -> dict[str, int]:
    """Count the sets that the loose pieces are enough for, no square used twice."""
    wanted = [Wanted(need.code, must=need.to_make) for need in needs if need.to_make]
    if not wanted:
        return {}
    mix = best_mix(wanted, ways, loose)
    return {line.wanted.product: line.promised for line in mix.lines}
