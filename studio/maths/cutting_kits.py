"""Which bundles make which projects: how many kits, and what stays whole.

A kit is so many blocks, or a cutting list once. What has to be of one print is hers to
say (``FromOnePrint``); then so many blocks or kits come from

    units of one print = the prints of a bundle, each of ⌊pieces / prints⌋ pieces

Prints of two bundles are not joined, even where they are alike. What a unit can be cut
into is exact where it is known in time (``studio.maths.cutting.kits``); where it is
not, whole plans say how many kits are surely possible, and the area how many are not.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import prod
from time import monotonic
from typing import TYPE_CHECKING

from studio.maths import cutting_kits_by_plans as by_plans
from studio.maths.cloth import Bundle, FromOnePrint
from studio.maths.cutting_kits_values import BundlesFor, KitsFrom, Project, times
from studio.maths.cutting_units import refuse_impossible, units_for

if TYPE_CHECKING:
    from studio.maths.cutting.kinds import Kind
    from studio.maths.cutting.kits import CutWays, Demands, Key, Kits, Shelf, Vectors

__all__ = [
    "BundlesFor",
    "KitsFrom",
    "Project",
    "WorkedOut",
    "bundles_for",
    "key_of",
    "kits_from",
    "what_makes_what",
    "work_out",
]

# Up to three sizes never take long; more may, in time and memory: only for who goes on.
ALWAYS_EXACT = 3
ALWAYS_SECONDS = 2.0
MOST_SIZES = 6
WITHOUT_END = 10**9
LONG_SECONDS = 5.0
MOST_ROOM = 2_000_000
MOST_SUMS = 400_000


@dataclass(frozen=True)
class _Supply:
    """What a unit of one print gives, and how many units of how many pieces."""

    ways: CutWays
    unit_ways: CutWays
    demands: Demands
    units: int
    pieces_each: int

    def kits(self, units: int) -> Kits:
        """Give the kits that so many units make, and what is surely too many."""
        # HiGHS and numpy are slow to load: only whoever plans waits for them.
        from studio.maths.cutting import kits as engine  # noqa: PLC0415

        found = engine.most_kits(self.unit_ways, self.demands, units)
        if self.unit_ways.is_whole:
            return found
        pieces = units * self.pieces_each
        ceiling = engine.most_kits(self.ways, self.demands, pieces).ceiling
        return engine.Kits(found.kits, max(found.kits, ceiling))


@dataclass(frozen=True)
class WorkedOut:
    """How far the ways of cutting one piece are known.

    ``key`` names the sizes and the shape, ``kept`` is what to store under it, and
    ``shelf`` holds the ways once all of them are known; until then so many steps of
    all are ``done``.
    """

    key: str
    kept: bytes
    is_whole: bool
    shelf: Shelf
    done: int
    of: int


def kits_from(
    project: Project,
    bundle: Bundle,
    *,
    rule: FromOnePrint = FromOnePrint.NOTHING,
    seconds: float = 1.0,
    shelf: Shelf | None = None,
) -> KitsFrom:
    """Give how many kits one bundle makes; exact with up to three sizes.

    Raises CannotCut where a piece of the kit does not fit on a piece of the bundle.
    """
    ends = monotonic() + seconds
    check_fits(project, bundle)
    if not _is_easy(project, bundle, shelf):
        planned = by_plans.kits_from(project, bundle, rule, monotonic() + seconds / 2)
        if planned.is_proven:
            return planned
        exact = _exactly(project, bundle, rule, ends - monotonic(), shelf)
        return _better(exact, planned) if exact else planned
    exact = _exactly(project, bundle, rule, seconds, shelf)
    if exact and exact.is_proven:
        return exact
    planned = by_plans.kits_from(project, bundle, rule, ends)
    return _better(exact, planned) if exact else planned


def _exactly(
    project: Project,
    bundle: Bundle,
    rule: FromOnePrint,
    seconds: float,
    shelf: Shelf | None,
) -> KitsFrom | None:
    # HiGHS and numpy are slow to load: only whoever plans waits for them.
    from studio.maths.cutting import kits as engine  # noqa: PLC0415

    supply = _supply(project, bundle, rule, seconds, shelf)
    if supply is None:
        return None
    found, ceiling = supply.kits(supply.units), 0
    if _is_uneven(bundle, rule):
        prints, each = bundle.prints, supply.pieces_each + 1
        larger = Bundle(bundle.name, bundle.shape, prints * each, prints)
        more = _supply(project, larger, rule, seconds, shelf)
        ceiling = more.kits(more.units).ceiling if more else 0
    used = 0
    if found.kits:
        used = engine.fewest_for(supply.unit_ways, supply.demands, found.kits)[0]
    return KitsFrom(
        project.name,
        bundle.name,
        found.kits,
        max(found.ceiling, ceiling),
        bundle.pieces - used * supply.pieces_each,
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

    ends = monotonic() + seconds
    check_fits(project, bundle)
    supply = _supply(project, bundle, rule, seconds / 2, shelf)
    if supply is None or not supply.unit_ways.is_whole or _is_uneven(bundle, rule):
        return by_plans.bundles_for(kits, project, bundle, rule, ends)
    units = engine.fewest_for(supply.unit_ways, supply.demands, kits)[0]
    bundles = -(-units // supply.units)
    return BundlesFor(kits, bundles, bundles)


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


def work_out(
    project: Project, bundle: Bundle, *, kept: bytes = b"", seconds: float = 1.0
) -> WorkedOut:
    """Go on working out what one piece of a bundle can be cut into for a project.

    With four sizes of piece that may take minutes. Keep ``kept`` under ``key``, as a
    file or in a row, and pass it in again, as often as it takes until ``is_whole``; its
    shelf then makes ``kits_from`` and ``bundles_for`` exact at once. Until then they
    give bounds. What was kept of other sizes, or cannot be read, is left aside.
    """
    # HiGHS and numpy are slow to load: only whoever plans waits for them.
    from studio.maths.cutting import kits as engine  # noqa: PLC0415
    from studio.maths.cutting.rectangles import cells_in  # noqa: PLC0415

    check_fits(project, bundle)
    kinds = list(dict.fromkeys(_kinds(project, bundle)))
    stock = _stock(project, bundle)
    known = engine.work_on(kinds, stock, kept=kept, seconds=seconds)
    key = _key(kinds, stock)
    shelf = {key: known.cells[-1]} if known.is_whole else {}
    of = cells_in(kinds, *stock)
    done = of if known.is_whole else len(known.cells)
    return WorkedOut(str(key), bytes(known), known.is_whole, shelf, done, of)


def key_of(project: Project, bundle: Bundle) -> Key | None:
    """Name what is worked out for a project; None where that takes too much memory."""
    kinds, stock = list(dict.fromkeys(_kinds(project, bundle))), _stock(project, bundle)
    if len(kinds) > MOST_SIZES or _room(kinds, stock) > MOST_ROOM:
        return None
    return _key(kinds, stock)


def get_ready() -> None:
    """Load what is slow to load, before anybody's time is counted."""
    import studio.maths.cutting.kits  # noqa: F401, PLC0415


