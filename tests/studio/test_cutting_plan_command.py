"""The command that plans cutting: what it writes, and what it refuses."""

import json
from fractions import Fraction
from io import BytesIO

import pytest
from django.core.management import CommandError, call_command
from pypdf import PdfReader

from inventory.models import BundleContents
from studio import plan_papers, printing
from studio.maths import cutting_plan
from studio.maths.cloth import PreCut
from studio.maths.cutting_list import CutPiece
from studio.maths.cutting_units import Wanted
from tests.factories.inventory import ItemFactory

HEAD = "name,width,height,count,cloth,turn\n"


def bundle_of(form, count, prints):
    item = ItemFactory(code="FB-09", name="Rook Parliament", kind="bundle")
    return BundleContents.objects.create(
        item=item, form=form, count=count, prints=prints
    )


@pytest.fixture
def pieces(tmp_path):
    def write(rows, head=HEAD):
        file = tmp_path / "pieces.csv"
        file.write_text(head + rows, encoding="utf-8")
        return str(file)

    return write


def test_a_plan_off_a_bolt_says_the_length_the_cuts_and_the_caution(pieces, capsys):
    call_command("cutting_plan", pieces('A,4 5/8,4⅝",24,,\n'), bolt="42")

    said = capsys.readouterr().out
    assert "This takes 13⅞ in off a bolt of 42 in usable width." in said
    assert "4–27. 24 cross-cuts at 4⅝ in, from 3 strips of 4⅝ in." in said
    assert "Close its guard every time it leaves your hand" in said


def test_a_plan_for_machines_holds_exact_lengths_and_nothing_else(pieces, capsys):
    file = pieces("A,11.75 cm,6 cm,10,,no\n")

    call_command("cutting_plan", file, bolt="42", for_machines=True)

    plan = json.loads(capsys.readouterr().out)
    assert plan["length"] == "600/127"
    assert (plan["proven"], len(plan["placements"])) == (True, 10)


def test_each_cloth_has_a_plan_and_a_drawing_of_its_own(pieces, capsys, tmp_path):
    file = pieces("A,4,4,4,dark,\nB,2,2,4,light,\n")
    drawn = tmp_path / "plan.svg"

    call_command("cutting_plan", file, size="18x21", svg=drawn, for_machines=True)

    plans = json.loads(capsys.readouterr().out)["plans"]
    assert [(plan["name"], plan["stock_used"]) for plan in plans] == [
        ("dark", 1),
        ("light", 1),
    ]
    assert [file.name for file in sorted(tmp_path.glob("*.svg"))] == [
        "plan-1.svg",
        "plan-2.svg",
    ]


def sheets_of(file):
    """The words on each sheet of a PDF, with the breaks of lines taken out."""
    pages = PdfReader(BytesIO(file.read_bytes())).pages
    return [" ".join(page.extract_text().split()) for page in pages]


needs_press = pytest.mark.skipif(
    not printing.pdf_available()[0], reason=printing.pdf_available()[1]
)


@needs_press
@pytest.mark.parametrize("stages", [2, 3])
def test_a_printed_plan_has_its_bound_its_cuts_and_the_caution_on_every_sheet(
    pieces, tmp_path, stages
):
    rows = "Goose,5 1/4,5 1/4,12,ground,\nSky,2 7/8,2 7/8,48,point,\n"
    printed = tmp_path / "plan.pdf"

    call_command("cutting_plan", pieces(rows), bolt="42", stages=stages, pdf=printed)

    sheets = sheets_of(printed)
    assert len(sheets) == 2
    # By hand: 8 squares of 5¼ in across 42 in, so 2 strips; 14 of 2⅞ in, so 4 strips.
    assert "This takes 10½ in off a bolt of 42 in usable width." in sheets[0]
    assert "This takes 11½ in off a bolt of 42 in usable width." in sheets[1]
    assert "1–2 2 strips of 5¼ in, cut across." in sheets[0]
    assert "Keep: 1 of 21 × 5¼ in." in sheets[0]
    assert [sheet.count("That is the least possible.") for sheet in sheets] == [1, 1]
    assert [plan_papers.BLADE in sheet for sheet in sheets] == [True, True]


@needs_press
def test_a_long_bolt_is_drawn_in_parts_at_one_scale(pieces, tmp_path):
    printed = tmp_path / "plan.pdf"

    call_command(
        "cutting_plan", pieces("Sash,40,2 1/2,40,,no\n"), bolt="42", pdf=printed
    )

    sheets = sheets_of(printed)
    # By hand: 40 strips of 2½ in are 100 in; a sheet holds 165 mm at 1 : 6, 15 strips.
    assert "From 0 in to 37½ in" in sheets[0]
    assert "From 37½ in to 75 in" in " ".join(sheets)
    assert "From 75 in to 100 in" in " ".join(sheets)
    assert "1–15 15 strips of 2½ in, cut across." in sheets[0]
    assert [plan_papers.BLADE in sheet for sheet in sheets] == [True] * len(sheets)


