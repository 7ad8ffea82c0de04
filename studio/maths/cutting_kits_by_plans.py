"""Kits of many sizes, by whole cutting plans: surely so many, surely not more.

    surely   the most kits whose plan takes no more pieces than there are; with prints
             kept apart, units share themselves out over what has to be of one print
    not more ⌊area of all pieces / area of a kit⌋, or fewer where a plan's bound says so

A search over the number of kits, each plan with its share of the time.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from fractions import Fraction
from time import monotonic

from studio.maths import cutting_plan
from studio.maths.cloth import Bundle, FromOnePrint, PreCut
from studio.maths.cutting_kits_values import BundlesFor, KitsFrom, Project
from studio.maths.cutting_plan_values import Plan
from studio.maths.cutting_units import MOST_PIECES, Wanted

LEAST_SECONDS = 0.02
STEPS = 6


def kits_from(
    project: Project, bundle: Bundle, rule: FromOnePrint, ends: float
) -> KitsFrom:
    """Give how many kits one bundle surely makes, and the most it might."""
    ceiling = _by_area(project, bundle.shape, bundle.pieces)
    if rule is not FromOnePrint.NOTHING:
        kits, left = _with_prints(project, bundle, rule, ends, ceiling)
        return KitsFrom(project.name, bundle.name, kits, ceiling, left)
    plans: dict[int, Plan] = {}

    def is_enough(kits: int) -> bool:
        plans[kits] = _plan(project, bundle.shape, kits, ends)
        return plans[kits].used <= bundle.pieces

    kits = _last(min(ceiling, _most_planned(project)), is_enough)
    after = plans.get(kits + 1)
    if after is not None and after.bound > bundle.pieces:
        ceiling = kits
    used = int(plans[kits].used) if kits else 0
    return KitsFrom(project.name, bundle.name, kits, ceiling, bundle.pieces - used)


def bundles_for(
    kits: int, project: Project, bundle: Bundle, rule: FromOnePrint, ends: float
) -> BundlesFor:
    """Give how many bundles surely make so many kits, and the fewest that might."""
    area = _area(bundle.shape)
    at_least = -(-kits * _kit_area(project) // (area * bundle.pieces))
    if rule is FromOnePrint.NOTHING and kits <= _most_planned(project):
        plan = _plan(project, bundle.shape, kits, ends)
        bundles = -(-int(plan.used) // bundle.pieces)
        at_least = max(at_least, -(-int(plan.bound) // bundle.pieces))
        return BundlesFor(kits, bundles, int(at_least))
    one = kits_from(project, bundle, rule, ends)
    if not one.kits:
        return BundlesFor(kits, 0, 0)
    bundles = -(-kits // one.kits)
    return BundlesFor(kits, bundles, min(bundles, int(at_least)))


def _with_prints(
    project: Project, bundle: Bundle, rule: FromOnePrint, ends: float, ceiling: int
) -> tuple[int, int]:
    """Share the prints of a bundle out over what has to be of one print."""
    each = bundle.pieces // bundle.prints
    sets = _sets(project, rule)
    share = (ends - monotonic()) / max(1, len(sets))
    fits = [
        _most_in(wanted, bundle.shape, each, monotonic() + share)
        for wanted, _times in sets
    ]
    if not all(fits):
        return 0, bundle.pieces

    def prints_for(kits: int) -> int:
        return sum(
            -(-times * kits // fit)
            for (_wanted, times), fit in zip(sets, fits, strict=True)
        )

    kits = _last(ceiling, lambda number: prints_for(number) <= bundle.prints)
    return kits, bundle.pieces - prints_for(kits) * each


def _sets(project: Project, rule: FromOnePrint) -> list[tuple[tuple[Wanted, ...], int]]:
    """Give what has to be of one print, and how often a kit has it."""
    of_block = rule in (FromOnePrint.BLOCK, FromOnePrint.BLOCK_ROLE)
    often = project.blocks if of_block else 1
    wanted = project.wanted
    if not of_block:
        wanted = _times(wanted, project.blocks)
    if rule in (FromOnePrint.BLOCK, FromOnePrint.KIT):
        return [(wanted, often)]
    roles = dict.fromkeys(one.piece.role for one in wanted)
    return [
        (tuple(one for one in wanted if one.piece.role == role), often)
        for role in roles
    ]


def _most_in(wanted: Sequence[Wanted], shape: PreCut, pieces: int, ends: float) -> int:
    """Give how many times a list surely comes out of so many pieces."""
    project = Project("", tuple(wanted))
    most = min(_by_area(project, shape, pieces), _most_planned(project))
    return _last(most, lambda n: _plan(project, shape, n, ends).used <= pieces)


def _plan(project: Project, shape: PreCut, kits: int, ends: float) -> Plan:
    seconds = max(LEAST_SECONDS, (ends - monotonic()) / STEPS)
    wanted = _times(project.wanted, project.blocks * kits)
    return cutting_plan.fewest_pieces(wanted, shape, seconds=seconds)


def _times(wanted: Sequence[Wanted], number: int) -> tuple[Wanted, ...]:
    return tuple(
        replace(one, piece=replace(one.piece, count=one.piece.count * number))
        for one in wanted
    )


def _by_area(project: Project, shape: PreCut, pieces: int) -> int:
    return int(pieces * _area(shape) // _kit_area(project))


def _area(shape: PreCut) -> Fraction:
    return shape.width_inches * shape.height_inches


def _kit_area(project: Project) -> Fraction:
    return cutting_plan.cloth_of(project.wanted) * project.blocks


def _most_planned(project: Project) -> int:
    """Give the most kits that one plan is made for."""
    pieces = sum(one.piece.count for one in project.wanted) * project.blocks
    return MOST_PIECES // pieces


def _last(most: int, holds: Callable[[int], bool]) -> int:
    """Find the last number for which it holds, nought if it holds for none."""
    low, high = 0, most
    while low < high:
        middle = (low + high + 1) // 2
        if holds(middle):
            low = middle
        else:
            high = middle - 1
    return low