def check_fits(project: Project, bundle: Bundle) -> None:
    """Raise CannotCut for a piece of the kit that fits on no piece of the bundle."""
    size = bundle.shape.width_inches, bundle.shape.height_inches
    refuse_impossible(project.wanted, *size)


def _is_uneven(bundle: Bundle, rule: FromOnePrint) -> bool:
    return rule is not FromOnePrint.NOTHING and bool(bundle.pieces % bundle.prints)


def _better(one: KitsFrom, other: KitsFrom) -> KitsFrom:
    best = max(one, other, key=lambda found: (found.kits, found.pieces_left))
    ceiling = max(best.kits, min(one.ceiling, other.ceiling))
    return KitsFrom(best.project, best.cloth, best.kits, ceiling, best.pieces_left)


def _supply(
    project: Project,
    bundle: Bundle,
    rule: FromOnePrint,
    seconds: float,
    shelf: Shelf | None,
) -> _Supply | None:
    """Give what units can be cut into; None where that takes too long to find out."""
    kinds = _kinds(project, bundle)
    sizes, stock = list(dict.fromkeys(kinds)), _stock(project, bundle)
    ways = _ways(sizes, stock, seconds, shelf)
    if ways is None:
        return None
    demands = _demands(_needs(project, kinds), rule, project.blocks)
    if rule is FromOnePrint.NOTHING:
        return _Supply(ways, ways, demands, bundle.pieces, 1)
    each = bundle.pieces // bundle.prints
    return _Supply(ways, _together(ways, each), demands, bundle.prints, each)


def _kinds(project: Project, bundle: Bundle) -> list[Kind]:
    """Give the size of each piece on the list, in whole units."""
    # HiGHS and numpy are slow to load: only whoever plans waits for them.
    from studio.maths.cutting.kinds import Kind  # noqa: PLC0415

    units = units_for(project.wanted, _longest(bundle))
    found = []
    for one in project.wanted:
        width, height = map(units.up, one.size_inches)
        found.append(Kind(width, height, 1, one.turns))
    return found


def _stock(project: Project, bundle: Bundle) -> tuple[int, int]:
    units = units_for(project.wanted, _longest(bundle))
    shape = bundle.shape
    return units.down(shape.width_inches), units.down(shape.height_inches)


def _longest(bundle: Bundle) -> Fraction:
    return max(bundle.shape.width_inches, bundle.shape.height_inches)


