"""The blocks pages: what to cut, drawn and explained, and the page that is printed."""

import re
from html import unescape

import pytest
from django.urls import reverse

from inventory.models import Design
from studio import printing
from studio.maths.known_blocks import KNOWN
from tests.factories.inventory import ItemFactory
from tests.factories.studio import PackerFactory, WorkshopFactory
from tests.maths import worked
from tests.studio.pages import client_of

pytestmark = pytest.mark.django_db
OWN_BLOCKS = {"sixteen triangles", "mother's favourite", "eight geese", "single chain"}
RENAMED = {"log cabin of three rounds": "log cabin"}


def slug_of(name):
    name = RENAMED.get(name, name)
    return next(one.slug for one in KNOWN if one.name == name)


def open_page(client, block, /, page="block_show", **typed):
    return client.get(reverse(f"studio:{page}", args=[slug_of(block)]), typed)


def words_of(answer):
    """What is read, without the marks; drawings are left out."""
    html = re.sub(r"(?s)<svg.*?</svg>|<style.*?</style>", " ", answer.content.decode())
    return " ".join(unescape(re.sub(r"<[^>]+>", " ", html)).split())


def cut_rows(answer):
    """The rows of the cut list as they stand on the page: how many, and the size."""
    html = answer.content.decode().partition('aria-label="What to cut"')[2]
    html = html.partition("</table>")[0]
    rows = r'<td class="count">(\d+)</td><td>([^<]+)<'
    return [(int(count), unescape(size)) for count, size in re.findall(rows, html)]


def as_sides(count, size):
    """Read what the page says back: 4½ in square, 4½ × 2½ in."""
    unit = " cm" if "cm" in size else " in"
    plain = size.removesuffix(" square").removesuffix(unit)
    sides = plain.split(" × ") if " × " in plain else [plain, plain]
    return f"{count} × {' × '.join(side + unit for side in sides)}"


# ------------------------------------------------------------ who may come in


def test_the_list_shows_every_block_with_its_drawing(at_owners):
    answer = at_owners.get(reverse("studio:blocks"))

    html = answer.content.decode()
    assert html.count("<title>The ") == len(KNOWN)
    assert [k.slug for k in KNOWN if f'href="/blocks/{k.slug}/"' not in html] == []


def test_the_list_keeps_the_size_that_an_item_asks_for(at_owners):
    answer = at_owners.get(reverse("studio:blocks"), {"size": "4½"})

    assert 'href="/blocks/pinwheel/?size=4%C2%BD"' in answer.content.decode()
    assert "at 4½." in words_of(answer)


@pytest.mark.parametrize("page", ["blocks", "block_show", "block_booklet"])
def test_the_workshop_may_look_and_the_packer_is_told_kindly_not(at_owners, page):
    url = reverse(f"studio:{page}", args=[] if page == "blocks" else ["pinwheel"])

    assert client_of(WorkshopFactory()).get(f"{url}?as=page").status_code == 200
    assert client_of(PackerFactory()).get(f"{url}?as=page").status_code == 403


def test_a_block_that_nobody_knows_is_not_found(at_owners):
    assert at_owners.get("/blocks/garden-gate/").status_code == 404


# ------------------------------------------------------------ what to cut


@pytest.mark.parametrize(
    "row",
    [r for r in worked.rows("trade_blocks.csv") if r["block"] not in OWN_BLOCKS],
    ids=lambda r: f"{r['block']} {r['finished']} {r['cutting']} {r['ways']}",
)
def test_the_page_says_the_published_cut_sizes(at_owners, row):
    # Each row of the table names its source.
    ways = dict(way.split("=") for way in row["ways"].split("; ") if way)
    boxes = {f"way-{patch.replace(' ', '-')}": way for patch, way in ways.items()}
    typed = {"size": row["finished"], "mode": row["cutting"], **boxes}

    answer = open_page(at_owners, row["block"], **typed, system=row["ruler"])

    found = "; ".join(as_sides(*one) for one in cut_rows(answer))
    assert worked.pieces(found) == worked.pieces(row["pieces"])


@pytest.mark.parametrize(
    ("finished", "goose", "sky"),
    [("2", "3¼", "1⅞"), ("4", "5¼", "2⅞"), ("6", "7¼", "3⅞"), ("8", "9¼", "4⅞")],
)
def test_one_large_and_four_small_squares_give_four_geese(
    at_owners, finished, goose, sky
):
    # Fast flying geese chart (finished 1x2 to 4x8), personal Canadian quilting page.
    answer = open_page(at_owners, "flying geese", size=finished)

    assert cut_rows(answer) == [(1, f"{goose} in square"), (4, f"{sky} in square")]


@pytest.mark.parametrize("typed", ["9", "9 in", "9.0", '9"', "22.86 cm", " 9 "])
def test_a_size_is_read_however_it_is_written(at_owners, typed):
    # Henry of the West block (an Ohio Star variation), quilters' web collection, 2004.
    answer = open_page(at_owners, "Ohio star", size=typed)

    assert "Ohio star, 9 in square finished." in words_of(answer)
    assert (4, "3½ in square") in cut_rows(answer)


