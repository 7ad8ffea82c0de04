"""Papers: a template becomes a PDF, or a page that prints true from the browser.

One font configuration and one style sheet serve every paper of a process, because a
fresh pair for each keeps about a quarter of a megabyte of memory. They are not safe in
several threads at once, so one lock lets one paper through at a time.
"""

from __future__ import annotations

import gc
import mimetypes
import socket
import threading
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from functools import cache
from pathlib import Path, PurePosixPath
from typing import Any
from urllib.parse import unquote, urljoin, urlsplit

import segno
from django.conf import settings
from django.contrib.staticfiles import finders
from django.http import HttpRequest, HttpResponse
from django.template.loader import render_to_string
from django.utils.html import format_html
from django.utils.http import content_disposition_header
from django.utils.safestring import SafeString

from studio import computer, libraries, pdf_merging
from studio.errors import StudioError

# A name that no computer can have, so an address on paper never leaves the house.
PAPER_HOST = "http://paper.invalid"
PAPERS_AT_ONCE = 25
MOST_TAGGED = 200
QR_MARGIN_MODULES = 4

_lock = threading.Lock()


class PdfUnavailable(StudioError):
    """The libraries that draw letters are not on this computer."""

    def __init__(self, advice: str) -> None:
        self.advice = advice
        super().__init__(advice)


class FetchRefused(StudioError):
    """A paper asked for something that is not a file of the studio's own."""

    def __init__(self, url: str) -> None:
        self.url = url
        super().__init__(
            f"The paper asks for {url}, which is not one of the studio's own files. "
            "Papers fetch nothing from outside. Take it out of the paper."
        )


@dataclass(frozen=True)
class Press:
    """The printing library and what all papers share: its types are not published."""

    library: Any
    fetcher: Any
    fonts: Any
    css: Any


def static_file(url: str) -> Path:
    """Find the file on this disk behind the address of a static file.

    Raises FetchRefused for every other address, and for a path that climbs out.
    """
    prefix = urljoin(PAPER_HOST, settings.STATIC_URL)
    name = unquote(urlsplit(url).path.removeprefix(urlsplit(prefix).path))
    if not url.startswith(prefix) or ".." in PurePosixPath(name).parts:
        raise FetchRefused(url)
    collected = Path(settings.STATIC_ROOT or "") / name
    found = str(collected) if collected.is_file() else finders.find(name)
    if not found:
        raise FetchRefused(url)
    return Path(found)


def _import_library() -> Any:
    try:
        # Slow to import and optional: papers open as pages where it cannot run.
        import weasyprint  # noqa: PLC0415
    except (ImportError, OSError) as error:
        family = computer.this_computer().family
        raise PdfUnavailable(libraries.advice(libraries.PDF, family)) from error
    return weasyprint


def _static_fetcher(library: Any) -> Any:
    class StaticFetcher(library.urls.URLFetcher):  # type: ignore[misc]
        def fetch(self, url: str, headers: object = None) -> Any:
            path = static_file(url)
            kind = mimetypes.guess_type(path.name)[0] or "application/octet-stream"
            return library.urls.URLFetcherResponse(
                url, path.read_bytes(), {"Content-Type": kind}
            )

    return StaticFetcher(fail_on_errors=True)


@cache
def _press() -> Press:
    """Set up the press, once a process; call it under the lock."""
    library = _import_library()
    fetcher = _static_fetcher(library)
    fonts = library.text.fonts.FontConfiguration()
    url = urljoin(PAPER_HOST, f"{settings.STATIC_URL}studio/paper.css")
    css = library.CSS(
        string=static_file(url).read_text(encoding="utf-8"),
        base_url=url,
        url_fetcher=fetcher,
        font_config=fonts,
    )
    return Press(library, fetcher, fonts, css)


def pdf_available() -> tuple[bool, str]:
    """Say whether PDF papers can be made here, and what to type if they cannot."""
    try:
        _import_library()
    except PdfUnavailable as missing:
        return False, str(missing)
    return True, "Papers are made as PDF files."


@contextmanager
def _press_at_work() -> Iterator[Press]:
    """Hold the lock, keep the collector still, and let no refusal pass unseen.

    Laying out makes no rubbish worth a search while it runs; one sweep after each
    stack of papers saves a tenth of the time and keeps memory level.
    """
    with _lock:
        press = _press()
        was_collecting = gc.isenabled()
        gc.disable()
        try:
            yield press
        except press.library.urls.FatalURLFetchingError as stopped:
            raise stopped.__cause__ or stopped from None
        finally:
            if was_collecting:
                gc.enable()
            gc.collect()


def _lay_out(press: Press, html: str, css: str) -> Any:
    sheets = [press.css]
    if css:
        sheets.append(press.library.CSS(string=css, font_config=press.fonts))
    paper = press.library.HTML(
        string=html, base_url=PAPER_HOST, url_fetcher=press.fetcher
    )
    return paper.render(font_config=press.fonts, stylesheets=sheets)


