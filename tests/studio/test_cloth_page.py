"""The cutting plan's page: what is asked, what is answered, and what is printed."""

import re
from fractions import Fraction
from html import unescape
from io import BytesIO
from urllib.parse import parse_qs, urlsplit

import pytest
from django.urls import reverse
from pypdf import PdfReader

from inventory.models import BundleContents
from studio import cloth_plans, plan_papers, printing
from studio.maths.cloth import Bolt
from studio.maths.cutting_list import CutPiece
from studio.maths.cutting_plan import CAUTION
from studio.maths.cutting_units import Wanted
from studio.views.cloth import address_of
from tests.factories.inventory import ItemFactory
from tests.factories.studio import PackerFactory, WorkshopFactory
from tests.studio.pages import client_of

pytestmark = pytest.mark.django_db
# Inches and centimetres together: nothing but the area is proven of such a list.
NEVER_PROVEN = "A, 4 5/8, 4 5/8, 9\nB, 11.75 cm, 3/7, 2"


@pytest.fixture(autouse=True)
def nothing_kept():
    cloth_plans.forget()
    yield
    cloth_plans.forget()


def bundle(form="fat-quarter", count=5, prints=5):
    item = ItemFactory(code="FB-09", name="Rook Parliament", kind="bundle")
    return BundleContents.objects.create(
        item=item, form=form, count=count, prints=prints
    )


def plan(client, page="cloth", **typed):
    return client.get(reverse(f"studio:{page}"), typed)


def words_of(answer):
    html = re.sub(r"(?s)<svg.*?</svg>|<style.*?</style>", " ", answer.content.decode())
    return " ".join(unescape(re.sub(r"<[^>]+>", " ", html)).split())


def box_of(answer, name):
    return answer.context["form"][name].value()


# ------------------------------------------------------------ who, and what is asked


def test_the_page_asks_before_anything_is_worked_out(at_owners):
    answer = plan(at_owners)

    assert "Say what is to be cut, and from which cloth." in words_of(answer)
    assert "Nothing is worked out yet" not in words_of(answer)
    assert [box_of(answer, name) for name in ("width", "straighten")] == ["42", "1"]


@pytest.mark.parametrize("page", ["cloth", "cloth_print"])
def test_the_workshop_may_plan_and_the_packer_is_told_kindly_not(page):
    asked = {"pieces": "A, 4, 4, 9", "as": "page"}

    assert plan(client_of(WorkshopFactory()), page, **asked).status_code == 200
    assert plan(client_of(PackerFactory()), page, **asked).status_code == 403


# ------------------------------------------------------------ answers


def test_a_block_at_a_size_is_planned_by_role_with_lengths_to_ask_for(at_owners):
    answer = plan(at_owners, block="sawtooth-star", size="8", number="12")

    said = words_of(answer)
    # By hand, on 42 in: centres of 4½, 9 to a strip, 2 strips; points of 2⅞, 14 to a
    # strip, 4 strips; 1 in to straighten. 10 in is 25.4 cm, 12½ in is 31.75 cm.
    assert "12 × sawtooth star, 8 in square finished: how to cut it" in said
    assert "Centre 10 in 25.4 cm Least possible 0.3 m, or ⅜ yd" in said
    assert "Point 12½ in 31.8 cm Least possible 0.4 m, or ⅜ yd" in said
    assert "First cut the end of the cloth straight. That may take 1 in." in said
    assert "square,4 1/2,4 1/2,12,centre,yes" in box_of(answer, "pieces")


def test_cuts_stand_in_order_beside_a_drawing_with_the_caution(at_owners):
    answer = plan(at_owners, pieces="Sky, 2 7/8, 2 7/8, 48, point", straighten="0")

    said, html = words_of(answer), answer.content.decode()
    assert "1–4 4 strips of 2⅞ in, cut across." in said
    assert "5–52 48 cross-cuts at 2⅞ in, from 4 strips of 2⅞ in." in said
    assert "Keep: 1 of 24¾ × 2⅞ in." in said
    assert CAUTION in said
    assert html.count("<title>Cutting plan</title>") == 1
    assert "Go on for" not in said


@pytest.mark.parametrize(
    ("cut_from", "takes"),
    [
        ("fat-quarter", "2 fat quarters"),
        ("fat-eighth", "4 fat eighths"),
        ("10-in-square", "6 10 in squares"),
    ],
)
def test_pieces_come_from_pre_cut_cloth(at_owners, cut_from, takes):
    # By hand: squares of 4⅝ in, 12 to a fat quarter, 4 in one row to a fat eighth,
    # and 4 to a square of 10 in.
    count = "16" if cut_from == "fat-eighth" else "24"

    answer = plan(at_owners, pieces=f"A, 4 5/8, 4 5/8, {count}", cut_from=cut_from)

    assert f"All of it {takes} Least possible" in words_of(answer)