def test_a_size_in_centimetres_is_cut_in_centimetres(at_owners):
    # 'Metric Flying Geese', quilting blog (Australia), Jan 2012: rule published.
    answer = open_page(at_owners, "sawtooth star", size="30 cm")

    assert "sawtooth star, 30 cm square finished." in words_of(answer).lower()
    assert (1, "18.5 cm square") in cut_rows(answer)
    assert "with a seam of 0.75 cm." in words_of(answer)


def test_geese_for_many_blocks_come_in_whole_batches(at_owners):
    # Worked by hand: one goose a unit, four at a time; seven units need two batches.
    answer = open_page(at_owners, "flying geese", size="4", number="7")

    assert cut_rows(answer) == [(2, "5¼ in square"), (8, "2⅞ in square")]
    assert "7 wanted" in words_of(answer)


def test_every_size_opens_to_what_was_added_and_why(at_owners):
    said = words_of(open_page(at_owners, "sawtooth star", size="8"))

    # Common practice: quarter squares take 1¼ in, half squares ⅞ in.
    assert "4 in finished and 1¼ in." in said
    assert "2 in finished and ⅞ in." in said


def test_the_units_are_drawn_step_by_step_with_a_caution_for_the_blade(at_owners):
    answer = open_page(at_owners, "sawtooth star", size="8")

    assert "The flying geese, four at a time, step by step" in answer.content.decode()
    assert "4 × 2 in finished: trim each to 4½ × 2½ in." in words_of(answer)
    assert "A rotary cutter is a bare blade" in words_of(answer)
    assert "manual" in words_of(answer)


def test_oversize_says_what_to_trim_to(at_owners):
    # 6 inch heart block, quilting blog, Nov 2013: 4 in squares for 3 in finished.
    answer = open_page(at_owners, "heart of two lobes", size="6", mode="oversize")

    assert (1, "4 in square") in cut_rows(answer)
    assert "3 in square finished: trim each to 3½ in square." in words_of(answer)


@pytest.mark.parametrize("known", KNOWN, ids=lambda known: known.slug)
def test_every_block_can_be_cut_at_the_size_it_is_first_shown_at(at_owners, known):
    answer = open_page(at_owners, known.name)

    assert answer.context["form"].errors == {}
    assert len(cut_rows(answer)) > 0


# ------------------------------------------------------------ what cannot be cut


@pytest.mark.parametrize(
    ("typed", "sentence"),
    [
        ("0", "A finished size is above nought."),
        ("-3", "“-3” is below nought. A length is nought or more."),
        ("3000 in", "150 in is the limit here. Check the number and its unit, please."),
        ("4 1/32", "whose finest is 1/16 in. Write 4 in or 4 1/16 in."),
        ("4 5/0", "Nothing can be parted into noughts, as “4 5/0” does."),
        ("4.5.1", "“4.5.1” is not a length."),
        ("", "Write how large the block ends up, such as 9."),
        ("<b>", "“<b>” is not a length."),
    ],
)
def test_a_size_that_cannot_be_cut_is_named_by_its_box_and_kept(
    at_owners, typed, sentence
):
    answer = open_page(at_owners, "sawtooth star", size=typed, seam="3/8")

    form = answer.context["form"]
    assert sentence in " ".join(form.errors["size"])
    assert (form["size"].value(), form["seam"].value()) == (typed, "3/8")
    assert sentence in words_of(answer)
    assert cut_rows(answer) == []


def test_an_unsuitable_size_leads_to_the_nearest_kind_ones(at_owners):
    answer = open_page(at_owners, "sawtooth star", size="9 1/4", mode="trade")

    # Worked by hand: a quarter of 9¼ in is 2 5/16 in, between the eighths.
    assert "needs a square cut 2 13/16 in square, finer than ⅛ in." in words_of(answer)
    kind = answer.context["kind_sizes"]
    assert [one.words for one in kind] == ["9 in", "9½ in"]
    next_page = at_owners.get(
        f"{reverse('studio:blocks')}sawtooth-star/?{kind[1].query}"
    )
    assert (1, "5¼ in square") in cut_rows(next_page)


@pytest.mark.parametrize(
    ("box", "typed", "sentence"),
    [
        ("seam", "0", "The seam cannot be “0”."),
        ("seam", "1/3", "Write it in sixteenths of an inch, such as 1/4."),
        ("number", "0", "Write a whole number from 1 to 999."),
        ("number", "2.5", "Write a whole number from 1 to 999."),
        ("mode", "roughly", "roughly is not one of the available choices."),
        ("way-flying-geese", "by eye", "by eye is not one of the available choices."),
    ],
)
def test_whatever_else_is_wrong_is_named_by_its_own_box(
    at_owners, box, typed, sentence
):
    answer = open_page(at_owners, "sawtooth star", **{"size": "8", box: typed})

    form = answer.context["form"]
    assert sentence in " ".join(form.errors[box])
    assert form["size"].value() == "8"
    assert cut_rows(answer) == []


