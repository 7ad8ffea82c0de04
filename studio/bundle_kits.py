"""Which bundles in the book make which kits, with what is here of them, in time.

All cells have a quick look first, then those that are open their share of what is left
of the seconds. What is not looked at in time says so; answers are kept while the studio
is open, and what takes long for good (`studio.kept_ways`). A longer look goes on with
what one piece can be cut into from where the last one left it.
"""

from __future__ import annotations

import threading
from collections import OrderedDict
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from time import monotonic
from typing import TYPE_CHECKING, TypeVar, cast

from inventory.models import BundleContents
from inventory.queries.promises import can_promise_by_item
from studio import bundles, kept_ways
from studio.kept_ways import KeptAnswers, KeptSteps, KeptWays
from studio.maths import cutting_kits
from studio.maths.cloth import Bundle, BundleEmpty, FromOnePrint
from studio.maths.cutting_kits_values import BundlesFor, KitsFrom, Project
from studio.maths.cutting_units import CannotCut

if TYPE_CHECKING:
    from studio.maths.cutting.kits import Key

QUICK_SECONDS = 0.2
# Of a longer look, for what one piece can be cut into; the rest is for whole plans.
SHARE_OF_STEPS = 0.75
MOST_KEPT = 500
# Both kinds of answer are three whole numbers: see `KitsFrom` and `BundlesFor`.
NUMBERS_KEPT = 3
Found = TypeVar("Found")
Look = tuple[bool, float]

# By question: whether all ways were known, the seconds there were, and the answer.
_kept: OrderedDict[str, tuple[Look, object]] = OrderedDict()
_lock = threading.Lock()


def forget() -> None:
    """Forget every answer that is not kept on the disk."""
    with _lock:
        _kept.clear()


@dataclass(frozen=True)
class Cell:
    """One bundle and one kit: what it makes, or why not, or nothing yet."""

    project: Project
    made: KitsFrom | None = None
    refused: str = ""

    @property
    def words(self) -> str:
        """Say it in few words: ``7``, ``5 to 7``, ``none``."""
        if self.refused:
            return "none"
        if self.made is None:
            return "not looked at yet"
        if not self.made.ceiling:
            return "none"
        if self.made.is_proven:
            return str(self.made.kits)
        return f"{self.made.kits} to {self.made.ceiling}"

    @property
    def is_unseen(self) -> bool:
        return self.made is None and not self.refused

    @property
    def is_open(self) -> bool:
        """Say whether a longer look may say more."""
        return self.is_unseen or (self.made is not None and not self.made.is_proven)


@dataclass(frozen=True)
class BundleRow:
    """One bundle in the book: what it is, how many are free here, and its cells."""

    contents: BundleContents
    here: int
    bundle: Bundle | None
    empty: str
    cells: tuple[Cell, ...]

    @property
    def code(self) -> str:
        return self.contents.item.code


@dataclass(frozen=True)
class KitRow:
    """One kit from one bundle: what one gives, how many bundles, what is here gives."""

    row: BundleRow
    one: Cell
    needed: BundlesFor | None
    from_here: Cell | None


class Clock:
    """Shares seconds out over what is still to do."""

    def __init__(self, seconds: float) -> None:
        cutting_kits.get_ready()
        self.ends = monotonic() + seconds

    @property
    def left(self) -> float:
        return max(0.0, self.ends - monotonic())

    @property
    def quick(self) -> float:
        """Give the seconds for a quick look; nought when the time is up."""
        return min(self.left, QUICK_SECONDS)


def rows(
    projects: Sequence[Project], rule: FromOnePrint, clock: Clock, *, now: datetime
) -> list[BundleRow]:
    """Give every bundle in the book beside every kit."""
    asking = rule, clock, KeptWays()
    contents = list(bundles.kept())
    here = can_promise_by_item([one.item for one in contents], now=now)
    blank = [_row(one, max(0, here.get(one.item.pk, 0)), projects) for one in contents]
    return list(_longer(_quick(blank, projects, asking), asking))


