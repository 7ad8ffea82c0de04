"""Pieces laid on a sheet in the browser, taken to the cutter, and kept as a layout."""

import html
import io
import re
from dataclasses import replace
from fractions import Fraction
from uuid import uuid4

import ezdxf
import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from inventory.models import PieceShape
from production.models import Layout
from production.queries import loose_shapes
from studio.maths.sheets import keeping
from tests.factories.production import a_person, an_item
from tests.factories.production import a_workshop as the_workshop

pytestmark = pytest.mark.django_db

PAIR = "A1025, 10 1/4, 10 1/4, 1\nSQ950, 9 1/2, 9 1/2, 1"
FILLED = PAIR + "\nSQ350, 3 1/2, 3 1/2, 1, fills"


@pytest.fixture
def owner(client):
    client.force_login(a_person())
    return client


def lay(client, pieces=PAIR, **typed):
    page = client.get(reverse("production:sheet_lay"), {"pieces": pieces, **typed})
    return page.content.decode()


def kept_in(page, number=0):
    return html.unescape(re.findall(r'name="kept" value="([^"]*)"', page)[number])


def shaped(code, width, height, narrow=None, **more):
    item = an_item(code, **more)
    PieceShape.objects.create(
        item=item,
        outline="tapered" if narrow else "rectangle",
        width_inches=Fraction(width),
        height_inches=Fraction(height),
        narrow_inches=Fraction(narrow) if narrow else None,
    )
    return item


def keep(client, text, **typed):
    form = {"kept": text, "code": "LX", "minutes": "20", "request_id": str(uuid4())}
    return client.post(
        reverse("production:sheet_keep"), form | typed, follow=True
    ).content.decode()


# --------------------------------------------------------------------- the answer


def test_the_page_asks_first_and_answers_in_its_heading(owner):
    """One nine-inch pair a sheet and no more: 2 × 3½ in are left; worked by hand."""
    asks = owner.get(reverse("production:sheet_lay")).content.decode()

    page = lay(owner)

    assert "Which pieces are to be cut from which sheet?" in asks
    assert 'value="600x400"' in asks
    assert "One sheet gives 1 complete set, and no sheet gives more." in page
    assert "It holds 1 × A1025, 1 × SQ950." in page
    assert "never PVC" in page
    assert "A1025, 10 1/4, 10 1/4, 1" in page


def test_a_near_miss_is_told_on_the_page(owner):
    """6 A575 at 2 mm, 8 at 1½ mm; worked by hand."""
    page = lay(owner, "A575, 5 3/4, 5 3/4", edge="5", gap="2")

    assert (
        "A near miss: with 1½ mm gap 2 more of A575 would fit a sheet, 8 in place of 6."
        in page
    )


def test_the_sizes_say_what_is_drawn_and_what_may_be_measured(owner):
    """10¼ in are 260.35 mm; a kerf of 0.2 mm in, and 0.2 mm either way; arithmetic."""
    with_kerf = lay(owner)
    without = lay(owner, takes_kerf="machine")

    assert 'data-label="Nominal">260.35 × 260.35 mm</td>' in with_kerf
    assert 'data-label="Drawn">260.55 × 260.55 mm</td>' in with_kerf
    assert 'data-label="Drawn">260.35 × 260.35 mm</td>' in without
    assert 'when it measures">260.15 to 260.55 mm</td>' in with_kerf


def test_what_fills_the_rest_is_laid_along(owner):
    """6 SQ350 beside the nine-inch pair; worked by hand."""
    page = lay(owner, FILLED)

    assert "It holds 1 × A1025, 1 × SQ950, 6 × SQ350." in page


def test_the_loose_pieces_of_the_goods_are_tried_in_what_is_left(owner):
    """Six squares of 3½ in, none of 8 in; worked by hand."""
    shaped("SQ350", "3.5", "3.5", name="Centre, 3½ in")
    shaped("SQ800", "8", "8")

    page = lay(owner, goods="on")

    assert re.search(r'<b class="number">6</b> × SQ350, Centre, 3½ in', page)
    assert "× SQ800" not in page


def test_an_order_of_more_sets_than_a_sheet_holds_shows_every_sheet(owner):
    """14 at 6 a sheet: two sheets alike, and one of 2; arithmetic."""
    page = lay(owner, "A575, 5 3/4, 5 3/4", sets="14")

    assert "14 sets need 3 sheets of 600 × 400 mm, the least possible." in page
    assert "Sheets 1 and 2 of 3" in page
    assert "Sheet 3 of 3" in page
    assert page.count("It holds 6 × A575.") == 1
    assert page.count('name="kept"') == 4