# ------------------------------------------------------------ the booklet page


def test_the_booklet_sets_the_published_sizes_beside_each_other(at_owners):
    # Friendship Star block of the month, quilting site: 3, 6 and 12 in finished.
    answer = open_page(
        at_owners,
        "friendship star",
        "block_booklet",
        **{"sizes": "3, 6, 12", "as": "page"},
    )

    said = words_of(answer)
    assert "3 in 7.6 cm 6 in 15.2 cm 12 in 30.5 cm" in said
    assert "square 4 1½ in 3.8 cm 2½ in 6.4 cm 4½ in 11.4 cm" in said
    assert "triangle square 2 1⅞ in 4.8 cm 2⅞ in 7.3 cm 4⅞ in 12.4 cm" in said
    assert "A rotary cutter is a bare blade" in said


def test_the_booklet_says_how_much_cloth_each_role_takes(at_owners):
    # Worked by hand, on 42 in with 1 in for straightening: 12 blocks of 8 in take 12
    # centres of 4½ in, two strips; 48 points of 2⅞ in, four strips. At 4 in, centres of
    # 2½ in in one strip. 10 in is 25.4 cm.
    asked = {"sizes": "4, 8", "number": "12", "as": "page"}

    said = words_of(open_page(at_owners, "sawtooth star", "block_booklet", **asked))

    assert "Cloth for 12 blocks Cloth 4 in 8 in" in said
    assert ("Centre 3½ in 8.9 cm 0.1 m, or ⅛ yd 10 in 25.4 cm 0.3 m, or ⅜ yd") in said
    assert "12½ in 31.8 cm 0.4 m, or ⅜ yd" in said
    assert "off a bolt with 42 in (106.7 cm) of usable width" in said


def test_a_metric_booklet_says_cloth_in_centimetres_and_metres(at_owners):
    asked = {"sizes": "30 cm", "system": "metric", "blocks": "4", "as": "page"}

    said = words_of(open_page(at_owners, "sawtooth star", "block_booklet", **asked))

    # Worked by hand: four centres of 16.5 cm in one strip, and 2.54 cm to straighten.
    assert "Centre 19.1 cm 0.2 m" in said


def test_the_booklet_takes_the_sizes_a_design_is_sold_in(at_owners):
    design = Design.objects.create(name="Ringfence")
    for code, size, is_sold in (("RF-060", 6, True), ("RF-120", 12, True)):
        ItemFactory(code=code, design=design, finished_size=size, is_sold=is_sold)
    ItemFactory(code="RF-090", design=design, finished_size=9, is_sold=False)

    answer = open_page(
        at_owners,
        "pinwheel",
        "block_booklet",
        **{"design": design.pk, "as": "page"},
    )

    said = words_of(answer)
    assert "Pinwheel for Ringfence: what to cut for one block." in said
    assert "6 in 15.2 cm 12 in 30.5 cm" in said
    assert "9 in" not in said


def test_the_booklet_leaves_out_what_cannot_be_cut_and_says_so(at_owners):
    answer = open_page(
        at_owners,
        "sawtooth star",
        "block_booklet",
        **{"sizes": "8, 9 1/4", "as": "page"},
    )

    assert "Left out: At 9¼ in the sawtooth star needs" in words_of(answer)


@pytest.mark.parametrize(
    ("typed", "sentence"),
    [
        ("", "Write one finished size or more, such as 6, 8, 9 1/2."),
        ("8, 4 5/0", "Nothing can be parted into noughts, as “4 5/0” does."),
        ("9 1/4", "The nearest kind sizes are 9 in and 9½ in."),
        (", ".join(map(str, range(1, 26))), "A booklet holds up to 24 sizes."),
    ],
)
def test_a_booklet_that_cannot_be_printed_says_why_and_keeps_what_was_typed(
    at_owners, typed, sentence
):
    answer = open_page(at_owners, "sawtooth star", "block_booklet", sizes=typed)

    form = answer.context["booklet"]
    assert sentence in " ".join(form.errors["sizes"])
    assert form["sizes"].value() == typed


def test_the_booklet_prints_what_to_trim_to_at_every_size(at_owners):
    # Common practice: a unit is trimmed to its finished size and a half inch.
    answer = open_page(
        at_owners,
        "sawtooth star",
        "block_booklet",
        **{"sizes": "8, 12", "mode": "oversize", "as": "page"},
    )

    assert "Trim to : flying geese ground and point 4 4½ × 2½ in 6½ × 3½ in" in (
        words_of(answer)
    )


@pytest.mark.parametrize("paper", ["a5", "a4"])
def test_the_booklet_comes_as_a_pdf_where_they_can_be_made(at_owners, paper):
    answer = open_page(
        at_owners, "Ohio star", "block_booklet", sizes="6, 9, 12", paper=paper
    )

    can, why_not = printing.pdf_available()
    if can:
        assert answer.content[:5] == b"%PDF-"
        assert f"ohio-star-{paper}.pdf" in answer.headers["Content-Disposition"]
    else:
        assert why_not in words_of(answer)
