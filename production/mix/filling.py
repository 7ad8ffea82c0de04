"""Fill sessions with whole sheets to the last minute, one session after another.

For each session in turn a table of the minutes that the sheets still to be cut can
make, and the fullest filling is taken; among fillings as full, the one with longer
sheets, which are harder to place later. When sheets are left over at the end the order
is shuffled, with a seed of its own, so that the answer is always the same.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from random import Random

from production.mix.question import MixLayout, MixSession

TRIES = 40
Filling = dict[str, int]


def filled(
    sessions: Sequence[MixSession],
    layouts: Sequence[MixLayout],
    counts: Mapping[str, int],
) -> tuple[Filling, ...] | None:
    """Return the sheets of each session, or None where no try placed them all."""
    chance = Random(1)  # noqa: S311 (shuffles sheets, keeps no secret)
    in_turn = sorted(layouts, key=lambda layout: -layout.minutes)
    for _ in range(TRIES):
        found = _one_try(sessions, in_turn, counts)
        if found is not None:
            return found
        in_turn = chance.sample(in_turn, len(in_turn))
    return None


def _one_try(
    sessions: Sequence[MixSession],
    layouts: Sequence[MixLayout],
    counts: Mapping[str, int],
) -> tuple[Filling, ...] | None:
    left = Counter(counts)
    found = []
    for session in sessions:
        found.append(_fullest(session.net_minutes, layouts, left))
        left -= Counter(found[-1])
    return None if left else tuple(found)


def _fullest(
    net: int, layouts: Sequence[MixLayout], left: Mapping[str, int]
) -> Filling:
    # Each minute that can be reached, with the layout last used and how often.
    reached: list[dict[int, tuple[int, int]]] = [{0: (0, 0)}]
    for layout in layouts:
        reached.append(_with(layout, left.get(layout.code, 0), net, reached[-1]))
    return _traced(max(reached[-1]), layouts, reached)


def _with(
    layout: MixLayout, most: int, net: int, before: Mapping[int, tuple[int, int]]
) -> dict[int, tuple[int, int]]:
    after = {minute: (minute, 0) for minute in before}
    for start in before:
        for count in range(1, most + 1):
            minute = start + layout.set_up_minutes + layout.minutes * count
            if minute > net:
                break
            after.setdefault(minute, (start, count))
    return after


def _traced(
    minute: int,
    layouts: Sequence[MixLayout],
    reached: Sequence[Mapping[int, tuple[int, int]]],
) -> Filling:
    found = {}
    for layout, table in zip(reversed(layouts), reversed(reached), strict=False):
        minute, count = table[minute]
        if count:
            found[layout.code] = count
    return found