@pytest.mark.parametrize(
    ("typed", "says"),
    [
        ({"pieces": ""}, "No piece is written yet."),
        ({"pieces": "A, 0, 1, 1"}, "A: the width is nought"),
        ({"pieces": "A, 4 5/0, 1, 1"}, "A: the width cannot be read."),
        ({"pieces": "A, 1, 1, 1, blob"}, "A: “blob” is no shape known here"),
        ({"pieces": "A, 3000, 1, 1"}, "and the room inside the edges is"),
        ({"pieces": "A, 1, 1, 1, fills"}, "at least one piece makes the set"),
        ({"pieces": "A, 1, 1\0, 1"}, "Null characters are not allowed"),
        ({"sheet": "600"}, "write its two sides, such as 600x400"),
        ({"sheet": ""}, "Sheet is empty."),
        ({"edge": "300"}, "has no room inside an edge of 300 mm"),
        ({"gap": "two"}, "A gap of “two” cannot be meant"),
        ({"kerf": "50"}, "10 mm is the limit"),
        ({"sets": "none"}, "Write a whole number from 1 to 5,000."),
        ({"sets": "4000"}, "That is 8000 pieces, and 5000 is the limit"),
        ({"cutter": "axe"}, "Choose the laser or the saw."),
        ({"takes_kerf": "x"}, "Choose where the kerf is allowed for."),
    ],
)
def test_what_cannot_be_meant_is_said_and_what_was_typed_stays(owner, typed, says):
    page = lay(owner, **{"edge": "7", **typed})

    assert says in html.unescape(page)
    assert 'value="7"' in page or "edge" in typed
    assert typed.get("pieces", PAIR).split("\0")[0] in html.unescape(page)
    assert f'value="{typed.get("sheet", "600x400")}"' in page or not typed["sheet"]


def test_an_edge_that_leaves_no_room_is_said_at_its_own_box(owner):
    page = html.unescape(lay(owner, edge="300"))

    assert '<a class="alone" href="#id_edge">Edge left all round: A sheet' in page
    assert "Sets wanted</label>" in page
    assert "Nothing is worked out yet. One thing needs a look." in page


def test_on_a_telephone_each_size_says_what_it_is(owner):
    page = lay(owner)

    assert page.count('data-label="In order when it measures"') == 2


def test_the_pieces_of_a_set_are_written_down_by_its_code(owner):
    the_workshop()
    for code, side in (("A388", "3.875"), ("SQ350", "3.5")):
        PieceShape.objects.create(
            item=PieceShape.item.field.related_model.objects.get(code=code),
            width_inches=Fraction(side),
            height_inches=Fraction(side),
        )

    page = owner.get(reverse("production:sheet_lay"), {"of": "rf-090"}).content.decode()

    assert "A388, 3⅞, 3⅞, 1" in page
    assert "SQ350, 3½, 3½, 1" in page
    assert "complete sets" in page


def test_many_loose_pieces_ask_the_book_no_oftener(
    owner, django_assert_max_num_queries
):
    shaped("SQ350", "3.5", "3.5")
    lay(owner, goods="on")
    with CaptureQueriesContext(connection) as one:
        lay(owner, goods="on")
    for n in range(30):
        shaped(f"P{n}", "30", "30")

    with django_assert_max_num_queries(len(one)):
        lay(owner, goods="on")


def test_a_set_nobody_knows_leaves_the_list_empty(owner):
    page = owner.get(reverse("production:sheet_lay"), {"of": "NO\0-1"})

    assert "Which pieces are to be cut" in page.content.decode()


# ------------------------------------------------------------ files for the cutter


def file(client, kind, text, **more):
    url = reverse("production:sheet_file", args=[kind])
    return client.post(url, {"kept": text, "title": "One & only", **more})


def test_the_files_hold_the_sheet_that_was_seen(owner):
    text = kept_in(lay(owner))

    svg, dxf = (file(owner, kind, text) for kind in ("svg", "dxf"))

    assert 'filename="one-only.svg"' in svg["Content-Disposition"]
    assert "<title>One &amp; only</title>" in svg.content.decode()
    assert svg.content.decode().count("<path") == 4
    document = ezdxf.read(io.StringIO(dxf.content.decode()))
    lines = document.modelspace().query('LWPOLYLINE[layer=="cut-lines"]')
    widths = [
        max(x for x, _ in points) - min(x for x, _ in points)
        for points in ([*line.get_points("xy")] for line in lines)
    ]
    assert sorted(round(width, 6) for width in widths) == [241.5, 260.55]


def test_the_proof_can_be_read_as_a_page(owner):
    text = kept_in(lay(owner))
    url = reverse("production:sheet_file", args=["proof"])

    page = owner.post(f"{url}?as=page", {"kept": text}).content.decode()

    assert "print at 100 %" in page
    assert page.count("This line is 100 mm.") == 8
    assert "never PVC" in page


def test_a_kind_of_file_that_is_none_is_not_found(owner):
    assert file(owner, "gif", kept_in(lay(owner))).status_code == 404


