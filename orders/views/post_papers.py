"""The papers of a run, each as a PDF or as a page that prints true."""

from __future__ import annotations

from collections.abc import Callable
from urllib.parse import urlencode

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.views.decorators.http import require_GET

from orders.exports import post_run_csv
from orders.models import Packet, PostRun
from orders.post_forms import LABEL_DEFAULTS, LabelsForm
from orders.prints import labels as label_paper
from orders.prints import pick_list, run_list, slips
from studio import printing
from studio.access import OWNER, PACKER, StudioRequest, for_roles
from studio.errors import StudioError

Context = dict[str, object]


def chosen(request: StudioRequest, run: PostRun) -> list[Packet]:
    """Return the packets asked for: all, from a number on, one, or those to pack."""
    packets = run.packets.exclude(state=Packet.State.UNDONE)
    first, one = request.GET.get("from", ""), request.GET.get("packet", "")
    if first.isdecimal():
        packets = packets.filter(number__gte=int(first))
    if one.isdecimal():
        packets = packets.filter(number=int(one))
    if request.GET.get("only") == "to-pack":
        packets = packets.filter(state=Packet.State.TO_PACK)
    return list(packets)


def choice_words(request: StudioRequest) -> str:
    """Repeat the choice of packets in the address of each paper."""
    names = ("from", "packet", "only")
    kept = {name: request.GET[name] for name in names if request.GET.get(name)}
    return urlencode(kept)


@for_roles(OWNER, PACKER)
@require_GET
def papers(request: StudioRequest, run_id: int) -> HttpResponse:
    return papers_page(request, get_object_or_404(PostRun, pk=run_id))


def papers_page(
    request: StudioRequest, run: PostRun, form: LabelsForm | None = None
) -> HttpResponse:
    packets = chosen(request, run)
    context = {
        "run": run,
        "packets": packets,
        "choice": choice_words(request),
        "is_part": len(packets) < run.packets.exclude(state="undone").count(),
        "form": form or LabelsForm(initial=LABEL_DEFAULTS),
        "pdf": printing.pdf_available(),
        "kept": [(n, request.GET[n]) for n in ("from", "only") if request.GET.get(n)],
    }
    return render(request, "orders/post_papers.html", context)


def nothing_to_print(request: StudioRequest, run: PostRun) -> HttpResponse:
    messages.error(request, "There is no packet to print here. Choose others, please.")
    return redirect("orders:post_run", run_id=run.pk)


@for_roles(OWNER, PACKER)
@require_GET
def slips_paper(request: StudioRequest, run_id: int) -> HttpResponse:
    run = get_object_or_404(PostRun, pk=run_id)
    packets = chosen(request, run)
    if not packets:
        return nothing_to_print(request, run)
    size: slips.SlipSize = "a4" if request.GET.get("size") == "a4" else "a5"
    as_page = request.GET.get("as") == "page"
    try:
        if not as_page:
            pdf = slips.packing_slips_pdf(packets, request.now, size=size)
            return printing.pdf_response(pdf, f"slips-{run.day}.pdf")
        why = ""
    except printing.PdfUnavailable as missing:
        why = str(missing)
    context = slips.page_context(packets, request.now, size=size)
    return printing.page_response(request, slips.TEMPLATES[size], context, why=why)


def one_paper(
    request: StudioRequest,
    run_id: int,
    template: str,
    context_of: Callable[..., Context],
    name: str,
) -> HttpResponse:
    run = get_object_or_404(PostRun, pk=run_id)
    packets = chosen(request, run)
    if not packets:
        return nothing_to_print(request, run)
    context = context_of(packets, request.now)
    filename = f"{name.lower().replace(' ', '-')}-{run.day}.pdf"
    return printing.paper_response(request, template, context, filename, title=name)


@for_roles(OWNER, PACKER)
@require_GET
def pick(request: StudioRequest, run_id: int) -> HttpResponse:
    context_of = pick_list.pick_list_context
    return one_paper(request, run_id, pick_list.TEMPLATE, context_of, "Pick list")


@for_roles(OWNER, PACKER)
@require_GET
def run_paper(request: StudioRequest, run_id: int) -> HttpResponse:
    context_of = run_list.run_context
    return one_paper(request, run_id, run_list.TEMPLATE, context_of, "Post run")


@for_roles(OWNER, PACKER)
@require_GET
def labels(request: StudioRequest, run_id: int) -> HttpResponse:
    run = get_object_or_404(PostRun, pk=run_id)
    packets = chosen(request, run)
    form = LabelsForm({**LABEL_DEFAULTS, **request.GET.dict()})
    if not packets:
        return nothing_to_print(request, run)
    if not form.is_valid():
        return papers_page(request, run, form)
    try:
        context = label_paper.labels_context(packets, request.now, form.choice)
    except StudioError as refused:
        form.add_error("sheet", str(refused))
        return papers_page(request, run, form)
    css_url = f"{reverse('orders:post_labels_css')}?{request.GET.urlencode()}"
    return printing.paper_response(
        request,
        label_paper.TEMPLATE,
        {**context, "labels_css_url": css_url},
        f"labels-{run.day}.pdf",
        title="Address labels",
        css=form.choice.css,
    )


@for_roles(OWNER, PACKER)
@require_GET
def labels_css(request: StudioRequest) -> HttpResponse:
    """Answer with the places of the labels, for the page that is printed."""
    form = LabelsForm({**LABEL_DEFAULTS, **request.GET.dict()})
    if not form.is_valid():
        return HttpResponse(content_type="text/css", status=400)
    return HttpResponse(form.choice.css, content_type="text/css")


@for_roles(OWNER, PACKER)
@require_GET
def run_csv(request: StudioRequest, run_id: int) -> HttpResponse:
    run = get_object_or_404(PostRun, pk=run_id)
    name = f'attachment; filename="post-run-{run.day}.csv"'
    return HttpResponse(
        post_run_csv(run),
        content_type="text/csv; charset=utf-8",
        headers={"Content-Disposition": name},
    )
