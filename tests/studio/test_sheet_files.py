"""Files for the cutter, read back by other programs' rules for SVG and DXF."""

import io
import re
import sys
from fractions import Fraction
from xml.etree import ElementTree

import ezdxf
import pytest

from studio import sheet_files
from studio.maths.sheet_layout import Sheet
from studio.maths.sheets import drawn, keeping, layout
from studio.maths.sheets.problem import SheetPiece

SVG = "{http://www.w3.org/2000/svg}"
SHEET = Sheet(Fraction(300), Fraction(200), Fraction(10), Fraction(2))
KERF = Fraction(1, 5)
LAYERS = ["cut-lines", "engraved-lines", "words", "check-line"]


def drawing(*, kerf=Fraction(0), name="A425 & more", sheet=SHEET):
    piece = SheetPiece(name, Fraction("107.95"), Fraction("60.325"), turns=False)
    plan = layout.lay_out([piece], sheet, seconds=0.05)
    return drawn_of(plan, kerf=kerf)


def drawn_of(plan, *, kerf=Fraction(0)):
    kept = keeping.keep(plan, plan.laid, kerf_mm=kerf, kerf_in=True)
    return kept.drawing("One sheet")


def svg_groups(text):
    root = ElementTree.fromstring(text)  # noqa: S314 - our own file
    return root, {group.get("id"): group for group in root.findall(f"{SVG}g")}


def numbers(text):
    return [Fraction(number) for number in re.findall(r"-?[0-9.]+", text)]


def size_of(path):
    found = numbers(path.get("d"))
    across, down = found[::2], found[1::2]
    return max(across) - min(across), max(down) - min(down)


def read_back(text):
    return ezdxf.read(io.StringIO(text))


def test_one_unit_of_the_svg_is_one_millimetre():
    root, _ = svg_groups(sheet_files.svg_file(drawing()))

    assert (root.get("width"), root.get("height")) == ("300mm", "200mm")
    assert root.get("viewBox") == "0 0 300 200"


def test_lines_to_cut_lines_to_engrave_and_words_lie_apart():
    _, groups = svg_groups(sheet_files.svg_file(drawing()))

    assert list(groups) == LAYERS
    assert [len(groups[name]) for name in LAYERS] == [1, 1, 1, 2]
    assert groups["words"][0].text == "A425 & more"


@pytest.mark.parametrize(
    ("kerf", "size"),
    [(Fraction(0), ("107.95", "60.325")), (KERF, ("108.15", "60.525"))],
    ids=["kerf not in", "kerf in"],
)
def test_the_cut_line_has_the_kerf_in_or_not(kerf, size):
    """A kerf of 0.2 mm; a new size worked by hand."""
    _, groups = svg_groups(sheet_files.svg_file(drawing(kerf=kerf)))

    assert size_of(groups["cut-lines"][0]) == tuple(map(Fraction, size))


def test_the_engraved_line_is_the_seam_whatever_the_kerf():
    """A quarter inch in on each side: 107.95 − 12.7 = 95.25 mm; arithmetic."""
    _, groups = svg_groups(sheet_files.svg_file(drawing(kerf=KERF)))

    assert size_of(groups["engraved-lines"][0]) == (
        Fraction("95.25"),
        Fraction("47.625"),
    )


def test_the_check_line_is_a_hundred_millimetres_in_the_edge():
    _, groups = svg_groups(sheet_files.svg_file(drawing()))
    line = groups["check-line"].find(f"{SVG}line")

    ends = [Fraction(line.get(name)) for name in ("x1", "y1", "x2", "y2")]

    assert ends == [10, 195, 110, 195]


def test_a_tall_sheet_has_its_check_line_along_the_tall_side():
    tall = Sheet(Fraction(80), Fraction(200), Fraction(4), Fraction(2))
    piece = SheetPiece("Bar", Fraction(20), Fraction(20))
    plan = layout.lay_out([piece], tall, seconds=0.05)

    (start, end) = drawn_of(plan).check

    assert (start, end) == ((2, 4), (2, 104))


def test_a_small_piece_has_no_seam_to_engrave():
    piece = SheetPiece("Chip", Fraction(15), Fraction(60))
    plan = layout.lay_out([piece], SHEET, seconds=0.05)

    found = drawn_of(plan)

    assert (len(found.cut), len(found.engraved)) == (1, 0)


def test_another_outline_is_moved_outward_whichever_way_it_runs():
    """A right triangle 30, 40, 50 moved out by 0.1: its legs grow by 0.3 and 0.4.

    The growth of a leg is the distance × (cot 45° + cot of half the other angle):
    0.1 × (1 + 2) at the sharp end, 0.1 × (1 + 3) at the sharper; trigonometry.
    """
    corners = tuple(
        (Fraction(x), Fraction(y)) for x, y in ((50, 50), (80, 50), (50, 90))
    )

    both = [
        drawn.drawn_outlines("One", [("T", one)], SHEET, kerf_mm=KERF).cut[0]
        for one in (corners, corners[::-1])
    ]

    for outline in both:
        across, down = zip(*outline, strict=True)
        assert max(across) - min(across) == Fraction("30.3")
        assert max(down) - min(down) == Fraction("40.4")


def test_the_dxf_is_in_millimetres_with_the_same_layers():
    document = read_back(sheet_files.dxf_file(drawing(kerf=KERF)))

    assert document.dxfversion == "AC1024"  # R2010, by the table of DXF releases.
    assert document.header["$INSUNITS"] == 4  # Millimetres, by the same reference.
    assert set(LAYERS) <= {layer.dxf.name for layer in document.layers}


def test_the_dxf_says_the_same_as_the_svg():
    one = drawing(kerf=KERF)
    space = read_back(sheet_files.dxf_file(one)).modelspace()

    (cut,) = space.query('LWPOLYLINE[layer=="cut-lines"]')
    (line,) = space.query('LINE[layer=="check-line"]')
    (words,) = space.query('TEXT[layer=="words"]')

    points = sorted((round(x, 6), round(y, 6)) for x, y in cut.get_points("xy"))
    assert points == sorted((float(x), float(200 - y)) for x, y in one.cut[0])
    assert cut.closed
    assert line.dxf.start.distance(line.dxf.end) == 100
    assert words.dxf.text == "A425 & more"
    assert len(space.query('LWPOLYLINE[layer=="engraved-lines"]')) == 1


def test_without_the_library_the_svg_is_named_instead(monkeypatch):
    monkeypatch.setitem(sys.modules, "ezdxf", None)

    with pytest.raises(sheet_files.DxfUnavailable, match="use the SVG file"):
        sheet_files.dxf_file(drawing())