@pytest.mark.parametrize("address", ["sheet_keep", "svg"])
def test_a_sheet_whose_pieces_were_moved_together_is_refused(owner, address):
    text = kept_in(lay(owner))
    moved = re.sub(r'\[([01]),"[^"]*"', r'[\1,"5"', text)
    named = address == "sheet_keep"
    url = reverse(
        "production:sheet_keep" if named else "production:sheet_file",
        args=[] if named else [address],
    )

    page = owner.post(url, {"kept": moved})

    assert moved != text
    assert page.status_code == 400
    assert "lay it out again, please" in page.content.decode()
    assert not Layout.objects.exists()


# ------------------------------------------------------------------ kept as a layout


@pytest.fixture
def goods(db):
    sheet = an_item("AS-A3", kind="sheet")
    an_item("A1025")
    shaped("CORNER", "9.5", "9.5")
    shaped("SQ350", "3.5", "3.5")
    return sheet


def test_pieces_are_known_by_their_name_or_else_by_their_size(owner, goods):
    text = kept_in(lay(owner, FILLED))

    page = owner.post(reverse("production:sheet_keep"), {"kept": text}).content.decode()

    values = dict(re.findall(r'name="piece-(\d)" value="([^"]*)"', page))
    assert set(values.values()) == {"CORNER", "SQ350"}
    assert 'id="id_piece-0"' in page


def test_a_sheet_is_kept_once_and_keeps_its_places(owner, goods):
    text = kept_in(lay(owner, FILLED))
    same = {"sheet": goods.pk, "request_id": str(uuid4())}
    items = {"piece-0": "A1025", "piece-1": "corner", "piece-2": "SQ350"}

    keep(owner, text, **same, **items)
    page = keep(owner, text, **same, **items)

    layout = Layout.objects.get()
    gives = layout.gives.values_list("piece__code", "count", "is_by_product")
    assert list(gives) == [
        ("A1025", 1, False),
        ("CORNER", 1, False),
        ("SQ350", 6, True),
    ]
    assert keeping.read_kept(layout.kept_sheet).as_text() == text
    assert "Layout LX is kept. Its sheets can be planned and logged now." in page
    assert reverse("production:layout_take_back", args=[layout.pk]) in page


def test_a_tapered_piece_is_found_by_its_size_whichever_way_round():
    shaped("TAPER", "3", "2", "1")
    shaped("BAR", "3", "2")
    known = loose_shapes.known_pieces()
    pieces = [
        loose_shapes.as_piece(PieceShape.objects.get(item__code=code))
        for code in ("TAPER", "BAR")
    ]

    found = [
        loose_shapes.item_for(replace(piece, name="Unnamed"), known) for piece in pieces
    ]

    codes = [item.code for item in found]
    assert codes == ["TAPER", "BAR"]


def test_two_names_for_one_item_are_added_up(owner, goods):
    text = kept_in(lay(owner))

    keep(owner, text, sheet=goods.pk, **{"piece-0": "CORNER", "piece-1": "CORNER"})

    assert Layout.objects.get().gives.get().count == 2


@pytest.mark.parametrize(
    ("typed", "says"),
    [
        ({"piece-0": ""}, "Which loose piece is A1025? Write its code."),
        ({"piece-0": "NO-1"}, "Nothing in the book is called NO-1."),
        ({"code": "L X"}, "A code has no spaces"),
        ({"minutes": "ages"}, "ages does not fit here."),
        ({"sheet": ""}, "Choose the sheet it is cut from."),
        ({"request_id": "x"}, "This page cannot be sent as it is."),
    ],
)
def test_what_is_wrong_with_the_keeping_is_said_and_the_sheet_stays(
    owner, goods, typed, says
):
    text = kept_in(lay(owner))
    form = {"sheet": goods.pk, "name": "Both", "piece-0": "A1025", "piece-1": "CORNER"}

    page = keep(owner, text, **(form | typed))

    assert says in html.unescape(page)
    assert kept_in(page) == text
    assert 'value="Both"' in page
    assert not Layout.objects.exists()


def test_a_code_that_is_used_is_refused(owner, goods):
    text = kept_in(lay(owner))
    items = {"piece-0": "A1025", "piece-1": "CORNER", "sheet": goods.pk}
    keep(owner, text, **items)

    page = keep(owner, text, **items, code="lx")

    assert "There is already a layout lx. Give this one another code" in page
    assert Layout.objects.count() == 1


def test_without_a_sheet_in_the_goods_the_page_says_to_add_one(owner):
    page = owner.post(
        reverse("production:sheet_keep"), {"kept": kept_in(lay(owner))}
    ).content.decode()

    assert "No sheet is in the goods yet." in page


def test_the_workshop_looks_and_takes_files_but_keeps_nothing(client):
    client.force_login(a_person("Rufus Tallboys", "workshop"))
    page = lay(client)
    text = kept_in(page)

    assert reverse("production:sheet_keep") not in page
    assert file(client, "svg", text).status_code == 200
    assert (
        client.post(reverse("production:sheet_keep"), {"kept": text}).status_code == 403
    )
