"""Projects: cushion to quilt, from blocks or rows of units, with all that is cut.

Everything is asked in the address and nothing is kept, so that a project can be sent on
or come back to.
"""

from __future__ import annotations

from urllib.parse import urlencode

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_GET

from studio import block_pictures, booklets, printing
from studio.access import OWNER, WORKSHOP, for_roles
from studio.maths import project_tables
from studio.maths.block_asking import MODES
from studio.maths.cutting_plan_reading import write_pieces
from studio.maths.patch.recipe import CAUTION
from studio.maths.project_tables import Planned
from studio.project_forms import ProjectForm
from studio.views import cloth
from studio.views.blocks import KindSize, typed
from studio.views.sizes import as_studio

PAGE_PX = 420
PAPER_PX = 360
ROOM_IN_AN_ADDRESS = 6000


@for_roles(OWNER, WORKSHOP)
@require_GET
def projects(request: HttpRequest) -> HttpResponse:
    form = ProjectForm(typed(request))
    context: dict[str, object] = {"form": form, "room": "blocks"}
    if form.is_valid() and form.planned:
        context |= worked_out(form.planned, PAGE_PX)
        context |= {"query": urlencode(typed(request)), **ways_on(form.planned)}
    else:
        context["kind_sizes"] = kind_sizes(form, request)
    return render(request, "studio/blocks_projects.html", context)


@for_roles(OWNER, WORKSHOP)
@require_GET
def projects_print(request: HttpRequest) -> HttpResponse:
    """Print the project, or say on its page what is wrong with it."""
    form = ProjectForm(typed(request))
    if not form.is_valid() or form.planned is None:
        return projects(request)
    planned = form.planned
    title = f"{planned.kind.capitalize()}, {planned.size}"
    context = worked_out(planned, PAPER_PX) | {
        "studio": as_studio(request).studio,
        "title": title,
    }
    name = f"{'-'.join(planned.kind.split())}.pdf"
    template = "studio/print/block_project.html"
    return printing.paper_response(
        as_studio(request), template, context, name, title=title
    )


def worked_out(planned: Planned, size_px: int) -> dict[str, object]:
    """Give all that is worked out of a project."""
    return {
        "planned": planned,
        "mode": MODES[planned.making.cutting],
        "seam": planned.ruler.show(planned.ruler.seam_inches),
        "note": planned.making.note,
        "picture": block_pictures.panel_picture(planned, size_px),
        "counted": project_tables.counted(planned),
        "units": project_tables.units_to_sew(planned),
        "roles": project_tables.cut_by_cloth(planned),
        "finishing": project_tables.finishing_words(planned),
        "cautions": (booklets.ROTARY_CAUTION, CAUTION),
    }


def ways_on(planned: Planned) -> dict[str, str]:
    """Give what goes on from here to cloth and bundles, if an address holds it."""
    title = f"{planned.kind.capitalize()}, {planned.size}"
    cloth_url = cloth.address_of(planned.cloth_list(), title)
    if len(cloth_url) > ROOM_IN_AN_ADDRESS:
        return {}
    kit = write_pieces(planned.panel_list())
    return {
        "cloth_url": cloth_url,
        "bundles_query": urlencode({"pieces": kit, "title": title}),
    }


def kind_sizes(form: ProjectForm, request: HttpRequest) -> list[KindSize]:
    """Give the nearest sizes that can be cut by the ruler, each as a link."""
    if form.unkind is None or form.unkind_box == "rows":
        return []
    sizes = [form.unkind.ruler.show(inches) for inches in form.unkind.kind_inches]
    asked = typed(request)
    box = form.unkind_box
    return [KindSize(size, urlencode({**asked, box: size})) for size in sizes]