def kit_rows(
    project: Project,
    listed: Sequence[BundleRow],
    rule: FromOnePrint,
    clock: Clock,
    *,
    wanted: int,
) -> list[KitRow]:
    """Give one kit beside every bundle, with the bundles that so many kits take."""
    asking = rule, clock, KeptWays()
    found = []
    for row in listed:
        one = next((cell for cell in row.cells if cell.project == project), None)
        if row.bundle is None or one is None:
            continue
        if one.made is None:
            one = _cell(project, row.bundle, asking)
        needed = _needed(wanted, one, row.bundle, asking)
        found.append(KitRow(row, one, needed, _from_here(one, row, asking)))
    return found


def with_closer(rows: Sequence[BundleRow], near: Sequence[KitRow]) -> list[BundleRow]:
    """Give the rows with what a closer look at one kit has found besides."""
    found = {(one.row.code, one.one.project): one.one for one in near}
    return [
        replace(
            row,
            cells=tuple(found.get((row.code, c.project), c) for c in row.cells),
        )
        for row in rows
    ]


Asking = tuple[FromOnePrint, Clock, KeptWays]


def _row(contents: BundleContents, here: int, projects: Sequence[Project]) -> BundleRow:
    try:
        bundle = bundles.as_cloth(contents, contents.item.code)
    except BundleEmpty as empty:
        return BundleRow(contents, here, None, str(empty), ())
    return BundleRow(contents, here, bundle, "", tuple(map(Cell, projects)))


def _quick(
    blank: Sequence[BundleRow], projects: Sequence[Project], asking: Asking
) -> list[BundleRow]:
    """Look at every cell as far as the time goes, those of few sizes first."""
    rows = list(blank)
    order = sorted(range(len(projects)), key=lambda number: _sizes(projects[number]))
    for number in order:
        for at, row in enumerate(rows):
            if row.bundle is not None:
                cells = list(row.cells)
                cells[number] = _cell(projects[number], row.bundle, asking)
                rows[at] = replace(row, cells=tuple(cells))
    return rows


def _sizes(project: Project) -> int:
    return len({one.size_inches for one in project.wanted})


def _longer(rows: Sequence[BundleRow], asking: Asking) -> Iterator[BundleRow]:
    """Look for longer at what a quick look left open, as far as the time goes."""
    clock = asking[1]
    open_ones = sum(cell.is_open for row in rows for cell in row.cells)
    for row in rows:
        cells = []
        for cell in row.cells:
            seconds = clock.left / max(1, open_ones)
            if cell.is_open and row.bundle is not None and seconds > QUICK_SECONDS:
                cells.append(_gone_on(cell.project, row.bundle, asking, seconds))
            else:
                cells.append(cell)
            open_ones -= cell.is_open
        yield replace(row, cells=tuple(cells))


def _gone_on(project: Project, bundle: Bundle, asking: Asking, seconds: float) -> Cell:
    """Go on from what is kept, and look at the cell again in the rest of the time."""
    ends = monotonic() + seconds
    kept_ways.go_on(project, bundle, asking[2], seconds=seconds * SHARE_OF_STEPS)
    return _cell(project, bundle, asking, max(QUICK_SECONDS, ends - monotonic()))


def kept_so_far(rows: Sequence[BundleRow]) -> list[str]:
    """Say how far the steps are done for what is still open: ``mat 3 of 9``."""
    steps, found = KeptSteps(), {}
    for key, name in _open_keys(rows).items():
        so_far = steps.so_far(key)
        if so_far:
            found[key] = f"{name} {so_far.done} of {so_far.of}"
    return list(found.values())


def _open_keys(rows: Sequence[BundleRow]) -> dict[Key, str]:
    """Name what is still worked out, and the kit it is for."""
    found = {}
    for row in rows:
        for cell in row.cells:
            if row.bundle is not None and cell.is_open:
                key = cutting_kits.key_of(cell.project, row.bundle)
                if key is not None:
                    found[key] = cell.project.name
    return found


