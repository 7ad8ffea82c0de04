"""Papers come out tagged, whole, true to size, and without asking the outside."""

import copy
import gc
import re
import sys
import threading
import time
from io import BytesIO

import pytest
from django.test import RequestFactory
from pypdf import PdfReader

from studio import computer, label_sheets, libraries, printing
from studio.errors import StudioError
from studio.printing import FetchRefused
from tests.conftest import MORNING

needs_press = pytest.mark.skipif(
    not printing.pdf_available()[0], reason=printing.pdf_available()[1]
)

SLIP = """{% extends "paper.html" %}
{% block size %}a5{% endblock size %}
{% block reference %}Order {{ number }}{% endblock reference %}
{% block content %}<h1>Two sets for {{ name }}.</h1>
<table><thead><tr><th>What</th><th>Where</th></tr></thead><tbody>
{% for row in rows %}<tr><td>Ringfence set, 3⅞″</td><td>Drawer {{ row }}</td></tr>
{% endfor %}</tbody></table>{% endblock content %}
"""


@pytest.fixture
def template(settings, tmp_path):
    """Write a template to a folder of the test's own and give its name."""
    templates = copy.deepcopy(settings.TEMPLATES)
    templates[0]["DIRS"].append(tmp_path)
    settings.TEMPLATES = templates
    settings.STORAGES = {
        **settings.STORAGES,
        "staticfiles": {
            "BACKEND": "django.contrib.staticfiles.storage.StaticFilesStorage"
        },
    }

    def write(text):
        # Django keeps a template it has read, so each text has a name of its own.
        name = f"made_for_a_test_{len(list(tmp_path.iterdir()))}.html"
        (tmp_path / name).write_text(text, encoding="utf-8")
        return name

    return write


def slip(number="L-0433", rows=2):
    return {
        "number": number,
        "name": "Wendeline Garrowby",
        "rows": range(1, rows + 1),
        "printed_at": MORNING,
    }


def read(pdf):
    return PdfReader(BytesIO(pdf))


def texts(pdf):
    return [page.extract_text() for page in read(pdf).pages]


def size_in_mm(page):
    points = (float(page.mediabox.width), float(page.mediabox.height))
    return tuple(round(length * 25.4 / 72, 1) for length in points)


def elements(element, kind):
    """Walk the structure tree for elements of one kind."""
    element = element.get_object()
    if isinstance(element, int):
        return []
    kids = element.get("/K", [])
    kids = kids.get_object() if hasattr(kids, "get_object") else kids
    below = [
        found
        for kid in (kids if isinstance(kids, list) else [kids])
        for found in elements(kid, kind)
    ]
    return [element, *below] if element.get("/S") == kind else below


# Source of the keys: ISO 14289-1 (PDF/UA-1), 7.1 and 7.2.
@needs_press
def test_a_paper_says_its_title_its_language_and_its_reading_order(template):
    pdf = printing.render_pdf(template(SLIP), slip(), title="Order L-0433")

    root = read(pdf).trailer["/Root"]
    assert read(pdf).metadata.title == "Order L-0433"
    assert root["/Lang"] == "en-GB"
    assert root["/MarkInfo"]["/Marked"]
    assert root["/ViewerPreferences"]["/DisplayDocTitle"]
    assert len(elements(root["/StructTreeRoot"], "/H1")) == 1
    assert len(elements(root["/StructTreeRoot"], "/TR")) == 3


@needs_press
def test_each_sheet_says_whose_it_is_when_it_was_printed_and_how_many_there_are(
    template,
):
    pdf = printing.render_pdf(template(SLIP), slip(rows=60), title="Order L-0433")

    sheets = texts(pdf)
    assert len(sheets) > 1
    for number, sheet in enumerate(sheets, start=1):
        assert "Order L-0433" in sheet
        assert "Printed Wed 3 March, 08:30." in sheet
        assert f"Page {number} of {len(sheets)}" in sheet
        assert "Where" in sheet


# Source: ISO 216, A4 210 × 297 mm and A5 148 × 210 mm.
@needs_press
@pytest.mark.parametrize(("size", "mm"), [("a4", (210, 297)), ("a5", (148, 210))])
def test_a_paper_has_its_true_size(template, size, mm):
    text = SLIP.replace("%}a5{%", f"%}}{size}{{%")

    pdf = printing.render_pdf(template(text), slip(), title="Order L-0433")

    assert size_in_mm(read(pdf).pages[0]) == mm


