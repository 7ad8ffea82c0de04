"""The shapes page: three forms of every size, and bad input kept and named."""

from urllib.parse import parse_qs, urlsplit

import pytest
from django.urls import reverse

from studio.maths.sheets.piece_file import read_typed
from studio.maths.template_shapes import SHAPES
from tests.factories.studio import PackerFactory, WorkshopFactory
from tests.studio.pages import client_of
from tests.studio.test_blocks_pages import words_of

pytestmark = pytest.mark.django_db


def open_shape(client, word, **typed):
    return client.get(
        reverse("studio:shape_show", args=[word]),
        {name.replace("_", "-"): value for name, value in typed.items()},
    )


def test_the_list_shows_every_shape_and_leads_from_the_sums(at_owners):
    listed = at_owners.get(reverse("studio:shapes")).content.decode()
    front = at_owners.get(reverse("studio:blocks")).content.decode()

    assert listed.count("<title>The ") == len(SHAPES)
    assert 'href="/blocks/shapes/"' in front


def test_the_workshop_may_look_and_the_packer_may_not():
    url = reverse("studio:shape_show", args=["kite"])

    assert client_of(WorkshopFactory()).get(url).status_code == 200
    assert client_of(PackerFactory()).get(url).status_code == 403


@pytest.mark.parametrize("shape", SHAPES, ids=lambda shape: shape.word)
def test_every_shape_opens_at_its_first_size(at_owners, shape):
    answer = open_shape(at_owners, shape.word)

    assert answer.context["form"].errors == {}
    assert len(answer.context["rows"]) > 0


def test_each_form_of_a_size_says_which_it_is(at_owners):
    # Half-square and quarter-square triangles, UK quilters' guild page: 3⅞.
    # 3½ + ¼√2 in is 97.880… mm, outward 97.881: worked by hand.
    said = words_of(open_shape(at_owners, "half-square-triangle", side_1="3"))

    assert "Cut, exact Cut, as the trade rounds For the cutter" in said
    assert "Leg 3 in 3½ + ¼√2 in 3⅞ in 97.881 mm" in said
    assert "Never mix them in one template." in said
    assert "Go by the manual of your cutter" in said


@pytest.mark.parametrize("shape", SHAPES, ids=lambda shape: shape.word)
def test_every_shape_can_be_laid_on_a_sheet_at_its_cut_size(at_owners, shape):
    """Its box on the sheet is that of the cut outline, to the nearest 0.001 mm."""
    answer = open_shape(at_owners, shape.word)
    typed = parse_qs(urlsplit(answer.context["sheet_url"]).query)["pieces"][0]

    (piece,) = read_typed(typed)

    made = answer.context["made"]
    corners = made.blunted_corners or (
        () if shape.name == "heart" else made.cut.corners()
    )
    for n, side in enumerate((piece.width_mm, piece.height_mm)):
        ends = [float(at[n].bounds()[0]) for at in corners]
        if ends:
            assert float(side) == pytest.approx(
                25.4 * (max(ends) - min(ends)), abs=0.002
            )


def test_the_way_to_the_sheet_opens_with_the_shape_written_in(at_owners):
    answer = at_owners.get(open_shape(at_owners, "square").context["sheet_url"])

    assert "Square, 4, 4, 1, square, finished" in answer.content.decode()
    assert answer.context["form"].errors == {}


def test_a_seam_that_the_sheet_does_not_take_leads_to_no_sheet(at_owners):
    answer = open_shape(at_owners, "kite", seam="3/8")

    assert answer.context["sheet_url"] == ""
    assert "Lay it on a sheet" not in words_of(answer)


def test_another_seam_and_centimetres_are_taken(at_owners):
    # Three eighths all round: 2 × ⅜. Metric practice: 2.5 cm at a seam of 0.75.
    wide = words_of(open_shape(at_owners, "square", side_1="6", seam="3/8"))
    metric = words_of(open_shape(at_owners, "half-square-triangle", side_1="5.1 cm"))

    assert "Side 6 in 6¾ in 6¾ in 171.45 mm" in wide
    assert "Leg 5.1 cm 6.6 + 0.75√2 cm 7.6 cm 76.607 mm" in metric


@pytest.mark.parametrize(
    ("typed", "sentence"),
    [
        ("0", "Write how large the long base of the trapezoid"),
        ("-3", "“-3” is below nought."),
        ("3000 in", "150 in is the limit here."),
        ("4 1/32", "whose finest is 1/16 in. Write 4 in or 4 1/16 in."),
        ("4 5/0", "Nothing can be parted into noughts"),
        ("4.5.1", "“4.5.1” is not a length."),
        ("", "Write the long base, such as 3."),
        ("4", "Its long base has to be longer than 4 in at that height."),
    ],
)
def test_a_size_that_cannot_be_cut_is_named_by_its_box_and_kept(
    at_owners, typed, sentence
):
    answer = open_shape(
        at_owners, "trapezoid-both-ends-sloped", side_1=typed, side_2="2"
    )

    form = answer.context["form"]
    assert sentence in " ".join(form.errors["side-1"])
    assert (form["side-1"].value(), form["side-2"].value()) == (typed, "2")
    assert "made" not in answer.context


def test_what_is_wrong_with_the_second_size_stands_by_its_own_box(at_owners):
    answer = open_shape(at_owners, "rectangle", side_1="4", side_2="1/3", seam="2")

    errors = answer.context["form"].errors
    assert set(errors) == {"side-2", "seam"}
    assert "The height of the rectangle falls between the marks" in errors["side-2"][0]


def test_a_shape_that_nobody_knows_is_not_found(at_owners):
    assert at_owners.get("/blocks/shapes/star/").status_code == 404
