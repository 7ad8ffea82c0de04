"""The least length off a bolt, in one of the four ways of cutting strips."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from time import monotonic

from studio.maths.cutting.kinds import (
    Kind,
    Planned,
    Stages,
    Strip,
    as_needed,
    without_surplus,
)
from studio.maths.cutting.plans import Plans, Pricer
from studio.maths.cutting.search import Certificate, Search
from studio.maths.cutting.three_stage import ThreeStage
from studio.maths.cutting.two_stage import TwoStage

# What share of the time goes into strips without stacks, for few kinds and for many.
SIMPLER = 0.1
SIMPLER_OF_MANY = 0.6
FEW_KINDS = 16


@dataclass(frozen=True)
class BoltAnswer:
    """Strips that give all pieces, their length, and the least that is possible."""

    strips: tuple[Strip, ...]
    length: int
    bound: int
    certificate: Certificate
    seconds: float

    @property
    def is_proven(self) -> bool:
        return self.length == self.bound


def least_length(
    kinds: Sequence[Kind], width: int, stages: Stages, *, seconds: float = 1.0
) -> BoltAnswer:
    """Cut all pieces from the least length of cloth that can be found in the time."""
    began = monotonic()
    plans = Plans(kinds, _pricer(kinds, width, stages), seconds, as_needed)
    if stages.may_stack:
        share = SIMPLER if len(kinds) <= FEW_KINDS else SIMPLER_OF_MANY
        _start_simpler(plans, width, share * seconds)
    else:
        plans.start()
    search = _search(plans, width, stages)
    search.run()
    strips = without_surplus([planned.cut() for planned in plans.best], kinds)
    length = sum(strip.height for strip in strips)
    return BoltAnswer(
        strips, length, search.bound, search.certificate, monotonic() - began
    )


def _pricer(kinds: Sequence[Kind], width: int, stages: Stages) -> Pricer[Planned]:
    if stages.may_stack:
        return ThreeStage(kinds, width, equal=not stages.may_trim)
    return TwoStage(kinds, width, equal=not stages.may_trim)


def _search(plans: Plans[Planned], width: int, stages: Stages) -> Search[Planned]:
    area = sum(kind.count * kind.area for kind in plans.kinds)
    return Search(
        plans,
        taller_will_do=stages != Stages.TWO_EXACT,
        bound=-(-area // width),
    )


def _start_simpler(plans: Plans[Planned], width: int, seconds: float) -> None:
    """Start from strips without stacks, and from the best plan of them."""
    stages = Stages.TWO_TRIMMED
    pricer = _pricer(plans.kinds, width, stages)
    simpler = Plans(plans.kinds, pricer, seconds, as_needed)
    simpler.start()
    _search(simpler, width, stages).run()
    plans.take(simpler.best)
    for strip in simpler.program.strips:
        plans.program.add(strip)