@needs_press
def test_a_paper_uses_the_studios_own_letters(template):
    pdf = printing.render_pdf(template(SLIP), slip(), title="Order L-0433")

    fonts = read(pdf).pages[0]["/Resources"]["/Font"].values()
    names = {font.get_object()["/BaseFont"].split("+")[-1] for font in fonts}
    assert names == {"Paper-Sans", "Paper-Sans-Bold"}
    assert "3⅞″" in texts(pdf)[0]


@needs_press
@pytest.mark.parametrize(
    "asked",
    [
        '<img src="http://example.com/logo.png" alt="">',
        '<img src="file:///etc/hostname" alt="">',
        '<img src="/static/../studio/settings.py" alt="">',
        '<img src="/static/%2e%2e/studio/settings.py" alt="">',
        '<img src="/somewhere/else.svg" alt="">',
        '<img src="/static/studio/no_such_file.svg" alt="">',
        '<link rel="stylesheet" href="https://example.com/a.css">',
    ],
)
def test_a_paper_that_asks_for_anything_outside_is_refused(template, asked):
    text = SLIP.replace("<h1>", f"{asked}<h1>")

    with pytest.raises(FetchRefused, match="fetch nothing from outside"):
        printing.render_pdf(template(text), slip(), title="Order L-0433")


@needs_press
def test_a_paper_may_show_the_studios_own_mark(template):
    text = SLIP.replace("<h1>", '<img src="/static/studio/mark.svg" alt="Mark"><h1>')

    with_mark = printing.render_pdf(template(text), slip(), title="Order L-0433")

    tree = read(with_mark).trailer["/Root"]["/StructTreeRoot"]
    assert [figure["/Alt"] for figure in elements(tree, "/Figure")] == ["Mark"]


@needs_press
def test_the_same_paper_twice_is_the_same_to_the_byte(template):
    name = template(SLIP)

    first = printing.render_pdf(name, slip(), title="Order L-0433")
    second = printing.render_pdf(name, slip(), title="Order L-0433")
    other = printing.render_pdf(name, slip("L-0434"), title="Order L-0433")

    assert first == second
    assert first != other


@needs_press
def test_many_papers_keep_their_order_their_numbers_and_their_tags(template):
    count = printing.PAPERS_AT_ONCE + 2
    slips = [slip(f"L-{number:04}") for number in range(1, count + 1)]

    pdf = printing.render_many(template(SLIP), slips, title="Today's packets")

    pages = read(pdf).pages
    orders = [re.search(r"Order (L-\d+)", text)[1] for text in texts(pdf)]
    assert orders == [f"L-{number:04}" for number in range(1, count + 1)]
    assert all("Page 1 of 1" in text for text in texts(pdf))
    assert read(pdf).metadata.title == "Today's packets"
    tree = read(pdf).trailer["/Root"]["/StructTreeRoot"]
    heads = elements(tree, "/H1")
    assert [head["/Pg"]["/StructParents"] for head in heads] == list(range(count))
    assert [page["/StructParents"] for page in pages] == list(range(count))


@needs_press
def test_a_long_pile_keeps_its_order_and_title_and_carries_no_tags(
    template, monkeypatch
):
    monkeypatch.setattr(printing, "MOST_TAGGED", 3)
    monkeypatch.setattr(printing, "PAPERS_AT_ONCE", 2)
    slips = [slip(f"L-{number:04}") for number in range(1, 6)]

    pdf = printing.render_many(template(SLIP), slips, title="Today's packets")

    orders = [re.search(r"Order (L-\d+)", text)[1] for text in texts(pdf)]
    assert orders == [f"L-{number:04}" for number in range(1, 6)]
    assert read(pdf).metadata.title == "Today's packets"
    assert read(pdf).trailer["/Root"]["/Lang"] == "en-GB"
    assert "/StructTreeRoot" not in read(pdf).trailer["/Root"]


# Source: ISO 32000-1, 14.7.4.4: entry n of the tree of parents lists the elements
# whose content lies on the page with StructParents n.
@needs_press
def test_the_tags_of_joined_papers_point_to_their_own_page(template):
    slips = [slip(f"L-{n:04}") for n in range(printing.PAPERS_AT_ONCE + 2)]

    pdf = printing.render_many(template(SLIP), slips, title="Today's packets")

    numbers = read(pdf).trailer["/Root"]["/StructTreeRoot"]["/ParentTree"]["/Nums"]
    assert list(numbers[::2]) == list(range(len(slips)))
    for number, owners in zip(numbers[::2], numbers[1::2], strict=True):
        pages = {owner["/Pg"]["/StructParents"] for owner in owners.get_object()}
        assert pages == {number}