def _cell(
    project: Project, bundle: Bundle, asking: Asking, seconds: float | None = None
) -> Cell:
    rule, clock, shelf = asking
    try:
        cutting_kits.check_fits(project, bundle)
    except CannotCut as refused:
        return Cell(project, refused=str(refused))
    made = _remembered(
        Question("kits", project, bundle, rule),
        clock.quick if seconds is None else seconds,
        shelf,
        lambda seconds: cutting_kits.kits_from(
            project, bundle, rule=rule, seconds=seconds, shelf=shelf
        ),
        lambda numbers: KitsFrom(project.name, bundle.name, *numbers),
    )
    return Cell(project, made)


def _needed(
    wanted: int, one: Cell, bundle: Bundle, asking: Asking
) -> BundlesFor | None:
    rule, clock, shelf = asking
    if one.refused:
        return None
    return _remembered(
        Question(f"bundles for {wanted}", one.project, bundle, rule),
        clock.quick,
        shelf,
        lambda seconds: cutting_kits.bundles_for(
            wanted, one.project, bundle, rule=rule, seconds=seconds, shelf=shelf
        ),
        lambda numbers: BundlesFor(*numbers),
    )


def _from_here(one: Cell, row: BundleRow, asking: Asking) -> Cell | None:
    """Say what all bundles of this sort that are free here make together."""
    if one.refused or not row.here or row.bundle is None:
        return None
    return _cell(one.project, row.bundle.times(row.here), asking)


@dataclass(frozen=True)
class Question:
    """What is asked about a kit and a bundle, whatever the two are called."""

    what: str
    project: Project
    bundle: Bundle
    rule: FromOnePrint

    def knows_all(self, shelf: KeptWays) -> bool:
        """Say whether all ways of cutting one piece are known, so more time is idle."""
        key = cutting_kits.key_of(self.project, self.bundle)
        return key is not None and shelf.get(key) is not None

    def __str__(self) -> str:
        """Write all that the answer depends on, and nothing else."""
        shape, rule = self.bundle.shape, self.rule
        pieces = [
            f"{one.piece.count} of {one.size_inches[0]} by {one.size_inches[1]}"
            f"{'' if one.turns else ' one way'}"
            f"{'' if rule is FromOnePrint.NOTHING else f' for {one.piece.role}'}"
            for one in self.project.wanted
        ]
        prints = 0 if rule is FromOnePrint.NOTHING else self.bundle.prints
        return (
            f"{self.what}, {rule.name}: {self.project.blocks} × ({'; '.join(pieces)}) "
            f"from {self.bundle.pieces} of {shape.width_inches} by "
            f"{shape.height_inches} in {prints} prints"
        )


def _remembered(
    question: Question,
    seconds: float,
    shelf: KeptWays,
    ask: Callable[[float], Found],
    rebuild: Callable[[list[int]], Found],
) -> Found | None:
    """Give the answer that was found before, if no longer look is asked for."""
    words = str(question)
    with _lock:
        known = _kept.get(words)
    if known and is_proven(known[1]):
        return cast(Found, known[1])
    look = question.knows_all(shelf), seconds
    if known and known[0] >= look:
        return cast(Found, known[1])
    numbers = KeptAnswers().numbers(words, NUMBERS_KEPT)
    if numbers is not None:
        return rebuild(numbers)
    if not seconds:
        return None
    began = monotonic()
    found = ask(seconds)
    if is_proven(found) and monotonic() - began > QUICK_SECONDS:
        KeptAnswers().keep_numbers(words, numbers_of(found))
    with _lock:
        _kept[words] = look, found
        while len(_kept) > MOST_KEPT:
            _kept.popitem(last=False)
    return found


def is_proven(found: object) -> bool:
    return isinstance(found, KitsFrom | BundlesFor) and found.is_proven


def numbers_of(found: object) -> list[int]:
    """Give the whole numbers of an answer, in the order they are rebuilt from."""
    return [number for number in vars(found).values() if isinstance(number, int)]
