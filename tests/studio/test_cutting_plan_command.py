"""The command that plans cutting: what it writes, and what it refuses."""

import json

import pytest
from django.core.management import CommandError, call_command

from inventory.models import BundleContents
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
    assert "2–10. 9 cross-cuts at 4⅝ in." in said
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
        call_command("cutting_plan", pieces(f"{row}\n"), bolt="42", svg=drawn)

    assert said in str(refused.value)
    assert refused.value.returncode == 2
    assert not drawn.exists()


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