def test_printing_nothing_is_refused_with_what_to_do():
    with pytest.raises(StudioError, match="Choose at least one paper"):
        printing.render_many("paper.html", [], title="Nothing")


@needs_press
def test_one_paper_at_a_time_goes_through_the_press(template, monkeypatch):
    name = template(SLIP)
    inside, most = [], []
    really = printing._lay_out

    def watched(press, html, css):
        inside.append(1)
        most.append(len(inside))
        time.sleep(0.02)
        paper = really(press, html, css)
        inside.pop()
        return paper

    monkeypatch.setattr(printing, "_lay_out", watched)
    done = []

    def press():
        done.append(printing.render_pdf(name, slip(), title="Order L-0433"))

    threads = [threading.Thread(target=press) for _ in range(4)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join(timeout=60)

    assert len(set(done)) == 1
    assert most == [1, 1, 1, 1]


@needs_press
def test_the_collector_works_again_after_a_paper_and_after_a_refusal(template):
    text = SLIP.replace("<h1>", '<img src="http://example.com/a.png" alt=""><h1>')

    printing.render_pdf(template(SLIP), slip(), title="Order L-0433")
    after_paper = gc.isenabled()
    with pytest.raises(FetchRefused):
        printing.render_pdf(template(text), slip(), title="Order L-0433")

    assert (after_paper, gc.isenabled()) == (True, True)


# 3 mm inside label 21 of the 3 × 7 sheet, which begins at 139.25 mm (open label data).
@needs_press
def test_a_label_is_printed_in_its_own_place(template):
    text = (
        '{% extends "paper_labels.html" %}'
        "{% block label %}<p>{{ label }}</p>{% endblock label %}"
    )
    sheet = label_sheets.KNOWN_SHEETS["3x7"]
    slots = label_sheets.lay_out(sheet, ["Ringfence"], first_free=21)

    pdf = printing.render_pdf(
        template(text),
        {"label_sheets": slots},
        title="Labels",
        css=label_sheets.stylesheet(sheet),
    )

    found = []
    [page] = read(pdf).pages
    page.extract_text(
        visitor_text=lambda text, user, text_matrix, font, size: (
            found.append(round((user[0] * text_matrix[4] + user[4]) * 25.4 / 72, 2))
            if "Ringfence" in text
            else None
        )
    )
    assert size_in_mm(page) == (210, 297)
    assert found == [pytest.approx(142.25, abs=0.02)]


@pytest.fixture
def without_libraries(monkeypatch):
    """Take the press away, as on a computer without the libraries."""
    monkeypatch.setitem(sys.modules, "weasyprint", None)
    printing._press.cache_clear()
    yield
    printing._press.cache_clear()


def test_without_the_libraries_the_paper_opens_as_a_page_and_says_what_to_type(
    template, without_libraries
):
    request = RequestFactory().get("/orders/L-0433/slip.pdf")
    advice = libraries.advice(libraries.PDF, computer.this_computer().family)

    answer = printing.paper_response(request, template(SLIP), slip(), "L-0433.pdf")

    page = answer.content.decode()
    assert printing.pdf_available() == (False, advice)
    assert answer["Content-Type"] == "text/html; charset=utf-8"
    assert advice.splitlines()[0] in page
    assert "<h1>Two sets for Wendeline Garrowby.</h1>" in page
    assert "Order L-0433" in page
    assert "Printed Wed 3 March, 08:30." in page


@needs_press
def test_a_paper_is_answered_as_a_file_with_a_name(template):
    request = RequestFactory().get("/orders/L-0433/slip.pdf")

    answer = printing.paper_response(request, template(SLIP), slip(), "L-0433.pdf")

    assert answer["Content-Type"] == "application/pdf"
    assert answer["Content-Disposition"] == 'inline; filename="L-0433.pdf"'
    assert answer["Cache-Control"] == "no-store"
    assert read(answer.content).metadata.title == "L-0433"


@needs_press
def test_a_paper_asked_for_as_a_page_is_a_page(template):
    request = RequestFactory().get("/orders/L-0433/slip.pdf?as=page")

    answer = printing.paper_response(
        request, template(SLIP), slip(), "L-0433.pdf", title="Order L-0433"
    )

    page = answer.content.decode()
    assert "<title>Order L-0433</title>" in page
    assert "Print this page from the browser at 100 %" in page
