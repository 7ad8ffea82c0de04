"""The booklet page of a block: its cutting table over sizes, and how units are made."""

from __future__ import annotations

from collections.abc import Sequence

from django.http import HttpResponse

from studio import block_pictures, printing
from studio.access import StudioRequest
from studio.errors import StudioError
from studio.maths.block_asking import MODES, Asked
from studio.maths.block_tables import in_tables, units_made
from studio.maths.patch.recipe import CAUTION

COLUMNS = {"a5": 3, "a4": 5}
ROTARY_CAUTION = (
    "A rotary cutter is a bare blade: keep your fingers behind the edge of the ruler, "
    "stand to cut, and never leave it open on the table."
)
PICTURE_PX = 150


class NoSizeFits(StudioError):
    """A booklet of which no size can be cut by the marks of a ruler."""

    def __init__(self, refused: tuple[str, ...]) -> None:
        self.refused = refused
        super().__init__(refused)

    def __str__(self) -> str:
        return " ".join(self.refused)


def booklet(
    request: StudioRequest, sized: Sequence[Asked], *, paper: str, title: str
) -> HttpResponse:
    """Print the cutting table over these sizes. Raises NoSizeFits if none can be cut."""
    tables, left_out = in_tables(sized, COLUMNS[paper])
    if not tables:
        raise NoSizeFits(left_out)
    first = tables[0].sized[0]
    block = first.known.block
    context = {
        "studio": request.studio,
        "paper": paper,
        "title": title,
        "asked": first,
        "mode": MODES[first.making.cutting],
        "seam": first.ruler.show(first.ruler.seam_inches),
        "tables": tables,
        "left_out": left_out,
        "note": first.making.note,
        "picture": block_pictures.block_picture(block, PICTURE_PX),
        "swatches": block_pictures.swatches(block.roles),
        "units": block_pictures.drawn(units_made(first), block.roles),
        "cautions": (ROTARY_CAUTION, CAUTION),
    }
    filename = f"{first.known.slug}-{paper}.pdf"
    template = "studio/print/block_booklet.html"
    return printing.paper_response(request, template, context, filename, title=title)