def _stack_of_papers(
    htmls: Sequence[str], css: str, *, is_tagged: bool = True
) -> bytes:
    """Lay out several papers, each with its own page numbers, in one PDF."""
    form = {"pdf_variant": "pdf/ua-1", "pdf_tags": True} if is_tagged else {}
    with _press_at_work() as press:
        papers = [_lay_out(press, html, css) for html in htmls]
        pages = [page for paper in papers for page in paper.pages]
        pdf = papers[0].copy(pages).write_pdf(**form)
    return bytes(pdf)


def _html(
    template: str, context: Mapping[str, object], *, title: str, lang: str
) -> str:
    return render_to_string(
        template, {**context, "paper_title": title, "paper_lang": lang}
    )


def render_pdf(
    template: str,
    context: Mapping[str, object],
    *,
    title: str,
    lang: str = "en-GB",
    css: str = "",
) -> bytes:
    """Make one paper. `css` adds rules made from figures, such as a label sheet's.

    Raises PdfUnavailable, or FetchRefused when the template reaches outside.
    """
    html = _html(template, context, title=title, lang=lang)
    return _stack_of_papers([html], css)


def render_many(
    template: str,
    contexts: Sequence[Mapping[str, object]],
    *,
    title: str,
    lang: str = "en-GB",
    css: str = "",
) -> bytes:
    """Make one PDF of many papers, each numbered for itself, in level memory.

    A pile of more than `MOST_TAGGED` is for the printer alone and carries no reading
    order: joining that of a thousand papers takes most of a gigabyte.
    """
    if not contexts:
        raise StudioError("There is nothing to print. Choose at least one paper.")
    is_tagged = len(contexts) <= MOST_TAGGED
    stacks = []
    for start in range(0, len(contexts), PAPERS_AT_ONCE):
        some = contexts[start : start + PAPERS_AT_ONCE]
        htmls = [_html(template, one, title=title, lang=lang) for one in some]
        stacks.append(_stack_of_papers(htmls, css, is_tagged=is_tagged))
    return pdf_merging.merge(stacks) if is_tagged else pdf_merging.pile(stacks)


def pdf_response(pdf: bytes, filename: str) -> HttpResponse:
    disposition = content_disposition_header(False, filename)
    return HttpResponse(
        pdf,
        content_type="application/pdf",
        headers={
            "Content-Disposition": disposition or "inline",
            "Cache-Control": "no-store",
        },
    )


def page_response(
    request: HttpRequest, template: str, context: Mapping[str, object], *, why: str = ""
) -> HttpResponse:
    """Answer with the paper as a page; `why` tells the reader what is missing."""
    asked = request.GET.copy()
    asked.pop("as", None)
    page = {"as_page": True, "why_page": why, "pdf_query": asked.urlencode()}
    html = render_to_string(template, {**context, **page}, request=request)
    return HttpResponse(html, headers={"Cache-Control": "no-store"})


def paper_response(
    request: HttpRequest,
    template: str,
    context: Mapping[str, object],
    filename: str,
    *,
    title: str = "",
    css: str = "",
) -> HttpResponse:
    """Answer with the PDF, or with the page when asked `?as=page` or when it must be."""
    context = {"printed_at": getattr(request, "now", None), **context}
    title = title or Path(filename).stem
    if request.GET.get("as") == "page":
        return page_response(request, template, {**context, "paper_title": title})
    try:
        pdf = render_pdf(template, context, title=title, css=css)
    except PdfUnavailable as missing:
        return page_response(
            request, template, {**context, "paper_title": title}, why=str(missing)
        )
    return pdf_response(pdf, filename)


def lasting_address(host_name: str, path: str) -> str:
    """Return the address that a QR code on paper holds, for years if need be.

    The owner's name for this computer comes first; without one the computer's own
    name, which does not change with its number and which the studio answers to.
    """
    scheme, usual = ("https", 443) if settings.HTTPS else ("http", 80)
    host = host_name or f"{socket.gethostname()}.local"
    port = "" if usual == settings.PORT else f":{settings.PORT}"
    return f"{scheme}://{host}{port}{path}"


def qr_path(text: str) -> SafeString:
    """Draw `text` as a QR code: one path of rows, with the quiet margin of four modules.

    One rectangle a module would make a paper four times as slow. The mask is fixed,
    which the standard's readers undo whichever it is, so no search is needed.
    """
    code = segno.make(text, error="m", mask=0, micro=False, boost_error=False)
    size = code.symbol_size(border=QR_MARGIN_MODULES)[0]
    return format_html(
        '<svg class="qr" xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {0} {0}" '
        'role="img" aria-label="QR code of {1}"><path fill="#fff" d="M0 0h{0}v{0}H0z"/>'
        '<path fill="#000" d="{2}"/></svg>',
        size,
        text,
        "".join(_qr_runs([bytes(row) for row in code.matrix])),
    )


def _qr_runs(rows: Sequence[bytes]) -> Iterator[str]:
    for y, row in enumerate(rows, start=QR_MARGIN_MODULES):
        x = 0
        while x < len(row):
            start = x
            while x < len(row) and row[x] == row[start]:
                x += 1
            if row[start]:
                across = x - start
                yield f"M{start + QR_MARGIN_MODULES} {y}h{across}v1h-{across}z"
