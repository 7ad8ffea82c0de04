"""Cutting plans: how little cloth will do, where each piece lies, and the proof.

Strips first, then cross-cuts, then trims, as a person with a rotary cutter works. The
answer says what it takes and what is the least possible; where the two differ, the
plan may not be the best, and says by how much at most. The methods, and where they
are from, stand in ``studio.maths.cutting``.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from fractions import Fraction
from math import ceil

from studio.maths.cloth import Bolt, PreCut
from studio.maths.cutting.closing_up import closed_up
from studio.maths.cutting.kinds import Kind, Stages
from studio.maths.cutting.layout import lay_strips
from studio.maths.cutting_plan_layout import Layout
from studio.maths.cutting_plan_values import Certificate, Plan
from studio.maths.cutting_units import (
    Units,
    Wanted,
    refuse_impossible,
    refuse_too_many,
    units_for,
)

CAUTION = (
    "A rotary cutter is as sharp as a razor. Close its guard every time it leaves "
    "your hand, cut away from your body, and keep fingers off the edge of the ruler. "
    "A dull blade slips: change it. Follow the cutter's own instructions."
)


def least_length(
    wanted: Sequence[Wanted], bolt: Bolt, *, stages: str = "2N", seconds: float = 1.0
) -> Plan:
    """Plan all pieces off one bolt, with the least length that is found in the time.

    Raises CannotCut for a piece wider than the cloth, TooMany for too long a list.
    """
    # HiGHS and numpy are slow to load: only whoever plans waits for them.
    from studio.maths.cutting import bolt as engine  # noqa: PLC0415

    refuse_too_many(wanted)
    refuse_impossible(wanted, bolt.width_inches, None)
    units = units_for(wanted, bolt.width_inches)
    width = units.down(bolt.width_inches)
    answer = engine.least_length(
        kinds_of(wanted, units), width, Stages(stages), seconds=seconds
    )
    bound, certificate = answer.bound * units.inches, None
    if units.is_exact:
        proof = answer.certificate
        certificate = Certificate(
            units.inches, stages, proof.heights, proof.weights, proof.refused
        )
    else:
        bound = cloth_of(wanted) / bolt.width_inches
    layout = Layout(
        wanted,
        units.inches,
        (bolt.width_inches, answer.length * units.inches),
        1,
        goes_on=True,
    )
    places = lay_strips(answer.strips)
    return Plan(
        bolt,
        stages,
        bolt.straightening_inches + answer.length * units.inches,
        bolt.straightening_inches + bound,
        answer.seconds,
        layout.placements(places),
        *layout.cuts_and_scraps(places),
        certificate,
    )


def fewest_pieces(
    wanted: Sequence[Wanted], shape: PreCut, *, seconds: float = 1.0
) -> Plan:
    """Plan all pieces from the fewest pre-cut pieces that are found in the time.

    Raises CannotCut for a piece that does not fit, TooMany for too long a list.
    """
    # HiGHS and numpy are slow to load: only whoever plans waits for them.
    from studio.maths.cutting import precut as engine  # noqa: PLC0415

    refuse_too_many(wanted)
    size = shape.width_inches, shape.height_inches
    refuse_impossible(wanted, *size)
    units = units_for(wanted, max(size))
    stock = units.down(size[0]), units.down(size[1])
    answer = engine.fewest_pieces(kinds_of(wanted, units), stock, seconds=seconds)
    bound = answer.bound
    if not units.is_exact:
        bound = ceil(cloth_of(wanted) / (size[0] * size[1]))
    layout = Layout(wanted, units.inches, size, answer.pieces)
    places = closed_up(answer.places, stock, answer.pieces)
    return Plan(
        shape,
        "any",
        Fraction(answer.pieces),
        Fraction(bound),
        answer.seconds,
        layout.placements(places),
        *layout.cuts_and_scraps(places),
    )


def get_ready() -> None:
    """Load what is slow to load, before anybody's time is counted."""
    from studio.maths.cutting import bolt, precut  # noqa: F401, PLC0415


def plan_for(
    wanted: Sequence[Wanted],
    cloth: Bolt | PreCut,
    *,
    stages: str = "2N",
    seconds: float = 1.0,
) -> Plan:
    """Plan all pieces off a bolt or from pre-cut pieces, as the cloth is."""
    if isinstance(cloth, Bolt):
        return least_length(wanted, cloth, stages=stages, seconds=seconds)
    return fewest_pieces(wanted, cloth, seconds=seconds)


def one_way(cloths: Mapping[str, Sequence[Wanted]]) -> dict[str, list[Wanted]]:
    """Give the same lists for prints that all run one way, so that nothing turns."""
    return {
        name: [replace(one, turns=False) for one in wanted]
        for name, wanted in cloths.items()
    }


def cloth_of(wanted: Sequence[Wanted]) -> Fraction:
    """Give the square inches that all pieces take, with nothing between them."""
    return sum((one.piece.cloth_square_inches for one in wanted), Fraction(0))


def kinds_of(wanted: Sequence[Wanted], units: Units) -> list[Kind]:
    """Count sides in whole units, rounded up where they are no whole number."""
    return [
        Kind(units.up(width), units.up(height), one.piece.count, one.turns)
        for one in wanted
        for width, height in [one.size_inches]
    ]