def _ways(
    kinds: Sequence[Kind], stock: tuple[int, int], seconds: float, shelf: Shelf | None
) -> CutWays | None:
    # HiGHS and numpy are slow to load: only whoever plans waits for them.
    from studio.maths.cutting import kits as engine  # noqa: PLC0415

    kept: Shelf = {} if shelf is None else shelf
    if _is_known(kinds, stock, shelf):
        return engine.ways_of(kinds, stock, seconds=ALWAYS_SECONDS, shelf=kept)
    if len(kinds) > MOST_SIZES or _room(kinds, stock) > MOST_ROOM:
        return None
    if seconds < LONG_SECONDS:
        quick = _exact(kinds, stock, seconds)
        if quick is None:
            return None
        kept[_key(kinds, stock)] = quick
    return engine.ways_of(kinds, stock, seconds=seconds, shelf=kept)


def _is_easy(project: Project, bundle: Bundle, shelf: Shelf | None) -> bool:
    sizes = list(dict.fromkeys(_kinds(project, bundle)))
    return _is_known(sizes, _stock(project, bundle), shelf)


def _is_known(
    kinds: Sequence[Kind], stock: tuple[int, int], shelf: Shelf | None
) -> bool:
    """Say whether what one piece gives is known, or takes no time to find out."""
    if len(kinds) <= ALWAYS_EXACT:
        return True
    return shelf is not None and shelf.get(_key(kinds, stock)) is not None


def _key(kinds: Sequence[Kind], stock: tuple[int, int]) -> Key:
    return (tuple((k.width, k.height, k.turns) for k in kinds), *stock)


def _exact(
    kinds: Sequence[Kind], stock: tuple[int, int], seconds: float
) -> Vectors | None:
    """Give all that one piece can be cut into, if that is found out in the time."""
    # HiGHS and numpy are slow to load: only whoever plans waits for them.
    from studio.maths.cutting.kinds import Kind  # noqa: PLC0415
    from studio.maths.cutting.rectangles import ParetoSets  # noqa: PLC0415

    endless = [Kind(k.width, k.height, WITHOUT_END, k.turns) for k in kinds]
    sets = ParetoSets(endless, *stock, seconds=seconds)
    return None if sets.is_late else sets.top


def _room(kinds: Sequence[Kind], stock: tuple[int, int]) -> int:
    """Count the numbers of pieces that would have to be told apart at once."""
    return prod(stock[0] * stock[1] // kind.area + 1 for kind in kinds[:-1])


def _together(ways: CutWays, pieces: int) -> CutWays:
    """Give what so many pieces of one print can be cut into, taken together."""
    # HiGHS and numpy are slow to load: only whoever plans waits for them.
    from studio.maths.cutting.kits import CutWays  # noqa: PLC0415
    from studio.maths.cutting.listing import unbeaten  # noqa: PLC0415

    total = ways.vectors
    for _more in range(pieces - 1):
        if len(total) * len(ways.vectors) > MOST_SUMS:
            return CutWays(ways.kinds, ways.stock, ways.vectors * pieces, False)
        sums = (total[:, None, :] + ways.vectors[None, :, :]).reshape(
            -1, ways.vectors.shape[1]
        )
        total = sums[unbeaten(sums)]
    return CutWays(ways.kinds, ways.stock, total, ways.is_whole)


def _needs(project: Project, of: Sequence[Kind]) -> tuple[tuple[int, ...], ...]:
    """Count the sizes that one block needs, role by role."""
    sizes = list(dict.fromkeys(of))
    needs: dict[str, list[int]] = {}
    for one, kind in zip(project.wanted, of, strict=True):
        need = needs.setdefault(one.piece.role, [0] * len(sizes))
        need[sizes.index(kind)] += one.piece.count
    return tuple(map(tuple, needs.values()))


def _demands(
    roles: tuple[tuple[int, ...], ...], rule: FromOnePrint, blocks: int
) -> Demands:
    # HiGHS and numpy are slow to load: only whoever plans waits for them.
    from studio.maths.cutting.kits import Demands  # noqa: PLC0415

    together = tuple(sum(column) for column in zip(*roles, strict=True))
    if rule is FromOnePrint.KIT:
        return Demands((times(together, blocks),), (1,))
    if rule is FromOnePrint.ROLE:
        return Demands(tuple(times(role, blocks) for role in roles), (1,) * len(roles))
    if rule is FromOnePrint.BLOCK:
        return Demands((together,), (blocks,))
    if rule is FromOnePrint.BLOCK_ROLE:
        return Demands(roles, (blocks,) * len(roles))
    alone = tuple(
        tuple(int(kind == other) for other in range(len(together)))
        for kind in range(len(together))
    )
    return Demands(alone, times(together, blocks))
