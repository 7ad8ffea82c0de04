"""The projects page: asked in the address, worked out, handed on to the cloth, printed."""

import re
from html import unescape
from urllib.parse import parse_qs, urlsplit

import pytest

from studio import own_block_keeping, printing
from tests.conftest import MORNING
from tests.factories.production import new_id
from tests.factories.studio import PackerFactory, WorkshopFactory
from tests.studio.pages import client_of

pytestmark = pytest.mark.django_db

URL = "/blocks/projects/"
RUNNER = (
    "4 × sawtooth star at 4\n5 rows of 2 × star in a star at 8\n4 × sawtooth star at 4"
)


def words_of(answer):
    html = re.sub(r"(?s)<svg.*?</svg>|<style.*?</style>", " ", answer.content.decode())
    return " ".join(unescape(re.sub(r"<[^>]+>", " ", html)).split())


def plan(client, url=URL, /, **typed):
    return client.get(url, typed)


def counts(answer):
    return [(one.number, one.name) for one in answer.context["counted"]]


def cut(answer):
    """How many of each piece and its size, as the page says them."""
    return {
        (part.role, row.piece.name, row.size): row.piece.count
        for part in answer.context["roles"]
        for row in part.rows
    }


def finish(answer):
    return {one.name: " ".join(one.sentences) for one in answer.context["finishing"]}


# ------------------------------------------------------------ from blocks and rows


def test_the_page_opens_on_a_cushion_that_can_be_made(at_owners):
    answer = plan(at_owners)

    assert answer.context["form"].errors == {}
    assert "Cushion, 16 in square finished" in words_of(answer)
    assert "The cushion, 16 in square" in answer.content.decode()


def test_two_columns_of_eights_with_rows_of_fours_at_the_ends_make_a_runner(at_owners):
    # Common practice: 48 by 16 inches finished.
    answer = plan(at_owners, kind="runner", layout="rows", rows=RUNNER)

    assert "Runner, 16 × 48 in finished" in words_of(answer)
    assert counts(answer) == [(8, "sawtooth star"), (10, "star in a star")]
    # Worked by hand: a goose square of 3¼ in for each star of 4 in, 4 to a star.
    assert cut(answer)["ground", "goose square", "3¼ in square"] == 8


def test_the_units_in_all_blocks_are_counted_together(at_owners):
    # Worked by hand: four geese to a star; 8 small stars and the 10 inner ones take
    # 72 of 2 by 1 in, the 10 outer ones 40 of 4 by 2 in.
    answer = plan(at_owners, kind="runner", layout="rows", rows=RUNNER)

    assert {one.size: one.number for one in answer.context["units"]} == {
        "2 × 1 in": 72,
        "4 × 2 in": 40,
    }


def test_what_lies_between_on_point_is_counted_with_its_units(at_owners):
    # Worked by hand: 4 friendship stars of 4 half squares, 1 churn dash of 4 and 4 rails.
    answer = plan(
        at_owners,
        layout="on point",
        block="friendship-star",
        alternate="churn-dash",
        size="6",
    )

    assert [(one.number, one.name) for one in answer.context["units"]] == [
        (20, "half-square triangle"),
        (4, "rails"),
    ]


def test_rows_of_units_go_with_rows_of_blocks(at_owners):
    # Worked by hand: three geese of 4 by 2 in over two blocks of 6 in: 12 by 10 in.
    rows = "3 × flying geese at 4\n2 × churn dash at 6\n3 × flying geese at 4"

    answer = plan(at_owners, kind="table mat", layout="rows", rows=rows)

    assert "Table mat, 12 × 10 in finished" in words_of(answer)
    assert cut(answer)["sky", "sky square", "2⅞ in square"] == 8


def test_a_turned_unit_stands_on_end_in_its_row(at_owners):
    rows = "6 × flying geese at 2, turned 1"

    answer = plan(at_owners, kind="runner", layout="rows", rows=rows)

    assert "Runner, 12 × 4 in finished" in words_of(answer)


