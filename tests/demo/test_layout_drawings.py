"""Every layout of the demo has a drawing that holds just what the layout gives."""

from collections import Counter
from fractions import Fraction
from itertools import combinations

import pytest
from django.urls import reverse

from production.models import Layout
from studio.maths.sheets import keeping
from studio.models import Person

# The demo's own table of layouts: a sheet of 600 × 400 mm, 5 mm left at the edge and
# 2 mm between pieces; "besides" are by-products.
GIVES = {
    "LA": {"A425": 15},
    "LB": {"SQ350": 24},
    "LC": {"A575": 6},
    "LD": {"SQ500": 12},
    "LE": {"A1025": 1, "SQ950": 1, "SQ350": 6},
    "LP": {"A1025": 1, "SQ950": 1},
    "LF": {"A238": 18, "B200": 18, "C125": 18},
    "LG": {"A388": 10, "C200": 10, "SQ350": 6},
    "LH": {"A538": 4, "C275": 4, "SQ500": 2, "SQ350": 6},
    "LJ": {"K300": 28},
    "LK": {"K450": 15},
}
BESIDES = {"LE": ["SQ350"], "LH": ["SQ350"]}
# The demo's own table of pieces, in inches: width, height, and the narrow side of a
# tapered piece.
INCHES = {
    "A425": ("4.25", "4.25"),
    "SQ350": ("3.5", "3.5"),
    "A575": ("5.75", "5.75"),
    "SQ500": ("5", "5"),
    "A1025": ("10.25", "10.25"),
    "SQ950": ("9.5", "9.5"),
    "A238": ("2.375", "2.375"),
    "B200": ("2", "2"),
    "C125": ("1.25", "2"),
    "A388": ("3.875", "3.875"),
    "C200": ("2", "3.5"),
    "A538": ("5.375", "5.375"),
    "C275": ("2.75", "5"),
    "K300": ("3.5", "3.5", "2.5"),
    "K450": ("5", "5", "3.5"),
}


def mm(code):
    """An inch is 25.4 mm exactly (International Yard and Pound Agreement, 1959)."""
    return [Fraction(side) * Fraction("25.4") for side in INCHES[code]]


def kept_of(code):
    return keeping.read_kept(Layout.objects.get(code=code).kept_sheet)


def test_the_book_has_just_the_layouts_of_the_table(demo):
    found = {
        layout.code: {one.piece.code: one.count for one in layout.gives.all()}
        for layout in Layout.objects.prefetch_related("gives__piece")
    }

    assert found == GIVES


@pytest.mark.parametrize("code", GIVES)
def test_a_drawing_holds_just_what_its_layout_gives(demo, code):
    kept = kept_of(code)

    assert Counter(one.name for one in kept.laid) == GIVES[code]
    assert [piece.name for piece in kept.pieces if piece.fills] == BESIDES.get(code, [])
    sheet = kept.sheet
    assert (sheet.width_mm, sheet.height_mm) == (600, 400)
    assert (sheet.edge_mm, sheet.gap_mm) == (5, 2)


@pytest.mark.parametrize("code", GIVES)
def test_the_pieces_drawn_have_the_sizes_of_the_pieces_in_the_book(demo, code):
    for piece in kept_of(code).pieces:
        width, height, *narrow = mm(piece.name)
        xs, ys = zip(*piece.corners_mm, strict=True)
        top = {x for x, y in piece.corners_mm if y == 0}
        base = {x for x, y in piece.corners_mm if y == height}

        assert (max(xs), max(ys)) == (width, height)
        assert len(piece.corners_mm) == 4
        assert sorted(max(side) - min(side) for side in (top, base)) == sorted(
            [width, *(narrow or [width])]
        )


@pytest.mark.parametrize("code", [code for code in GIVES if code not in ("LJ", "LK")])
def test_rectangles_lie_inside_the_edge_and_two_millimetres_apart(demo, code):
    """Measured here side by side, not by what laid them; arithmetic."""
    boxes = [
        (one.x_mm, one.y_mm, one.x_mm + one.width_mm, one.y_mm + one.height_mm)
        for one in kept_of(code).laid
    ]

    for left, top, right, bottom in boxes:
        assert (left >= 5, top >= 5, right <= 595, bottom <= 395) == (True,) * 4
    for one, other in combinations(boxes, 2):
        across = max(one[0], other[0]) - min(one[2], other[2])
        down = max(one[1], other[1]) - min(one[3], other[3])
        assert max(across, down) >= 2


def distance_squared(corner, one, other):
    """Squared distance of a corner from a side, exactly."""
    along = other[0] - one[0], other[1] - one[1]
    away = corner[0] - one[0], corner[1] - one[1]
    length = along[0] ** 2 + along[1] ** 2
    part = (along[0] * away[0] + along[1] * away[1]) / Fraction(length)
    part = min(Fraction(1), max(Fraction(0), part))
    return (away[0] - part * along[0]) ** 2 + (away[1] - part * along[1]) ** 2


def sides(corners):
    return list(zip(corners, corners[1:] + corners[:1], strict=True))


def is_parted(one, other):
    """Say whether a side of one has all of the other beyond it; for convex pieces."""
    for (ax, ay), (bx, by) in sides(one):
        turns = [(bx - ax) * (y - ay) - (by - ay) * (x - ax) for x, y in other]
        own = [(bx - ax) * (y - ay) - (by - ay) * (x - ax) for x, y in one]
        if (max(turns) < 0 <= min(own)) or (max(own) <= 0 < min(turns)):
            return True
    return False


@pytest.mark.parametrize("code", ["LJ", "LK"])
def test_tapered_pieces_lie_inside_the_edge_and_two_millimetres_apart(demo, code):
    """Corner to side both ways, for convex pieces that do not meet; geometry."""
    kept = kept_of(code)
    places = [turned(kept.pieces[one.kind].corners_mm, one) for one in kept.laid]

    for corners in places:
        assert all(5 <= x <= 595 and 5 <= y <= 395 for x, y in corners)
    for one, other in combinations(places, 2):
        assert is_parted(one, other) or is_parted(other, one)
        nearest = min(
            distance_squared(corner, *side)
            for these, those in ((one, other), (other, one))
            for corner in these
            for side in sides(those)
        )
        assert nearest >= 4


def turned(corners, one):
    """Turn by quarters about the origin, then push the box to where it lies."""
    for _ in range(one.quarters):
        corners = [(-y, x) for x, y in corners]
    left, top = (min(values) for values in zip(*corners, strict=True))
    return [(one.x_mm + x - left, one.y_mm + y - top) for x, y in corners]


@pytest.mark.parametrize("code", GIVES)
def test_the_page_of_a_layout_shows_its_drawing_and_gives_its_files(demo, client, code):
    client.force_login(Person.objects.get(role=Person.Role.OWNER))
    layout = Layout.objects.get(code=code)

    page = client.get(reverse("production:layout_show", args=[layout.pk]))
    text = page.content.decode()

    assert f"One sheet of {code}" in text
    assert "Not drawn" not in text
    assert "the book counts something else" not in text
    assert reverse("production:layout_file", args=[layout.pk, "svg"]) in text


def test_a_set_shows_the_sheet_that_it_is_cut_from(demo, client):
    client.force_login(Person.objects.get(role=Person.Role.OWNER))

    page = client.get(reverse("inventory:item_show", args=["SG-090"])).content.decode()

    assert "Not drawn" not in page
    assert "1 A1025, 1 SQ950, 6 SQ350 on a sheet of 600 × 400 mm." in page
