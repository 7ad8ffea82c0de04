"""Papers of the workshop: the card that hangs beside the cutter during a session."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from django.urls import reverse
from django.utils.safestring import SafeString, mark_safe

from production.models import Batch, Layout, SpoiledPieces
from production.queries.bench import (
    gives_words,
    is_sawn,
    layout_picture,
    session_work,
)
from studio import printing
from studio.days import show_day
from studio.lengths import show_mm
from studio.maths.sheets import cautions
from studio.models import StudioSettings, WorkSession

SESSION_CARD = "production/print/session_card.html"
# What one run and one of its pieces take of the sheet's height, by how tightly it is set;
# head, foot and cautions take the rest of the 264 mm.
SETTINGS = (("", 34, 7, 165), ("tight", 26, 5, 175), ("tightest", 16, 5, 195))
MOST_TICKS = 24


@dataclass(frozen=True)
class CardRun:
    """One layout on the card: its drawing, a box a sheet, a line a piece."""

    place: int
    layout: Layout
    sheets: int
    minutes: int
    picture: SafeString
    gives: str
    done: int

    @property
    def boxes(self) -> range:
        """Number the boxes; a run too long for boxes has a line to write on."""
        return range(1, self.sheets + 1) if self.sheets <= MOST_TICKS else range(0)

    @property
    def pieces(self) -> list[str]:
        return [gives.piece.code for gives in self.layout.gives.all()]


@dataclass(frozen=True)
class FirstPiece:
    """The piece to measure before the second sheet, at its nominal millimetres."""

    code: str
    nominal: str


def session_card_pdf(session: WorkSession, now: datetime) -> bytes:
    """Make the card of a session as a PDF; raises printing.PdfUnavailable."""
    studio = StudioSettings.objects.filter(pk=1).first()
    context = {**session_card_context(session, studio=studio), "printed_at": now}
    title = f"Session card, {show_day(session.day)}"
    return printing.render_pdf(SESSION_CARD, context, title=title)


def card_has_sheets(session: WorkSession) -> bool:
    return (
        session.batches.filter(kind=Batch.Kind.CUTTING)
        .exclude(state=Batch.State.DROPPED)
        .exists()
    )


def session_card_context(
    session: WorkSession, *, studio: StudioSettings | None
) -> dict[str, object]:
    work = session_work(session)
    runs = card_runs(work.cutting)
    address = phone_address(session, studio)
    return {
        "studio": studio,
        "session": session,
        "work": work,
        "runs": runs,
        "others": work.other,
        "first_piece": first_piece(runs),
        "saw_words": saw_words(runs),
        "reasons": [label for _, label in SpoiledPieces.Reason.choices],
        "address": address.partition("://")[2],
        "qr": printing.qr_path(address),
        "set": how_tightly(runs),
    }


def how_tightly(runs: Sequence[CardRun]) -> str:
    """Choose the largest boxes with which all runs stay on one sheet."""
    pieces = sum(len(run.pieces) for run in runs)
    for name, run_mm, piece_mm, room_mm in SETTINGS:
        if len(runs) * run_mm + pieces * piece_mm <= room_mm:
            return name
    return SETTINGS[-1][0]


def card_runs(batches: Sequence[Batch]) -> list[CardRun]:
    """Return a run a layout, in the order in which they are first to be cut."""
    by_layout: dict[Layout, list[Batch]] = {}
    for batch in batches:
        if batch.layout is not None:
            by_layout.setdefault(batch.layout, []).append(batch)
    return [
        CardRun(
            place=place,
            layout=layout,
            sheets=sum(batch.count for batch in same),
            minutes=sum(batch.minutes for batch in same),
            picture=mark_safe(layout_picture(layout)),  # noqa: S308 (own drawing)
            gives=gives_words(layout),
            done=sum(batch.done for batch in same),
        )
        for place, (layout, same) in enumerate(by_layout.items(), start=1)
    ]


def saw_words(runs: Sequence[CardRun]) -> str:
    """Give what to mind at the saw, where any sheet is laid for it."""
    return " ".join(cautions.SAW) if any(is_sawn(run.layout) for run in runs) else ""


def first_piece(runs: Sequence[CardRun]) -> FirstPiece | None:
    """Name the first piece whose size is written down, with its millimetres."""
    for run in runs:
        for gives in run.layout.gives.all():
            shape = getattr(gives.piece, "shape", None)
            if shape is not None:
                across, down = shape.width_inches, shape.height_inches
                nominal = f"{show_mm(across)} × {show_mm(down)}"
                return FirstPiece(gives.piece.code, nominal)
    return None


def phone_address(session: WorkSession, studio: StudioSettings | None) -> str:
    """Return the short address of the phone page, under the name that stays the same."""
    path = reverse("production:cutting_short", args=[session.pk])
    return printing.lasting_address(studio.host_name if studio else "", path)
