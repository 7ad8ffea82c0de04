"""The picture beside a name: by its shapes, once, and without a query for each row."""

from fractions import Fraction

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from inventory import actions as stock
from inventory.models import BundleContents, Item
from inventory.pictures import drawn, picture_of, with_pictures
from tests.factories.inventory import ItemFactory, PieceFactory, SetFactory

pytestmark = pytest.mark.django_db


def a_piece(code, width, height, engraving="", **more):
    piece = PieceFactory(code=code)
    stock.set_shape(
        piece,
        width_inches=Fraction(width),
        height_inches=Fraction(height),
        engraving=engraving,
        **more,
    )
    return piece


def a_ringfence(code="RF-090"):
    pieces = [
        a_piece(f"A388-{code}", "31/8", "31/8", "Ringfence 9 A"),
        a_piece(f"C200-{code}", 2, "7/2", "Ringfence 9 bar"),
    ]
    item = SetFactory(code=code)
    stock.set_parts_list(item, needs=dict.fromkeys(pieces, 1))
    return item


def test_a_set_is_drawn_from_the_true_sizes_of_its_pieces():
    shown = drawn(a_ringfence())

    assert [(one.label, one.width, one.height) for one in shown.outlines] == [
        ("A", Fraction(31, 8), Fraction(31, 8)),
        ("bar", Fraction(2), Fraction(7, 2)),
    ]


def test_a_single_template_is_drawn_from_its_tapered_piece():
    beaker = a_piece(
        "K300",
        "7/2",
        "7/2",
        "Beaker 3",
        outline="tapered",
        narrow_inches=Fraction(5, 2),
    )
    item = ItemFactory(code="BK-030", kind="single")
    stock.set_parts_list(item, needs={beaker: 1})

    assert [one.narrow for one in drawn(item).outlines] == [Fraction(5, 2)]
    assert picture_of(item).startswith("<svg")


@pytest.mark.parametrize(
    ("form", "words"),
    [
        ("fat-quarter", "5 fat quarters of Fog on the Fell."),
        ("strip", "5 strips of Fog on the Fell."),
        ("five-inch", "5 squares of Fog on the Fell."),
        ("ten-inch", "5 squares of Fog on the Fell."),
    ],
)
def test_a_bundle_is_drawn_by_the_form_of_its_cloth(form, words):
    item = ItemFactory(kind="bundle")
    BundleContents.objects.create(
        item=item, form=form, count=5, range_name="Fog on the Fell"
    )

    assert words in picture_of(Item.objects.get(pk=item.pk))


@pytest.mark.parametrize(
    ("kind", "name", "words"),
    [
        ("pattern", "Pattern: Larktarn tool roll", "A printed pattern."),
        ("booklet", "Sandglass booklet", "An open booklet."),
        ("gift", "Sandglass duo", "A gift box with a ribbon."),
        ("sheet", "Clear acrylic", "A sheet of clear acrylic with its film."),
        ("consumable", "Grip dot", "A card of clear grip dots."),
        ("consumable", "Small sleeve", "A clear sleeve."),
        ("consumable", "Gift box", "A gift box with a ribbon."),
        ("consumable", "Label", "A label."),
        ("consumable", "Size card 9 in", "A printed card."),
        ("made", "Tea cosy", "A sewn sample."),
    ],
)
def test_each_kind_of_goods_has_its_own_drawing(kind, name, words):
    assert words in picture_of(ItemFactory(kind=kind, name=name))


def test_every_kind_can_be_drawn_before_anything_is_known_of_it():
    for kind in Item.Kind.values:
        assert picture_of(ItemFactory(kind=kind)).startswith("<svg")


def test_a_name_that_is_markup_stays_words():
    assert "<script" not in picture_of(ItemFactory(name="<script>alert(1)</script>"))


@pytest.mark.parametrize("count", [1, 6])
def test_a_list_of_pictures_takes_five_queries_however_long(count):
    for number in range(count):
        a_ringfence(f"RF-{number}")

    with CaptureQueriesContext(connection) as queries:
        drawings = [
            one.picture_svg() for one in with_pictures(Item.objects.filter(kind="set"))
        ]

    # Items with shape and contents; parts lists; lines; their items; their shapes.
    assert len(queries) == 5
    assert len(drawings) == count