def test_a_block_of_ones_own_is_chosen_by_name_like_the_others(at_owners):
    own_block_keeping.add_block(
        "Steps: 2 by 1\nsquare: light at 1 1\nsquare: dark at 2 1",
        name="Garden gate",
        request_id=new_id(),
        by=None,
        now=MORNING,
    )

    chosen = plan(at_owners, block="garden-gate", size="8", across="2", down="3")
    typed = plan(at_owners, layout="rows", rows="2 × Garden gate at 8")

    assert counts(chosen) == [(6, "Garden gate")]
    assert "Cushion, 16 × 12 in finished" in words_of(chosen)
    assert counts(typed) == [(2, "Garden gate")]


def test_a_block_that_is_not_on_the_list_is_taken_from_its_own_page(at_owners):
    answer = plan(at_owners, block="sawtooth-star-4-deep", size="32")

    assert counts(answer) == [(4, "sawtooth star, 4 deep")]


def test_a_second_block_stands_by_turns_with_the_first(at_owners):
    # Worked by hand: a board of nine, five and four.
    answer = plan(at_owners, size="12", alternate="churn-dash", across="3", down="3")

    assert counts(answer) == [(5, "sawtooth star"), (4, "churn dash")]


def test_rows_of_ones_own_blocks_are_looked_up_once(
    at_owners, django_assert_max_num_queries
):
    for name in ("Alder", "Birch", "Cedar"):
        own_block_keeping.add_block(
            "Steps: 1\nsquare: light at 1 1",
            name=name,
            request_id=new_id(),
            by=None,
            now=MORNING,
        )
    rows = "2 × Alder at 4\n2 × Birch at 4\n2 × Cedar at 4"
    plan(at_owners)

    with django_assert_max_num_queries(8):
        answer = plan(at_owners, layout="rows", rows=rows)

    assert counts(answer) == [(2, "Alder"), (2, "Birch"), (2, "Cedar")]


# ------------------------------------------------------------ sashing, borders, on point


def test_sashing_and_borders_are_cut_with_their_squares(at_owners):
    # Worked by hand: two 6 in blocks each way, 1½ in sashes with one crossing, then a
    # border of 2 in with squares: 6 + 1½ + 6 + 4 = 17½ in.
    answer = plan(
        at_owners,
        block="heart-of-two-lobes",
        size="6",
        sash="1 1/2",
        stones="on",
        border_1="2",
        corners="on",
    )

    assert "Cushion, 17½ in square finished" in words_of(answer)
    assert cut(answer)["sashing", "sash", "6½ × 2 in"] == 4
    assert cut(answer)["cornerstone", "cornerstone", "2 in square"] == 1
    assert cut(answer)["corner square", "cornerstone", "2½ in square"] == 4
    assert cut(answer)["border", "border 1, side", "14 × 2½ in"] == 2


def test_sixteen_blocks_on_point_are_set_as_published(at_owners):
    # Sixteen 6-in blocks set on point, trade blog: 9 setting squares 6½, 12 side
    # triangles from 3 squares, 4 corners from 2; sizes of the on-point charts.
    answer = plan(
        at_owners,
        kind="wall hanging",
        layout="on point",
        block="friendship-star",
        size="6",
        across="4",
        down="4",
    )

    assert counts(answer)[1:] == [
        (9, "setting square"),
        (12, "side triangle"),
        (4, "corner triangle"),
    ]
    assert cut(answer)["setting ground", "setting square", "6½ in square"] == 9
    assert cut(answer)["setting ground", "side-triangle square", "9¾ in square"] == 3
    assert cut(answer)["setting ground", "corner-triangle square", "5⅛ in square"] == 2
    # 4 × 6 × 1.41421 = 33.94 in, printed.
    assert "Wall hanging, about 34 in square finished" in words_of(answer)


def test_blocks_enough_are_counted_for_a_bed(at_owners):
    # Worked by hand: single, 10 in drop: 55.4 by 84.8 in, less two borders of 4, is 5.3
    # and 8.5 blocks of 9, so 6 by 9: 62 by 89.
    answer = plan(
        at_owners,
        kind="quilt",
        block="ohio-star",
        size="9",
        large="bed",
        bed="single",
        drop="10",
        border_1="4",
    )

    assert counts(answer) == [(54, "Ohio star")]
    assert "Quilt, 62 × 89 in finished" in words_of(answer)


@pytest.mark.parametrize(
    "typed",
    [
        {"large": "bed", "across": "", "down": "", "cover": ""},
        {"large": "count", "cover": "", "drop": ""},
        {"layout": "rows", "size": "", "across": "", "down": ""},
    ],
)
def test_a_box_that_is_not_asked_for_may_be_empty(at_owners, typed):
    answer = plan(at_owners, kind="quilt", **typed)

    assert answer.context["form"].errors == {}


