"""The making-up question as whole numbers under limits.

For each wanted product a promised and an extra count, for each way how often it
is used. Ranks of wishes are kept apart by weights larger than all that follows:
promises kept, promises in list order, gain, fewest made up, list order.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Protocol

from studio.errors import StudioError
from studio.maths.whole_numbers import MOST_BRANCHES, Best, Limit, maximise

_PLENTY = 1_000_000


class CircularParts(StudioError):
    """A parts list that comes back to its own product."""

    def __init__(self, product: str) -> None:
        self.product = product
        super().__init__(
            f"The parts list of {product} needs {product} itself further down. "
            "Correct the parts list, please."
        )


class WayLike(Protocol):
    """What one of a product takes."""

    @property
    def product(self) -> str: ...
    @property
    def needs(self) -> Mapping[str, int]: ...


class WantedLike(Protocol):
    """What is asked of one product."""

    @property
    def product(self) -> str: ...
    @property
    def must(self) -> int: ...
    @property
    def at_most(self) -> int: ...
    @property
    def gain_pence(self) -> int: ...


class MixProblem:
    """Choices are promised counts, extra counts, uses of ways, all promises kept."""

    def __init__(
        self,
        wanted: Sequence[WantedLike],
        ways: Sequence[WayLike],
        loose: Mapping[str, int],
    ) -> None:
        self.wanted = wanted
        self.ways = ways
        self.loose = {item: max(0, count) for item, count in loose.items()}
        self.known: dict[str, int] = {}

    def solve(self, most_branches: int = MOST_BRANCHES) -> Best:
        """Return the best counts in the order promised, extra, uses of ways."""
        most = self._most()
        return maximise(self._weights(most), self._limits(), most, most_branches)

    def most_of(self, product: str, above: tuple[str, ...] = ()) -> int:
        """Bound how many can be made up when every part goes to this product."""
        if product in above:
            raise CircularParts(product)
        if product not in self.known:
            self.known[product] = sum(
                self._most_by(way, (*above, product))
                for way in self.ways
                if way.product == product
            )
        return self.known[product]

    def _most_by(self, way: WayLike, above: tuple[str, ...]) -> int:
        return min(
            (
                (self.loose.get(part, 0) + self.most_of(part, above)) // count
                for part, count in way.needs.items()
            ),
            default=0,
        )

    def _most(self) -> list[int]:
        return [
            *(min(w.must, self.most_of(w.product)) for w in self.wanted),
            *(min(w.at_most, self.most_of(w.product)) for w in self.wanted),
            *(self._most_by(way, (way.product,)) for way in self.ways),
            sum(want.must for want in self.wanted),
        ]

    def _limits(self) -> list[Limit]:
        products = dict.fromkeys(want.product for want in self.wanted)
        stock_limits = [
            Limit(self._uses(item), self.loose.get(item, 0))
            for item in _needed(self.ways)
        ]
        made_limits = [Limit(self._kept_less_made(item), 0) for item in products]
        promises = dict.fromkeys(range(len(self.wanted)), -1)
        promises[2 * len(self.wanted) + len(self.ways)] = 1
        return [*stock_limits, *made_limits, Limit(promises, 0)]

    def _uses(self, item: str) -> dict[int, int]:
        uses = self._kept_less_made(item)
        for j, way in enumerate(self.ways, start=2 * len(self.wanted)):
            use = uses.get(j, 0) + way.needs.get(item, 0)
            if use:
                uses[j] = use
        return uses

    def _kept_less_made(self, item: str) -> dict[int, int]:
        size = len(self.wanted)
        uses: dict[int, int] = {}
        for j, want in enumerate(self.wanted):
            if want.product == item:
                uses[j] = uses[size + j] = 1
        for j, way in enumerate(self.ways, start=2 * size):
            if way.product == item:
                uses[j] = -1
        return uses

    def _weights(self, most: Sequence[int]) -> list[int]:
        size, last = len(self.wanted), len(most) - 1
        weights = [0] * len(most)
        span = _add_in_order(weights, range(size, last), most, 1)
        for j in range(2 * size, last):
            weights[j] -= span
        span *= 1 + sum(most[2 * size : last])
        for j, want in enumerate(self.wanted):
            weights[size + j] += span * want.gain_pence
        span *= 1 + sum(
            abs(want.gain_pence) * most[size + j] for j, want in enumerate(self.wanted)
        )
        weights[last] = _add_in_order(weights, range(size), most, 2 * span)
        return weights


def _add_in_order(
    weights: list[int], places: Sequence[int], most: Sequence[int], span: int
) -> int:
    """Weigh earlier choices above all later ones; return the next free weight."""
    for j in reversed(places):
        weights[j] += span
        span *= 1 + most[j]
    return span


def fewest_missing(
    product: str, ways: Sequence[WayLike], left: Mapping[str, int]
) -> dict[str, int]:
    """Find the fewest parts that would let one more be made up."""
    made = dict.fromkeys(way.product for way in ways)
    parts = [p for p in _needed(ways) if p not in made]
    size = len(ways)
    limits = [Limit(_made_uses(item, ways), left.get(item, 0)) for item in made]
    limits = [
        limit if item != product else Limit({**limit.uses, size + len(parts): 1}, 0)
        for item, limit in zip(made, limits, strict=True)
    ]
    limits += [
        Limit({**_made_uses(part, ways), size + j: -1}, left.get(part, 0))
        for j, part in enumerate(parts)
    ]
    if product not in made:
        return {}
    gains = [0] * size + [-1] * len(parts) + [_PLENTY]
    most = [_PLENTY] * (size + len(parts)) + [1]
    kept = [Limit(limit.uses, max(0, limit.at_most)) for limit in limits]
    found = maximise(gains, kept, most).values[size : size + len(parts)]
    return {part: n for part, n in zip(parts, found, strict=True) if n}


def _needed(ways: Sequence[WayLike]) -> list[str]:
    return list(dict.fromkeys(part for way in ways for part in way.needs))


def _made_uses(item: str, ways: Sequence[WayLike]) -> dict[int, int]:
    uses = {
        j: way.needs.get(item, 0) - int(way.product == item)
        for j, way in enumerate(ways)
    }
    return {j: use for j, use in uses.items() if use}
