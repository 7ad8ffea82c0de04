"""The paper proof of a sheet: every millimetre of it on some page, at its true size."""

import io
import re
from fractions import Fraction
from itertools import pairwise

import ezdxf
import pytest
from pypdf import PdfReader

from studio import printing, sheet_files, sheet_proofs
from studio.lengths import to_mm
from studio.maths.sheet_layout import Sheet
from studio.maths.sheets import keeping, layout, outline_kinds
from studio.maths.sheets.problem import SheetPiece
from studio.maths.sheets.wording import fitted_words

POINTS_IN_MM = Fraction(360, 127)


def heart_and_square():
    two = Fraction(2)
    outline = outline_kinds.outline_mm("heart", (two, two), finished=True)
    heart = SheetPiece("Heart", *outline_kinds.box_mm(outline), outline_mm=outline)
    square = SheetPiece("A388", to_mm(Fraction(31, 8)), to_mm(Fraction(31, 8)))
    plan = layout.lay_out([heart, square], Sheet(), seconds=0.2)
    return keeping.keep(plan, plan.laid, kerf_mm=Fraction(1, 5), kerf_in=True)


@pytest.fixture(scope="module")
def drawing():
    return heart_and_square().drawing("Hearts")


@pytest.mark.parametrize(
    ("sides", "pages"),
    [
        ((600, 400), (4, 2)),
        ((180, 240), (1, 1)),
        ((181, 241), (2, 2)),
        ((90, 60), (1, 1)),
    ],
)
def test_pages_cover_the_sheet_with_an_overlap(sides, pages):
    """A page shows 180 × 240 mm, the next begins 170 or 230 mm on; arithmetic."""
    tiles = sheet_proofs.tiles_of(*map(Fraction, sides))

    assert (tiles.across, tiles.down) == pages


def test_every_page_is_at_true_size_and_its_neighbours_share_ten_millimetres(drawing):
    pages = sheet_proofs.proof_context(drawing, saw=False)["pages"]

    boxes = []
    for page in pages:
        wide, high = re.search(
            r'width="(\d+)mm" height="(\d+)mm"', page.picture
        ).groups()
        box = re.search(r'viewBox="(\d+) (\d+) (\d+) (\d+)"', page.picture).groups()
        assert (wide, high) == box[2:]
        boxes.append(tuple(map(int, box)))

    first_row = [box for box in boxes if box[1] == 0]
    assert [one[0] + one[2] - other[0] for one, other in pairwise(first_row)] == [
        10
    ] * 3
    assert max(x + wide for x, _, wide, _ in boxes) >= 600
    assert max(y + high for _, y, _, high in boxes) >= 400


def test_both_pages_of_an_overlap_carry_the_same_dashed_line(drawing):
    first, second = sheet_proofs.proof_context(drawing, saw=False)["pages"][:2]

    upright = r'<line x1="([\d.]+)" y1="0" x2="\1" y2="240"'

    shared = set(re.findall(upright, first.picture))
    assert shared == {"175"}
    assert shared <= set(re.findall(upright, second.picture))


def test_every_outline_stands_on_each_page_that_it_reaches(drawing):
    """Told from the corners of the outlines alone; plain geometry."""
    pages = sheet_proofs.proof_context(drawing, saw=False)["pages"]

    for page in pages:
        left, top = 170 * (page.column - 1), 230 * (page.row - 1)
        wanted = [
            outline
            for outline in (*drawing.cut, *drawing.engraved)
            if any(left < x < left + 180 and top < y < top + 240 for x, y in outline)
        ]
        drawn = page.picture.count('<path d="M') - page.picture.count("V")
        assert drawn >= len(wanted)
    assert pages[7].picture.count("Z") == 0


def test_a_page_names_its_neighbours(drawing):
    pages = sheet_proofs.proof_context(drawing, saw=False)["pages"]

    assert pages[1].beside == "left of it page 1, right of it page 3, below it page 6"
    assert pages[7].beside == "left of it page 7, above it page 4"


@pytest.mark.skipif(not printing.pdf_available()[0], reason="no library for PDF here")
def test_the_proof_is_a4_with_cautions_and_the_words_to_print_it_by(drawing):
    pdf = PdfReader(io.BytesIO(sheet_proofs.proof_pdf(drawing, saw=True)))

    words = [" ".join(page.extract_text().split()) for page in pdf.pages]
    assert len(words) == 9
    assert "print at 100 %" in words[0]
    assert "riving knife" in words[0]
    assert "A kerf of 0.2 mm is in the cut lines already" in words[0]
    assert all("This line is 100 mm. Print at 100 %." in page for page in words[1:])
    for page in pdf.pages:
        size = [Fraction(str(side)) / POINTS_IN_MM for side in page.mediabox[2:]]
        assert [round(side) for side in size] == [210, 297]


