"""Which bundles make which projects: how many kits, and what stays whole.

A kit is a cutting list that is cut many times. Whether a whole kit, a role of it, or
nothing has to be of one print is hers to say (``FromOnePrint``).
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from studio.maths.cloth import Bundle, FromOnePrint, PreCut
from studio.maths.cutting_units import Wanted, refuse_impossible, units_for

if TYPE_CHECKING:
    from studio.maths.cutting.kinds import Kind
    from studio.maths.cutting.kits import CutWays, Demands, Shelf


@dataclass(frozen=True)
class Project:
    """What one kit is cut into."""

    name: str
    wanted: tuple[Wanted, ...]


@dataclass(frozen=True)
class KitsFrom:
    """What so many pieces of one shape make of a project.

    ``kits`` are surely possible; more than ``ceiling`` surely are not. So many
    pieces stay whole when that many kits are cut.
    """

    project: str
    cloth: str
    kits: int
    ceiling: int
    pieces_left: int

    @property
    def is_proven(self) -> bool:
        return self.kits == self.ceiling

    def __str__(self) -> str:
        if not self.ceiling:
            return f"{self.cloth} makes no {self.project}."
        left = f"{self.pieces_left} piece{'' if self.pieces_left == 1 else 's'}"
        more = "" if self.is_proven else f", and no more than {self.ceiling}"
        return f"{self.cloth} makes {self.kits} of {self.project}{more}; {left} left whole."


@dataclass(frozen=True)
class BundlesFor:
    """How many bundles surely make so many kits, and the fewest that might.

    None at all means that this shape cannot be cut so.
    """

    kits: int
    bundles: int
    at_least: int

    @property
    def is_proven(self) -> bool:
        return self.bundles == self.at_least


def kits_from(
    project: Project,
    bundle: Bundle,
    *,
    rule: FromOnePrint = FromOnePrint.NOTHING,
    seconds: float = 1.0,
    shelf: Shelf | None = None,
) -> KitsFrom:
    """Give how many kits one bundle makes; exact with up to three sizes."""
    # HiGHS and numpy are slow to load: only whoever plans waits for them.
    from studio.maths.cutting import kits as engine  # noqa: PLC0415

    ways, demands = _asked(project, bundle.shape, rule, seconds, shelf)
    found = engine.most_kits(ways, demands, bundle.pieces)
    used = engine.fewest_for(ways, demands, found.kits)[0] if found.kits else 0
    return KitsFrom(
        project.name, bundle.name, found.kits, found.ceiling, bundle.pieces - used
    )


def bundles_for(
    kits: int,
    project: Project,
    bundle: Bundle,
    *,
    rule: FromOnePrint = FromOnePrint.NOTHING,
    seconds: float = 1.0,
    shelf: Shelf | None = None,
) -> BundlesFor:
    """Give how many bundles so many kits take, opening as many as needed."""
    # HiGHS and numpy are slow to load: only whoever plans waits for them.
    from studio.maths.cutting import kits as engine  # noqa: PLC0415

    ways, demands = _asked(project, bundle.shape, rule, seconds, shelf)
    surely, perhaps = engine.fewest_for(ways, demands, kits)
    return BundlesFor(kits, -(-surely // bundle.pieces), -(-perhaps // bundle.pieces))


def what_makes_what(
    bundles: Iterable[Bundle],
    projects: Sequence[Project],
    *,
    rule: FromOnePrint = FromOnePrint.NOTHING,
    seconds: float = 1.0,
    shelf: Shelf | None = None,
) -> tuple[KitsFrom, ...]:
    """Give for every bundle and project how many kits one bundle makes."""
    kept = {} if shelf is None else shelf
    return tuple(
        kits_from(project, bundle, rule=rule, seconds=seconds, shelf=kept)
        for bundle in bundles
        for project in projects
    )


def _asked(
    project: Project,
    shape: PreCut,
    rule: FromOnePrint,
    seconds: float,
    shelf: Shelf | None,
) -> tuple[CutWays, Demands]:
    """Turn a project and a shape into whole units, sizes and demands."""
    # HiGHS and numpy are slow to load: only whoever plans waits for them.
    from studio.maths.cutting import kits as engine  # noqa: PLC0415
    from studio.maths.cutting.kinds import Kind  # noqa: PLC0415

    size = shape.width_inches, shape.height_inches
    refuse_impossible(project.wanted, *size)
    units = units_for(project.wanted, max(size))
    kinds: list[Kind] = []
    for one in project.wanted:
        width, height = map(units.up, one.size_inches)
        if Kind(width, height, 1, one.turns) not in kinds:
            kinds.append(Kind(width, height, 1, one.turns))
    stock = units.down(size[0]), units.down(size[1])
    ways = engine.ways_of(kinds, stock, seconds=seconds, shelf=shelf)
    needs: dict[str, list[int]] = {}
    for one in project.wanted:
        width, height = map(units.up, one.size_inches)
        place = kinds.index(Kind(width, height, 1, one.turns))
        need = needs.setdefault(one.piece.role, [0] * len(kinds))
        need[place] += one.piece.count
    return ways, _demands(list(needs.values()), rule)


def _demands(roles: list[list[int]], rule: FromOnePrint) -> Demands:
    # HiGHS and numpy are slow to load: only whoever plans waits for them.
    from studio.maths.cutting.kits import Demands  # noqa: PLC0415

    together = [sum(column) for column in zip(*roles, strict=True)]
    if rule is FromOnePrint.KIT:
        return Demands((tuple(together),), (1,))
    if rule is FromOnePrint.ROLE:
        return Demands(tuple(map(tuple, roles)), (1,) * len(roles))
    alone = [
        tuple(int(kind == other) for other in range(len(together)))
        for kind in range(len(together))
    ]
    return Demands(tuple(alone), tuple(together))
