"""Files of one sheet: SVG and DXF for the cutter, and a proof at true size on paper."""

from __future__ import annotations

from collections.abc import Callable

from django.http import Http404, HttpResponse
from django.utils.http import content_disposition_header
from django.utils.text import slugify

from studio import sheet_files, sheet_proofs
from studio.access import StudioRequest
from studio.maths.sheets.drawn import SheetDrawing
from studio.maths.sheets.keeping import KeptSheet
from studio.printing import paper_response

PROOF = "proof"
_WRITERS: dict[str, tuple[str, Callable[[SheetDrawing], str]]] = {
    "svg": ("image/svg+xml", sheet_files.svg_file),
    "dxf": ("application/dxf", sheet_files.dxf_file),
}


def file_of(
    request: StudioRequest, kept: KeptSheet, kind: str, title: str
) -> HttpResponse:
    """Answer with one sheet as a file. Raises DxfUnavailable."""
    drawing = kept.drawing(title)
    name = slugify(title) or "sheet"
    if kind == PROOF:
        context = sheet_proofs.proof_context(drawing, saw=kept.saw)
        context["studio"] = request.studio
        return paper_response(
            request,
            sheet_proofs.TEMPLATE,
            context,
            f"{name}-proof.pdf",
            title=f"Proof: {title}",
        )
    if kind not in _WRITERS:
        raise Http404(kind)
    content_type, write = _WRITERS[kind]
    disposition = content_disposition_header(True, f"{name}.{kind}")
    return HttpResponse(
        write(drawing),
        content_type=f"{content_type}; charset=utf-8",
        headers={
            "Content-Disposition": disposition or "attachment",
            "Cache-Control": "no-store",
        },
    )