def test_a_drawing_on_paper_is_as_many_millimetres_wide_as_its_scale_says():
    wanted = [Wanted(CutPiece("A", "", 4, Fraction(9), Fraction(9)))]
    plan = cutting_plan.fewest_pieces(wanted, PreCut("cloth", *[Fraction(20)] * 2))

    shown = plan_papers.on_paper("", plan)

    # By hand: 20 in and a tenth at each edge, 20.2 × 25.4 ÷ 5 = 102.616 mm.
    assert shown.one_to == 5
    assert 'width="102.62mm" height="102.62mm"' in shown.parts[0].picture


@needs_press
@pytest.mark.django_db
def test_a_printed_plan_from_a_bundle_says_how_many_bundles(pieces, tmp_path, capsys):
    contents = bundle_of("fat-quarter", 5, 5)
    printed = tmp_path / "plan.pdf"
    file = pieces("A,4 5/8,4 5/8,24,,\n")

    call_command("cutting_plan", file, bundle=contents.item.code, pdf=printed)

    assert "1 bundle of FB-09 is needed; 3 fat quarters stay whole." in " ".join(
        sheets_of(printed)
    )


def test_a_plan_that_cannot_be_written_is_refused(pieces, tmp_path):
    with pytest.raises(CommandError, match="cannot be written") as refused:
        call_command(
            "cutting_plan",
            pieces("A,4,4,1,,\n"),
            bolt="42",
            svg=tmp_path / "no such folder" / "plan.svg",
        )

    assert refused.value.returncode == 2


@pytest.mark.django_db
def test_a_bundle_is_looked_up_and_what_stays_whole_is_said(pieces, capsys):
    contents = bundle_of("fat-quarter", 5, 5)
    file = pieces("A,4 5/8,4 5/8,24,,\n")

    call_command("cutting_plan", file, bundle=contents.item.code)

    said = capsys.readouterr().out
    assert "This takes 2 of: fat quarter, 18 × 21 in." in said
    assert (
        f"1 bundle of {contents.item.code} is needed; 3 fat quarters stay whole."
        in (said)
    )


@pytest.mark.django_db
def test_a_bundle_that_is_not_in_the_book_or_holds_no_prints_is_refused(pieces):
    empty = bundle_of("strip", 5, 0)
    file = pieces("A,2,2,4,,\n")

    with pytest.raises(CommandError, match="No bundle in the book has the code “NO”"):
        call_command("cutting_plan", file, bundle="NO")
    with pytest.raises(CommandError, match="5 pieces in 0 prints"):
        call_command("cutting_plan", file, bundle=empty.item.code)


@pytest.mark.parametrize(
    ("row", "said"),
    [
        ("A,44,43,1,,", "“A” is 44 × 43 in, which does not fit on cloth of 42 in"),
        ("A,4 5/,4,1,,", "Line 2, “A”: the width cannot be read."),
        ("A,0,4,1,,", "Line 2, “A”: the width is nought."),
        ("A,4,-4,1,,", "Line 2, “A”: the height cannot be read."),
        ("A,4,3000,1,,", "“A” is 3000 in long. A piece is 360 in at most"),
        ("A,4,4,nil,,", "Line 2, “A”: the count is “nil”."),
        ("A,4,4,0,,", "Line 2, “A”: the count is “0”."),
        ("A,4,4,1,,maybe", "the turn column says “maybe”"),
        (",4,4,1,,", "The piece has no name."),
        ("", "The list names no piece."),
    ],
)
def test_what_cannot_be_cut_is_refused_with_a_sentence_and_nothing_is_written(
    pieces, tmp_path, row, said
):
    drawn = tmp_path / "plan.svg"

    with pytest.raises(CommandError) as refused:
        call_command(
            "cutting_plan", pieces(f"{row}\n"), bolt="42", svg=drawn, pdf=drawn
        )

    assert said in str(refused.value)
    assert refused.value.returncode == 2
    assert list(tmp_path.iterdir()) == [tmp_path / "pieces.csv"]


@pytest.mark.parametrize(
    ("words", "said"),
    [
        ({"bolt": "4x"}, "The width of the bolt cannot be read."),
        ({"bolt": "3000"}, "144 in at most"),
        ({"size": "18"}, "Write width x height, such as 18x21."),
        ({"bolt": "42", "seconds": "-1"}, "“-1” is no number of seconds."),
    ],
)
def test_cloth_and_seconds_that_cannot_be_read_are_refused(pieces, words, said):
    with pytest.raises(CommandError) as refused:
        call_command("cutting_plan", pieces("A,4,4,1,,\n"), **words)

    assert said in str(refused.value)


def test_a_file_that_is_not_there_or_has_no_heads_is_refused(pieces, tmp_path):
    with pytest.raises(CommandError, match="cannot be opened"):
        call_command("cutting_plan", str(tmp_path / "none.csv"), bolt="42")
    with pytest.raises(CommandError, match="Missing: width, height, count"):
        call_command("cutting_plan", pieces("A\n", head="name\n"), bolt="42")
