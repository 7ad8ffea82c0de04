"""The command that plans cutting: what it writes, and what it refuses."""

import json
from fractions import Fraction
from io import BytesIO

import pytest
from django.core.management import call_command
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


@pytest.fixture
def refusal(capsys):
    """Ask what cannot be done; give the sentence that is written with exit 2."""

    def ask(*words, **options):
        with pytest.raises(SystemExit) as refused:
            call_command("cutting_plan", *words, **options)
        assert refused.value.code == 2
        return capsys.readouterr().err

    return ask


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


def test_a_plan_that_cannot_be_written_is_refused(pieces, refusal, tmp_path):
    nowhere = tmp_path / "no such folder" / "plan.svg"

    assert "cannot be written" in refusal(pieces("A,4,4,1\n"), bolt="42", svg=nowhere)


def test_without_the_libraries_of_paper_the_plan_says_what_to_install(
    pieces, refusal, tmp_path, monkeypatch
):
    def missing():
        raise printing.PdfUnavailable("Type this to have papers.")

    monkeypatch.setattr(printing, "_press", missing)
    printed = tmp_path / "plan.pdf"

    said = refusal(pieces("A,4,4,1\n"), bolt="42", pdf=printed)

    assert said == "Type this to have papers.\n"
    assert not printed.exists()


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
def test_a_bundle_that_is_not_in_the_book_or_holds_no_prints_is_refused(
    pieces, refusal
):
    empty = bundle_of("strip", 5, 0)
    file = pieces("A,2,2,4,,\n")

    assert "No bundle in the book has the code “NO”" in refusal(file, bundle="NO")
    assert "5 pieces in 0 prints" in refusal(file, bundle=empty.item.code)


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
    pieces, refusal, tmp_path, row, said
):
    drawn = tmp_path / "plan.svg"

    sentence = refusal(pieces(f"{row}\n"), bolt="42", svg=drawn, pdf=drawn)

    assert said in sentence
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
def test_cloth_and_seconds_that_cannot_be_read_are_refused(
    pieces, refusal, words, said
):
    assert said in refusal(pieces("A,4,4,1,,\n"), **words)


def test_a_file_that_is_not_there_or_has_no_heads_is_refused(pieces, refusal, tmp_path):
    nowhere = str(tmp_path / "none.csv")

    assert "cannot be opened" in refusal(nowhere, bolt="42")
    assert "Missing: width, height, count" in refusal(
        pieces("A\n", head="name\n"), bolt="42"
    )


@pytest.mark.parametrize(
    ("typed", "takes"),
    [("18x21", 2), ("18 × 21", 2), ("50 cm x 55 cm", 2), ("50x55cm", 2), ("10x10", 6)],
)
def test_the_size_of_a_pre_cut_piece_is_read_as_it_is_written(
    pieces, capsys, typed, takes
):
    # By hand: 12 squares of 4⅝ in to a fat quarter, of inches or of metres, 4 to 10 in.
    file = pieces("A,4 5/8,4 5/8,24\n")

    call_command("cutting_plan", file, size=typed, for_machines=True)

    plan = json.loads(capsys.readouterr().out)
    assert (plan["stock_used"], plan["bound"], plan["gap"]) == (takes, takes, 0)


def test_the_file_for_programs_has_its_names_and_exact_lengths(pieces, capsys):
    call_command(
        "cutting_plan", pieces("A,5 1/4,5 1/4,9\n"), bolt="42", for_machines=True
    )

    plan = json.loads(capsys.readouterr().out)
    assert {"length", "bound", "proven", "gap", "seconds"} < set(plan)
    # By hand: eight of 5¼ in fill 42 in, so the ninth starts a second strip.
    assert (plan["length"], plan["bound"], plan["gap"]) == ("21/2", "21/2", "0")
    assert plan["placements"][-1] == {
        "name": "A",
        "stock": 1,
        "x": "0",
        "y": "21/4",
        "width": "21/4",
        "height": "21/4",
        "turned": False,
    }
    assert [cut["ruler"] for cut in plan["cuts"]] == ["5¼ in"] * len(plan["cuts"])
    assert [cut["number"] for cut in plan["cuts"]] == list(range(1, 11))
