"""What a session cut in the end, and whether its spoil was more than bad luck."""

from __future__ import annotations

from collections import Counter, defaultdict
from dataclasses import dataclass
from fractions import Fraction

from production import spoil
from production.models import CuttingLog, Layout
from production.queries.cut import live_logs
from production.spoil import SpoilWarning
from studio.models import WorkSession


@dataclass(frozen=True)
class PieceCut:
    """One piece of a layout in a session: cut, no good, sound but marked."""

    code: str
    name: str
    cut: int
    spoiled: int
    seconds: int
    places: Counter[str]

    @property
    def good(self) -> int:
        return self.cut - self.spoiled - self.seconds

    @property
    def lost(self) -> int:
        return self.spoiled + self.seconds

    @property
    def where(self) -> str:
        """Say where all of the lost ones lay, if they lay in one place."""
        place, count = next(iter(self.places.most_common(1)), ("", 0))
        return place if self.lost and place and count == self.lost else ""


@dataclass(frozen=True)
class LayoutCut:
    """The sheets of one layout in a session, and what came off them."""

    layout: Layout
    sheets: int
    pieces: tuple[PieceCut, ...]


@dataclass(frozen=True)
class SpoilNote:
    """A warning with the place it points to, if it points to one."""

    warning: SpoilWarning
    where: str

    @property
    def sentence(self) -> str:
        if not self.where:
            return self.warning.sentence
        all_of = "Both" if self.warning.spoiled == 2 else f"All {self.warning.spoiled}"
        return f"{self.warning.sentence} {all_of} lay at the {self.where}."


def cut_in(session: WorkSession) -> list[LayoutCut]:
    """Return what was cut in a session, by layout: four queries."""
    logs = (
        live_logs()
        .filter(session=session)
        .select_related("layout")
        .prefetch_related("spoiled", "layout__gives__piece")
        .order_by("pk")
    )
    by_layout: dict[int, list[CuttingLog]] = defaultdict(list)
    for log in logs:
        by_layout[log.layout_id].append(log)
    return [layout_cut(logs_of_one) for logs_of_one in by_layout.values()]


def layout_cut(logs: list[CuttingLog]) -> LayoutCut:
    layout, sheets = logs[0].layout, sum(log.sheets for log in logs)
    rows = [row for log in logs for row in log.spoiled.all()]
    pieces = []
    for gives in layout.gives.all():
        lost = [row for row in rows if row.piece_id == gives.piece_id]
        seconds = sum(row.count for row in lost if row.is_second)
        places: Counter[str] = Counter()
        for row in lost:
            places[row.where] += row.count
        pieces.append(
            PieceCut(
                code=gives.piece.code,
                name=gives.piece.name,
                cut=gives.count * sheets,
                spoiled=sum(row.count for row in lost) - seconds,
                seconds=seconds,
                places=places,
            )
        )
    return LayoutCut(layout, sheets, tuple(pieces))


def spoil_notes(cuts: list[LayoutCut], usual: Fraction) -> list[SpoilNote]:
    """Warn only of spoil that luck hardly explains."""
    notes = []
    for one in cuts:
        for piece in one.pieces:
            warning = spoil.warning(
                piece.code, one.layout.code, piece.lost, piece.cut, usual
            )
            if warning is not None:
                notes.append(SpoilNote(warning, piece.where))
    return notes