@pytest.mark.skipif(not printing.pdf_available()[0], reason="no library for PDF here")
def test_a_square_on_paper_is_as_large_as_it_is_drawn():
    """A388 with a kerf of 0.2 mm is 98.625 mm; arithmetic. Read from the page's marks."""
    kept = heart_and_square()
    kept = keeping.KeptSheet(
        kept.pieces, kept.sheet, kept.laid[:2], kept.kerf_mm, kerf_in=True
    )
    pdf = PdfReader(io.BytesIO(sheet_proofs.proof_pdf(kept.drawing("S"), saw=False)))
    sizes = set()
    scale, stack = [Fraction(1)], []

    def seen(operator, operands, _matrix, _text):
        if operator == b"q":
            stack.append(scale[0])
        elif operator == b"Q":
            scale[0] = stack.pop()
        elif operator == b"cm":
            scale[0] *= abs(Fraction(str(operands[0])))
        elif operator in (b"m", b"l"):
            if operator == b"m":
                spots.clear()
            spots.append(Fraction(str(operands[0])) * scale[0])
        elif operator == b"h" and spots:
            sizes.add(round(float((max(spots) - min(spots)) / POINTS_IN_MM), 2))
            spots.clear()

    spots = []
    pdf.pages[1].extract_text(visitor_operand_before=seen)

    assert any(abs(size - 98.625) < 0.02 for size in sizes)


def test_outlines_of_a_mixed_sheet_are_read_back_from_dxf_as_they_are_drawn(drawing):
    document = ezdxf.read(io.StringIO(sheet_files.dxf_file(drawing)))

    lines = document.modelspace().query('LWPOLYLINE[layer=="cut-lines"]')
    found = [[(x, 400 - y) for x, y in line.get_points("xy")] for line in lines]

    assert document.units == ezdxf.units.MM
    assert [line.closed for line in lines] == [True, True]
    for corners, drawn in zip(found, drawing.cut, strict=True):
        for at, corner in zip(corners, drawn, strict=True):
            assert (
                max(abs(a - float(b)) for a, b in zip(at, corner, strict=True)) < 1e-9
            )
    assert len(document.modelspace().query('LWPOLYLINE[layer=="engraved-lines"]')) == 2
    assert len(document.modelspace().query('TEXT[layer=="words"]')) == 2


@pytest.mark.reference
def test_the_kerf_and_the_seam_are_what_another_geometry_library_moves():
    geometry = pytest.importorskip("shapely")
    kept = heart_and_square()
    drawing = kept.drawing("Hearts")

    def polygon(corners):
        return geometry.Polygon([(float(x), float(y)) for x, y in corners])

    plain = keeping.KeptSheet(kept.pieces, kept.sheet, kept.laid).drawing("Plain")
    for cut, seam, nominal in zip(
        drawing.cut, drawing.engraved, plain.cut, strict=True
    ):
        grown = polygon(nominal).buffer(0.1, join_style="mitre", mitre_limit=20)
        shrunk = polygon(nominal).buffer(-6.35, join_style="mitre", mitre_limit=20)
        assert polygon(cut).symmetric_difference(grown).area < 0.5
        assert polygon(seam).symmetric_difference(shrunk).area < 0.5


def test_a_small_sheet_has_a_shorter_check_line():
    """No 100 mm on a sheet of 90 × 60 mm with 5 mm left all round: 50 mm; arithmetic."""
    piece = SheetPiece("Bit", Fraction(20), Fraction(20))
    small = Sheet(Fraction(90), Fraction(60))
    plan = layout.lay_out([piece], small, seconds=0.05)

    kept = keeping.keep(plan, plan.laid, kerf_mm=Fraction(0), kerf_in=True)
    drawing = kept.drawing("Small")

    assert drawing.check == ((5, Fraction(115, 2)), (55, Fraction(115, 2)))
    assert "The check line is 50 mm" in drawing.notes[1]
    assert ">50 mm</text>" in sheet_files.svg_file(drawing)


def test_a_name_is_written_inside_its_outline():
    """Half a square of 60 mm: its centre of area is at a third of each leg."""
    sixty, nought = Fraction(60), Fraction(0)

    words = fitted_words("T", ((nought, nought), (sixty, nought), (nought, sixty)))
    long = fitted_words(
        "A long name of it", ((nought, nought), (sixty, nought), (nought, sixty))
    )

    assert (words.x_mm, words.y_mm, words.size_mm) == (20, 20, 6)
    assert long.size_mm < words.size_mm
