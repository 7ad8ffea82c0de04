"""The booklet of a project over the sizes of its block: asked, then printed."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_GET

from studio import booklets
from studio.access import OWNER, WORKSHOP, for_roles
from studio.project_booklet_forms import ProjectBookletForm
from studio.views.blocks import typed
from studio.views.sizes import as_studio


@for_roles(OWNER, WORKSHOP)
@require_GET
def project_booklet(request: HttpRequest) -> HttpResponse:
    """Ask for sizes and paper, or say what is wrong with them."""
    return asked_page(request, ProjectBookletForm(typed(request)))


@for_roles(OWNER, WORKSHOP)
@require_GET
def project_booklet_print(request: HttpRequest) -> HttpResponse:
    form = ProjectBookletForm(typed(request))
    if not form.is_valid():
        return asked_page(request, form)
    kind = form.sized[0][1].kind
    design = form.cleaned_data["design"]
    return booklets.project_booklet(
        as_studio(request),
        form.sized,
        paper=form.cleaned_data["paper"],
        title=f"{kind.capitalize()}{f' for {design.name}' if design else ''}",
        left_out=tuple(form.left_out),
    )


def asked_page(request: HttpRequest, form: ProjectBookletForm) -> HttpResponse:
    context = {"form": form, "room": "blocks", "is_wrong": not form.is_valid()}
    return render(request, "studio/blocks_project_booklet.html", context)
