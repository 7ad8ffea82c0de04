"""The booklet of a project: what to cut and to buy at every size, and how it is made."""

import re
from html import unescape
from io import BytesIO

import pytest
from django.urls import reverse
from pypdf import PdfReader

from inventory.models import Design
from studio import booklets, printing
from studio.maths.patch.recipe import CAUTION
from tests.factories.inventory import ItemFactory
from tests.factories.studio import PackerFactory, WorkshopFactory
from tests.studio.pages import client_of

pytestmark = pytest.mark.django_db
# Two columns of five blocks of 8 in with a row of four of 4 in at each end make a
# runner of 48 by 16 in finished: common practice.
RUNNER = (
    "4 × sawtooth star at 4\n5 rows of 2 × sawtooth star at 8\n4 × sawtooth star at 4"
)
CUSHION = {"kind": "cushion", "block": "sawtooth-star", "across": "2", "down": "2"}


def ask(client, page="project_booklet_print", **typed):
    return client.get(reverse(f"studio:{page}"), {"as": "page", **typed})


def words_of(answer):
    html = re.sub(r"(?s)<svg.*?</svg>|<style.*?</style>", " ", answer.content.decode())
    return " ".join(unescape(re.sub(r"<[^>]+>", " ", html)).split())


@pytest.mark.parametrize("page", ["project_booklet", "project_booklet_print"])
def test_the_workshop_may_print_it_and_the_packer_is_told_kindly_not(page):
    assert ask(client_of(WorkshopFactory()), page).status_code == 200
    assert ask(client_of(PackerFactory()), page).status_code == 403


def test_the_page_asks_for_sizes_and_hands_the_project_on(at_owners):
    answer = ask(at_owners, "project_booklet", **CUSHION, size="8")

    assert "Print this project at all the sizes its block is sold in." in words_of(
        answer
    )
    html = answer.content.decode()
    assert '<input type="hidden" name="across" value="2">' in html
    assert answer.context["form"]["sizes"].value() == "8"


def test_pieces_and_cloth_stand_beside_each_other_at_every_size(at_owners):
    said = words_of(ask(at_owners, **CUSHION, sizes="4, 8"))

    # Sawtooth star, quilting books and pages: at 8 in, one square of 5¼ in and four of
    # 2⅞ in a star; four stars to the cushion.
    assert "4 in blocks: 8 in square finished; 8 in blocks: 16 in square" in said
    assert "Centre : square 4 of 2½ in 6.4 cm 4 of 4½ in 11.4 cm" in said
    assert "Ground : goose square 4 of 3¼ in 8.3 cm 4 of 5¼ in 13.3 cm" in said
    assert "Point : sky square 16 of 1⅞ in 4.8 cm 16 of 2⅞ in 7.3 cm" in said
    # By hand, on 42 in: one strip of four centres, and 1 in to straighten; sixteen
    # points of 2⅞ in are two strips. 3½ in is 8.89 cm, 6¾ in is 17.145 cm.
    assert ("Centre 3½ in 8.9 cm 0.1 m, or ⅛ yd 5½ in 14.0 cm 0.2 m, or ¼ yd") in said
    assert "6¾ in 17.2 cm 0.2 m, or ¼ yd" in said


def test_units_are_drawn_step_by_step_with_the_cautions(at_owners):
    answer = ask(at_owners, **CUSHION, sizes="8")

    said = words_of(answer)
    assert "Flying geese, four at a time" in said
    assert "<title>The flying geese, four at a time, step by step</title>" in (
        answer.content.decode()
    )
    assert booklets.ROTARY_CAUTION in said
    assert CAUTION in said


def test_a_project_of_rows_has_one_column_as_it_is_laid_out(at_owners):
    said = words_of(ask(at_owners, kind="runner", layout="rows", rows=RUNNER))

    assert "As laid out: 16 × 48 in finished." in said
    # By hand: ten stars of 8 in and eight of 4 in, a centre each.
    assert "Centre : square 10 of 4½ in" in said
    assert "Centre : square 8 of 2½ in" in said
    assert "Wadding : wadding 1 of" in said
    assert (
        "Wadding" not in said.partition("Cloth to buy")[2].partition("Lengths off")[0]
    )


def test_the_sizes_a_design_is_sold_in_are_the_columns(at_owners):
    design = Design.objects.create(code="D", name="Ringfence")
    for number, size in enumerate(("8", "4"), 1):
        ItemFactory(code=f"D-{number}", design=design, finished_size=size)

    said = words_of(ask(at_owners, **CUSHION, design=design.pk))

    assert "Cushion for Ringfence: what to cut at each size." in said
    assert "4 in blocks: 8 in square finished; 8 in blocks: 16 in square" in said


def test_a_size_that_cannot_be_cut_is_left_out_and_said_so(at_owners):
    said = words_of(ask(at_owners, **CUSHION, sizes="8, 9 1/4"))

    assert "Left out: At 9¼ in the sawtooth star needs" in said
    assert "8 in blocks: 16 in square finished." in said


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ({"sizes": ""}, "Write one finished size or more"),
        ({"sizes": "0"}, "nought"),
        ({"sizes": "9 1/4"}, "The nearest kind sizes are 9 in and 9½ in."),
        ({"sizes": "3000"}, "3000 in"),
        ({"sizes": "4 5/0"}, "4 5/0"),
        ({"sizes": ", ".join(map(str, range(1, 26)))}, "up to 24 sizes"),
        ({"sizes": "8", "across": "none"}, "none"),
    ],
)
def test_what_cannot_be_printed_is_a_sentence_and_keeps_what_was_typed(
    at_owners, typed, said
):
    answer = ask(at_owners, **{**CUSHION, **typed})

    assert "The booklet waits for sizes that can be cut." in words_of(answer)
    assert said in words_of(answer)
    form = answer.context["form"]
    assert form["sizes"].value() == typed["sizes"]
    assert dict(form.project)["across"] == typed.get("across", "2")


def test_a_cloth_wider_than_the_bolt_is_to_be_joined(at_owners):
    # A lining of 48½ in square lies on 42 in in neither way.
    asked = {**CUSHION, "kind": "bag panel", "across": "6", "down": "6", "sizes": "8"}

    said = words_of(ask(at_owners, **asked))

    assert "Lining wider than the bolt: join it" in said


@pytest.mark.skipif(not printing.pdf_available()[0], reason=printing.pdf_available()[1])
@pytest.mark.parametrize(("paper", "width_mm"), [("a5", 148), ("a4", 210)])
def test_it_is_printed_on_the_paper_that_was_chosen(at_owners, paper, width_mm):
    url = reverse("studio:project_booklet_print")

    answer = at_owners.get(url, {**CUSHION, "sizes": "4, 6, 8, 12", "paper": paper})

    assert answer.headers["Content-Type"] == "application/pdf"
    assert f"cushion-{paper}.pdf" in answer.headers["Content-Disposition"]
    pages = PdfReader(BytesIO(answer.content)).pages
    assert round(float(pages[0].mediabox.width) / 72 * 25.4) == width_mm
    words = " ".join(page.extract_text() for page in pages)
    assert "Cloth to buy" in words