def test_a_bundle_in_the_book_says_how_many_bundles_and_what_stays_whole(at_owners):
    bundle()

    answer = plan(at_owners, pieces="A, 4 5/8, 4 5/8, 24", cut_from="bundle-FB-09")

    assert "1 bundle of FB-09 is needed; 3 fat quarters stay whole." in words_of(answer)


def test_a_bundle_that_is_written_down_with_no_prints_is_a_sentence(at_owners):
    bundle(prints=0)

    answer = plan(at_owners, pieces="A, 4, 4, 9", cut_from="bundle-FB-09")

    assert "FB-09 is written down with 5 pieces in 0 prints." in words_of(answer)
    assert box_of(answer, "pieces") == "A, 4, 4, 9"


@pytest.mark.parametrize("page", ["cloth", "cloth_print"])
def test_what_a_pre_cut_piece_cannot_give_is_left_out_and_said(at_owners, page):
    """A top from fat quarters, its backing from the bolt: common practice."""
    asked = {"pieces": "A, 4, 4, 9, top\nB, 40, 24, 2, backing", "as": "page"}

    words = words_of(plan(at_owners, page, cut_from="fat-quarter", **asked))

    assert "This takes 1 of: fat quarter, 18 × 21 in." in words
    assert "Backing: “B” is 40 × 24 in, which does not fit on cloth of" in words


def test_a_cloth_that_is_on_no_list_is_asked_for_again(at_owners):
    answer = plan(at_owners, pieces="A, 4, 4, 9", cut_from="bundle-FB-99")

    assert "Choose a cloth from the list." in words_of(answer)


def test_where_nothing_comes_from_a_pre_cut_piece_nothing_is_planned(at_owners):
    asked = {"pieces": "A, 40, 24, 9, top\nB, 40, 24, 2, backing"}

    answer = plan(at_owners, cut_from="fat-quarter", **asked)

    assert "Nothing is worked out yet." in words_of(answer)
    assert "“A” is 40 × 24 in" in " ".join(answer.context["form"].errors["pieces"])


def test_a_piece_that_no_cloth_gives_is_not_only_left_out(at_owners):
    asked = {"pieces": "A, 4, 4, 9, top\nB, 3000, 24, 2, backing"}

    answer = plan(at_owners, cut_from="fat-quarter", **asked)

    assert "A piece is 360 in at most" in " ".join(
        answer.context["form"].errors["pieces"]
    )


def test_a_print_that_runs_one_way_is_not_turned(at_owners):
    asked = {"pieces": "Leaf, 4, 20, 2", "straighten": "0"}

    free = plan(at_owners, **asked)
    one_way = plan(at_owners, **asked, one_way="on")

    # By hand: turned, both lie beside each other in a strip of 4 in.
    assert "This takes 4 in off a bolt" in words_of(free)
    assert "This takes 20 in off a bolt" in words_of(one_way)


# ------------------------------------------------------------ going on


def test_an_answer_that_is_not_proven_says_so_and_offers_to_go_on(at_owners):
    first = plan(at_owners, pieces=NEVER_PROVEN)
    last = plan(at_owners, pieces=NEVER_PROVEN, seconds="60")

    assert "over the least possible" in words_of(first)
    html = first.content.decode()
    assert [f"Go on for {n} seconds" in html for n in (10, 60)] == [True, True]
    assert "seconds=10" in html
    assert "Go on for" not in words_of(last)


def test_a_longer_look_is_kept_and_never_made_worse():
    wanted = [Wanted(CutPiece("A", "", 9, Fraction(37, 8), Fraction(1175, 254)))]
    asked = {"": wanted}

    long = cloth_plans.plans_for(asked, Bolt(), stages="2N", seconds=0.5)
    short = cloth_plans.plans_for(asked, Bolt(), stages="2N", seconds=0.1)
    again = cloth_plans.plans_for(asked, Bolt(), stages="3N", seconds=0.1)

    assert short[""] is long[""]
    assert again[""] is not long[""]


# ------------------------------------------------------------ what cannot be


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ({"pieces": ""}, "Write one piece or more, such as: centre, 4 1/2"),
        ({"pieces": "A, 4 5/0, 4, 1"}, "Line 1, “A”: the width cannot be read."),
        ({"pieces": "A, 4.5.1, 4, 1"}, "Line 1, “A”: the width cannot be read."),
        ({"pieces": "A, 0, 4, 1"}, "Line 1, “A”: the width is nought."),
        ({"pieces": "A, 3000, 4, 1"}, "“A” is 3000 in long."),
        ({"pieces": "A, 43, 43, 1"}, "does not fit on cloth of 42 in across"),
        ({"pieces": "A, 4, 4, 5000\nB, 4, 4, 5000"}, "asks for 10000 pieces"),
        ({"pieces": "A, 4, 4, 1", "width": "wide"}, "The width of the bolt cannot"),
        ({"pieces": "A, 4, 4, 1", "straighten": "40"}, "Write 0 to 9 in."),
        ({"pieces": "A, 4, 4, 1", "cut_from": "size", "size": "18"}, "such as 18x21"),
        ({"pieces": "A, 4, 4, 1", "seconds": "999"}, "is no number of seconds"),
        ({"pieces": "A" * 20_001}, "Part it, or plan it from the keyboard"),
    ],
)
def test_what_cannot_be_planned_is_a_sentence_and_keeps_what_was_typed(
    at_owners, typed, said
):
    for page in ("cloth", "cloth_print"):
        answer = plan(at_owners, page, **typed)

        assert said in words_of(answer)
        assert box_of(answer, "pieces") == typed["pieces"]