def test_blocks_enough_are_counted_for_a_size_with_sashing(at_owners):
    # Worked by hand: 3 × 12 + 2 × 2 = 40; one inch more needs a fourth block.
    sized = {"kind": "quilt", "block": "pinwheel", "size": "12", "sash": "2"}

    fits = plan(at_owners, large="cover", cover="40 x 26", **sized)
    over = plan(at_owners, large="cover", cover="41 by 26", **sized)

    assert counts(fits) == [(6, "pinwheel")]
    assert counts(over) == [(8, "pinwheel")]


# ------------------------------------------------------------ to finish it


def test_a_runner_says_its_binding_backing_and_wadding(at_owners):
    # Worked by hand: 2 × (16 + 48) + 10 = 138 in from 40 in strips: 4, which take 10 in
    # of cloth, ⅜ yd. The backing is 24 by 56 in: one width would take 56 in of cloth,
    # two widths of 24 in joined take 48 in, 1⅜ yd.
    answer = plan(at_owners, kind="runner", layout="rows", rows=RUNNER)

    said = finish(answer)
    assert said["Binding"].startswith("4 strips 2½ in wide, joined: 138 in goes round")
    assert "Buy ⅜ yd (0.5 m)" in said["Binding"]
    assert said["Backing"].startswith("2 widths joined, each 24 in long")
    assert "Buy 1⅜ yd (1.5 m)" in said["Backing"]
    assert said["Wadding"] == "1 of 24 × 56 in."


@pytest.mark.parametrize(
    ("kind", "names"),
    [
        ("cushion", ["Cushion back", "Wadding"]),
        ("bag panel", ["Lining", "Wadding"]),
        ("table mat", ["Binding", "Backing", "Wadding"]),
        ("wall hanging", ["Binding", "Backing", "Wadding", "Sleeve"]),
        ("quilt", ["Binding", "Backing", "Wadding"]),
    ],
)
def test_every_kind_is_finished_in_its_own_way(at_owners, kind, names):
    # Common practice; the sleeve from memory.
    assert list(finish(plan(at_owners, kind=kind))) == names


def test_a_metric_project_stays_in_centimetres(at_owners):
    # Worked by hand: 8 in is redrafted to 20 cm, 2 by 2 make 40 cm.
    answer = plan(at_owners, system="metric", kind="table mat")

    said = words_of(answer)
    assert "Table mat, 40 cm square finished" in said
    assert "strips 6.5 cm wide" in said
    assert " in " not in finish(answer)["Backing"].replace(" in one", "")


# ------------------------------------------------------------ what cannot be


@pytest.mark.parametrize(
    ("box", "typed", "sentence"),
    [
        ("size", "0", "A finished size is above nought."),
        ("size", "3000", "150 in is the limit here."),
        ("size", "4 5/0", "Nothing can be parted into noughts"),
        ("size", "9 1/4", "The nearest kind sizes are 9 in and 9½ in."),
        ("size", "", "Finished size of a block is empty."),
        ("across", "0", "Write a whole number from 1 to 100."),
        ("sash", "1 1/16", "The nearest kind widths are 1 in and 1⅛ in."),
        ("border_2", "-2", "“-2” is below nought."),
        ("seam", "1/3", "Write it in sixteenths of an inch"),
        ("kind", "tent", "tent is not one of the available choices."),
        ("block", "swan", "swan is not one of the available choices."),
    ],
)
def test_what_cannot_be_cut_is_named_by_its_box_and_kept_as_typed(
    at_owners, box, typed, sentence
):
    answer = plan(at_owners, **{"large": "count", box: typed})

    form = answer.context["form"]
    assert sentence in " ".join(form.errors[box])
    assert form[box].value() == typed
    assert "counted" not in answer.context


def test_a_box_is_named_once_and_blocks_are_no_goods(at_owners):
    sash = words_of(plan(at_owners, sash="-1"))
    across = words_of(plan(at_owners, across="0"))

    assert "Sashing: “-1” is below nought." in sash
    assert "Blocks across: 0 does not fit here. Write a whole number" in across


