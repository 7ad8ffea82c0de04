"""What can be made up from loose pieces, jointly over the pieces that are shared.

A way says what one of a product takes and what it gives back; a product may have
several ways, and a part may itself be made up. For each part

    taken by all ways <= loose + made up

and the best mix keeps the most promises first (then in the order of the list),
then gains the most, then makes up the fewest, then follows the order of the list.
What a way gives back is left over for the next plan and never counted on in this
one, so that a plan can be carried out in any order. The counts are exact: whole
numbers under limits, see ``studio.maths.whole_numbers``.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field

from inventory.mix_problem import MixProblem, fewest_missing
from inventory.recipes_apart import groups_apart, ways_to
from studio.maths.whole_numbers import MOST_BRANCHES, Limit, maximise
from studio.money import show_pounds

# A reason is not worth a long wait; without a proof it names the missing parts.
_BRANCHES_FOR_A_REASON = 40


@dataclass(frozen=True)
class Way:
    """One way to make up one of a product."""

    product: str
    needs: Mapping[str, int]
    gives: Mapping[str, int] = field(default_factory=dict)


@dataclass(frozen=True)
class Mend:
    """One incomplete set and the pieces it lacks."""

    product: str
    lacks: Mapping[str, int]


@dataclass(frozen=True)
class Possible:
    """How many can be made up, and what the next one lacks."""

    product: str
    count: int
    next_lacks: Mapping[str, int]
    reason: str


@dataclass(frozen=True)
class Mended:
    """Which incomplete sets can be completed, which wait, and what is left."""

    mended: tuple[Mend, ...]
    waiting: tuple[Mend, ...]
    left_over: Mapping[str, int]


@dataclass(frozen=True)
class Wanted:
    """What is asked of one product: promised, and at most so many more."""

    product: str
    must: int = 0
    at_most: int = 0
    gain_pence: int = 0


@dataclass(frozen=True)
class MixLine:
    """The answer for one product, with its reason."""

    wanted: Wanted
    promised: int
    extra: int
    next_lacks: Mapping[str, int]
    reason: str

    @property
    def promised_short(self) -> int:
        """Count the promises that cannot be kept from these pieces."""
        return self.wanted.must - self.promised


@dataclass(frozen=True)
class Mix:
    """The best joint plan; ``gain_pence`` counts what goes beyond the promises."""

    lines: tuple[MixLine, ...]
    gain_pence: int
    ways_used: tuple[tuple[Way, int], ...]
    left_over: Mapping[str, int]
    proven: bool


def possible(product: str, ways: Iterable[Way], loose: Mapping[str, int]) -> Possible:
    """Count how many of one product can be made up if nothing else is."""
    # Ways to other things change nothing here, and make the sum slow.
    ways = ways_to(product, tuple(ways))
    top = MixProblem((), ways, loose).most_of(product)
    counted = _counts((Wanted(product, at_most=top, gain_pence=1),), ways, loose)
    count = counted.extra[0]
    lacks = fewest_missing(product, ways, counted.left_over)
    return Possible(product, count, lacks, _possible_reason(product, count, lacks))


def mend_first(mends: Iterable[Mend], loose: Mapping[str, int]) -> Mended:
    """Complete the most incomplete sets; ties take the fewest pieces, then order."""
    mends = tuple(mends)
    parts = sorted({part for mend in mends for part in mend.lacks})
    limits = [
        Limit(
            {j: mend.lacks[part] for j, mend in enumerate(mends) if part in mend.lacks},
            max(0, loose.get(part, 0)),
        )
        for part in parts
    ]
    chosen = maximise(_mend_gains(mends), limits, [1] * len(mends)).values
    left = dict(loose)
    for mend, done in zip(mends, chosen, strict=True):
        for part, count in mend.lacks.items():
            left[part] = left.get(part, 0) - count * done
    return Mended(
        mended=tuple(m for m, done in zip(mends, chosen, strict=True) if done),
        waiting=tuple(m for m, done in zip(mends, chosen, strict=True) if not done),
        left_over=left,
    )


def best_mix(
    wanted: Iterable[Wanted], ways: Iterable[Way], loose: Mapping[str, int]
) -> Mix:
    """Plan what to make up with shared pieces: promises first, then most gain.

    Products that share nothing are planned each for itself; the answer is the same.
    """
    wanted, ways = tuple(wanted), tuple(ways)
    groups = groups_apart([want.product for want in wanted], ways)
    mixes = [
        _joint_mix(
            [wanted[place] for place in group.products],
            [ways[place] for place in group.ways],
            loose,
        )
        for group in groups
    ]
    lines = {
        place: line
        for group, mix in zip(groups, mixes, strict=True)
        for place, line in zip(group.products, mix.lines, strict=True)
    }
    order = {id(way): place for place, way in enumerate(ways)}
    return Mix(
        lines=tuple(lines[place] for place in range(len(wanted))),
        gain_pence=sum(mix.gain_pence for mix in mixes),
        ways_used=tuple(
            sorted(
                (used for mix in mixes for used in mix.ways_used),
                key=lambda used: order[id(used[0])],
            )
        ),
        left_over=_left_by_all(mixes, loose),
        proven=all(mix.proven for mix in mixes),
    )


def _left_by_all(mixes: Iterable[Mix], loose: Mapping[str, int]) -> dict[str, int]:
    left = dict(loose)
    for mix in mixes:
        for part, count in mix.left_over.items():
            if loose.get(part) != count:
                left[part] = count
    return left


def _joint_mix(
    wanted: Sequence[Wanted], ways: Sequence[Way], loose: Mapping[str, int]
) -> Mix:
    counted = _counts(wanted, ways, loose)
    lines = tuple(
        _mix_line(place, wanted, ways, loose, counted) for place in range(len(wanted))
    )
    return Mix(
        lines=lines,
        gain_pence=_gain_pence(wanted, counted.extra),
        ways_used=tuple(
            (way, used) for way, used in zip(ways, counted.used, strict=True) if used
        ),
        left_over=counted.left_over,
        proven=counted.proven,
    )


@dataclass(frozen=True)
class _Counted:
    promised: tuple[int, ...]
    extra: tuple[int, ...]
    used: tuple[int, ...]
    left_over: Mapping[str, int]
    proven: bool


def _counts(
    wanted: Sequence[Wanted],
    ways: Sequence[Way],
    loose: Mapping[str, int],
    most_branches: int = MOST_BRANCHES,
) -> _Counted:
    best = MixProblem(wanted, ways, loose).solve(most_branches)
    size = len(wanted)
    promised, extra = best.values[:size], best.values[size : 2 * size]
    used = best.values[2 * size : 2 * size + len(ways)]
    kept = {want.product: promised[j] + extra[j] for j, want in enumerate(wanted)}
    left = _left_over(ways, used, kept, loose)
    return _Counted(promised, extra, used, left, best.proven)


def _left_over(
    ways: Sequence[Way],
    used: Sequence[int],
    kept: Mapping[str, int],
    loose: Mapping[str, int],
) -> dict[str, int]:
    left = dict(loose)
    for way, times in zip(ways, used, strict=True):
        for part, count in way.needs.items():
            left[part] = left.get(part, 0) - count * times
        for part, count in way.gives.items():
            left[part] = left.get(part, 0) + count * times
        if times:
            left[way.product] = left.get(way.product, 0) + times
    for product, count in kept.items():
        if count:
            left[product] = left.get(product, 0) - count
    return left


def _gain_pence(wanted: Sequence[Wanted], extra: Sequence[int]) -> int:
    return sum(
        want.gain_pence * count for want, count in zip(wanted, extra, strict=True)
    )


def _mend_gains(mends: Sequence[Mend]) -> list[int]:
    """Rank plans: most sets mended, then fewest pieces, then list order."""
    order_span = 2 ** len(mends)
    pieces_span = order_span * (1 + sum(sum(m.lacks.values()) for m in mends))
    return [
        pieces_span
        - order_span * sum(mend.lacks.values())
        + 2 ** (len(mends) - 1 - place)
        for place, mend in enumerate(mends)
    ]


def _possible_reason(product: str, count: int, lacks: Mapping[str, int]) -> str:
    can_be = f"{count} {product} can be made up"
    if not lacks:
        return f"{can_be}; there is no parts list to make up another from."
    return f"{can_be}; the next one lacks {_listed(lacks)}."


def _mix_line(
    place: int,
    wanted: Sequence[Wanted],
    ways: Sequence[Way],
    loose: Mapping[str, int],
    counted: _Counted,
) -> MixLine:
    want = wanted[place]
    promised, extra = counted.promised[place], counted.extra[place]
    lacks: dict[str, int] = {}
    if promised < want.must or extra < want.at_most:
        lacks = fewest_missing(want.product, ways, counted.left_over)
    if promised < want.must:
        reason = _short_reason(want, promised, lacks)
    elif extra == want.at_most:
        reason = _all_wanted_reason(want)
    else:
        reason = _stopped_reason(place, wanted, ways, loose, counted, lacks)
    return MixLine(want, promised, extra, lacks, reason)


def _short_reason(want: Wanted, promised: int, lacks: Mapping[str, int]) -> str:
    start = (
        f"{promised} of {want.must} promised {want.product} can be made up, "
        f"{want.must - promised} short"
    )
    if not lacks:
        return f"{start}; there is no parts list to make it up from."
    return f"{start}; the next one lacks {_listed(lacks)}."


def _all_wanted_reason(want: Wanted) -> str:
    promised = f"{want.must} {want.product} promised"
    if not want.at_most:
        return f"{promised}, and no more can be sold."
    more = f"{want.at_most} more {want.product}: as many as can be sold."
    return f"{promised} and {more}" if want.must else f"{more[0].upper()}{more[1:]}"


def _stopped_reason(
    place: int,
    wanted: Sequence[Wanted],
    ways: Sequence[Way],
    loose: Mapping[str, int],
    counted: _Counted,
    lacks: Mapping[str, int],
) -> str:
    want, extra = wanted[place], counted.extra[place]
    start = f"{extra or 'No'} more {want.product}"
    forced = _with_one_more(place, wanted, extra)
    other = _counts(forced, ways, loose, _BRANCHES_FOR_A_REASON)
    kept = all(p == w.must for p, w in zip(other.promised, forced, strict=True))
    if not (kept and other.proven):
        missing = f"lacks {_listed(lacks)}" if lacks else "has no parts list"
        return f"{start}; the next one {missing}."
    others_now = _gain_pence(wanted, counted.extra) - extra * want.gain_pence
    others_then = _gain_pence(forced, other.extra) - (
        other.extra[place] * want.gain_pence
    )
    fewer = {
        w.product: before - after
        for j, (w, before, after) in enumerate(
            zip(wanted, counted.extra, other.extra, strict=True)
        )
        if j != place and before > after
    }
    if not fewer:
        return f"{start}; another one gains nothing."
    return (
        f"{start}; one more wins {show_pounds(want.gain_pence)} but costs "
        f"{_listed(fewer)}: {show_pounds(others_now - others_then)}."
    )


def _with_one_more(
    place: int, wanted: Sequence[Wanted], extra: int
) -> tuple[Wanted, ...]:
    want = wanted[place]
    forced = Wanted(
        want.product,
        want.must + extra + 1,
        want.at_most - extra - 1,
        want.gain_pence,
    )
    return (*wanted[:place], forced, *wanted[place + 1 :])


def _listed(counts: Mapping[str, int]) -> str:
    words = [f"{count} {code}" for code, count in counts.items()]
    if len(words) < 2:
        return "".join(words) or "nothing"
    return f"{', '.join(words[:-1])} and {words[-1]}"