def test_a_block_that_cannot_be_cut_at_a_size_says_why(at_owners):
    answer = plan(at_owners, block="sawtooth-star", size="9 1/4")

    assert "The block cannot be cut so." in words_of(answer)
    assert "9¼ in" in words_of(answer)


def test_a_block_that_nobody_knows_is_not_found(at_owners):
    assert plan(at_owners, block="garden-gate").status_code == 404


def test_names_are_shown_as_they_are_typed(at_owners):
    answer = plan(at_owners, pieces="<b>A</b>, 4, 4, 9, <i>dark</i>")

    html = answer.content.decode()
    assert "<b>A</b>" not in html
    assert "&lt;b&gt;A&lt;/b&gt;: 9 of 4 × 4 in" in html
    assert "<i>dark</i>" not in html.lower()


# ------------------------------------------------------------ from other pages, to paper


def test_another_page_leads_here_with_its_own_list(at_owners):
    pieces = [
        CutPiece("sash, long", "sashing", 3, Fraction(77, 2), Fraction(5, 2)),
        CutPiece("square", "dark", 4, Fraction(1175, 254), Fraction(1175, 254)),
    ]

    address = address_of(pieces, "Table mat")

    query = parse_qs(urlsplit(address).query)
    assert query["pieces"] == [
        'name,width,height,count,cloth,turn\n"sash, long",38 1/2,2 1/2,3,sashing,yes\n'
        "square,117.5 mm,117.5 mm,4,dark,yes\n"
    ]
    said = words_of(at_owners.get(address))
    assert "Table mat: how to cut it from the least cloth." in said
    assert "A sash, long: 3 of 38½ × 2½ in" in said


def test_the_plan_as_a_page_prints_the_caution_and_the_scale(at_owners):
    answer = plan(
        at_owners,
        "cloth_print",
        **{"pieces": "Sky, 2 7/8, 2 7/8, 48, point", "as": "page", "title": "Sky"},
    )

    said = words_of(answer)
    assert "Drawn at 1 : 6." in said
    assert plan_papers.BLADE in said
    assert CAUTION in said


def test_the_page_of_a_paper_leads_back_to_what_was_asked_as_a_pdf(at_owners):
    asked = {"pieces": "Sky, 2 7/8, 2 7/8, 48", "cut_from": "fat-quarter"}

    html = plan(at_owners, "cloth_print", **asked, **{"as": "page"}).content.decode()

    [query] = re.findall(r'<a href="\?([^"]*)">Open it as a PDF', html)
    assert parse_qs(unescape(query)) == {name: [said] for name, said in asked.items()}


def test_a_list_can_be_asked_of_the_bundles_too(at_owners):
    bundle()

    answer = plan(at_owners, pieces="A, 4 5/8, 4 5/8, 24", title="Mat")

    [address] = re.findall(r'href="(/blocks/bundles/\?[^"]+)"', answer.content.decode())
    said = words_of(at_owners.get(unescape(address)))
    # By hand: 24 squares are two fat quarters of twelve, so two kits from five.
    assert "Mat, closer" in said
    assert "Fat quarters × 5, 5 prints 0 2 1 left whole" in said


@pytest.mark.skipif(not printing.pdf_available()[0], reason=printing.pdf_available()[1])
def test_the_plan_is_printed_with_its_bound(at_owners):
    bundle()
    asked = {"pieces": "A, 4 5/8, 4 5/8, 24", "cut_from": "bundle-FB-09"}

    answer = plan(at_owners, "cloth_print", **asked, title="24 squares")

    assert answer.headers["Content-Type"] == "application/pdf"
    assert "24-squares.pdf" in answer.headers["Content-Disposition"]
    pages = PdfReader(BytesIO(answer.content)).pages
    sheets = [" ".join(page.extract_text().split()) for page in pages]
    assert "This takes 2 of: fat quarter, 18 × 21 in. That is the least" in sheets[0]
    assert "Pieces 1 and 2, cut alike" in " ".join(sheets)
    assert "3 fat quarters stay whole." in sheets[0]
    assert [plan_papers.BLADE in sheet for sheet in sheets] == [True] * len(sheets)