@pytest.mark.parametrize(
    ("rows", "sentence"),
    [
        ("", "Write a row, such as 4 × sawtooth star at 4."),
        ("some stars", "“some stars” cannot be read."),
        ("4 × swan at 4", "“4 × swan at 4” cannot be read. “swan” is no block known"),
        ("0 × pinwheel at 4", "Write 1 to 2000 blocks and 1 to 60 rows."),
        ("61 rows of 4 × pinwheel at 4", "Write 1 to 2000 blocks and 1 to 60 rows."),
        ("4 × pinwheel at 4 5/0", "Nothing can be parted into noughts"),
    ],
)
def test_a_row_that_cannot_be_is_named(at_owners, rows, sentence):
    answer = plan(at_owners, layout="rows", rows=rows)

    form = answer.context["form"]
    assert sentence in " ".join(form.errors["rows"])
    assert form["rows"].value() == rows


@pytest.mark.parametrize(
    ("typed", "sentence"),
    [
        (
            {"layout": "rows", "rows": "2 × pinwheel at 4\n1 × pinwheel at 4"},
            "Row 2 is 4 in wide and the first row 8 in.",
        ),
        (
            {"layout": "rows", "rows": RUNNER, "sash": "1"},
            "Row 2 has other blocks than the first, so sashing would not line up.",
        ),
        (
            {"layout": "on point", "block": "flying-geese", "size": "4"},
            "The flying geese is not as high as it is wide",
        ),
        (
            {"across": "100", "down": "100"},
            "10000 blocks are more than the 2000 that can be planned at once.",
        ),
        ({"large": "cover", "cover": "1 by 2 by 3"}, "Write two sides, such as"),
        ({"large": "cover", "cover": "400"}, "150 in is the limit here."),
        ({"large": "bed", "drop": "far"}, "“far” is not a length."),
    ],
)
def test_a_panel_that_cannot_be_is_refused_in_a_sentence(at_owners, typed, sentence):
    answer = plan(at_owners, **typed)

    assert sentence in words_of(answer)
    assert "counted" not in answer.context


def test_an_unsuitable_size_leads_to_the_nearest_kind_ones(at_owners):
    answer = plan(at_owners, size="9 1/4", kind="runner")

    kind = answer.context["kind_sizes"]
    assert [one.words for one in kind] == ["9 in", "9½ in"]
    again = at_owners.get(f"{URL}?{kind[1].query}")
    assert "Runner, 19 in square finished" in words_of(again)


# ------------------------------------------------------------ going on


def test_the_cut_list_goes_on_to_the_cloth_whole_but_for_the_wadding(at_owners):
    answer = plan(at_owners, kind="runner", layout="rows", rows=RUNNER)

    url = urlsplit(answer.context["cloth_url"])
    [pieces] = parse_qs(url.query)["pieces"]
    assert url.path == "/blocks/cloth/"
    assert "binding strip,40,2 1/2,4,binding,yes" in pieces
    assert "wadding" not in pieces


@pytest.mark.parametrize("layout", ["straight", "on point", "rows"])
def test_a_project_is_printed(at_owners, layout):
    typed = {"kind": "table mat", "layout": layout}

    page = plan(at_owners, f"{URL}print/", **typed, **{"as": "page"})
    paper = plan(at_owners, f"{URL}print/", **typed)

    assert "finished: what to cut." in words_of(page)
    assert "A rotary cutter is a bare blade" in words_of(page)
    can, why_not = printing.pdf_available()
    if can:
        assert paper.content[:5] == b"%PDF-"
    else:
        assert why_not in words_of(paper)


def test_what_cannot_be_printed_is_said_on_the_page(at_owners):
    answer = plan(at_owners, f"{URL}print/", size="0")

    assert "A finished size is above nought." in words_of(answer)


@pytest.mark.parametrize("url", [URL, f"{URL}print/?as=page"])
def test_the_workshop_may_look_and_the_packer_is_told_kindly_not(at_owners, url):
    assert client_of(WorkshopFactory()).get(url).status_code == 200
    assert client_of(PackerFactory()).get(url).status_code == 403


def test_a_quilt_for_the_widest_bed_is_still_a_light_page(at_owners):
    answer = plan(
        at_owners, kind="quilt", large="bed", bed="super king", block="star-in-a-star"
    )

    assert answer.context["form"].errors == {}
    assert len(answer.content) < 300_000
