"""A new size from finished inches to a passed test: the story, worked by hand."""

from urllib.parse import parse_qs, urlsplit
from uuid import uuid4

import pytest

from inventory.models import BlockTest, Design
from inventory.queries.blocks import last_test
from studio.lengths import parse_length
from tests.factories.blocks import a_piece, a_ringfence_design
from tests.factories.inventory import PersonFactory, StudioFactory
from tests.inventory.conftest import rows_of, sentence_of, words_of

PAGE = "/blocks/test-block/"
KEEP = "/blocks/test-block/keep/"
MEASURED = "11 11/16, 11¾, 11⅝, 11¾"


@pytest.fixture
def owner(client, db):
    StudioFactory()
    client.force_login(PersonFactory())
    return client


@pytest.fixture
def helper(client, db):
    StudioFactory()
    client.force_login(PersonFactory(name="Rufus Penhallin", role="workshop"))
    return client


@pytest.fixture
def story(owner):
    a_piece("A425", "4 1/4", "4 1/4", "Sandglass 3 A")
    design = a_ringfence_design()
    return {"design": str(design.pk), "size": "11¼", "number": "12"}


def test_the_pieces_of_a_new_size(owner, story):
    """4⅝, 4¼ and 2⅜ × 4¼, to the millimetre, the kerf and the sheet: worked by hand."""
    page = owner.get(PAGE, story)

    rows = rows_of(page, "The pieces to cut")
    assert [row[2:] for row in rows] == [
        ["4⅝ in square", "117.475 mm square", "117.675 mm", "12"],
        ["4¼ in square", "107.95 mm square", "108.15 mm", "15"],
        [
            "2⅜ × 4¼ in",
            "60.325 × 107.95 mm",
            "60.525 × 108.15 mm",
            "30 turned (27 upright)",
        ],
    ]


def test_what_is_there_already_is_asked_about(owner, story):
    words = words_of(owner.get(PAGE, story))

    assert (
        "The centre is the same size as A425. The text differs: share a re-engraved "
        "piece, or keep two?"
    ) in words
    assert "Nothing in the book is the size of the A square." in words


def test_a_box_that_may_stay_empty_says_what_that_means(owner):
    words = words_of(owner.get(PAGE))

    assert "What the sewn blocks measure Raw edge to raw edge" in words
    assert "Empty if they are not measured." in words


def test_the_dark_cloth_for_twelve_blocks(owner, story):
    """24 A squares: 2 fat quarters or 6 ten-inch squares; worked by hand."""
    rows = rows_of(owner.get(PAGE, story), "The cloth")

    assert [
        "Dash",
        "Triangle square",
        "24",
        "4⅝ in square",
        "2 fat quarters or 6 ten-inch squares",
    ] in rows


def test_before_it_is_sewn_the_raw_size_is_said(owner, story):
    page = owner.get(PAGE, story)

    assert "The raw block should measure 11¾ in, raw edge to raw edge." in words_of(
        page
    )
    assert "Keep this test" not in words_of(page)


def test_a_test_that_is_not_passed_says_where_it_is_lost(owner, story):
    """Block 3 ⅛ short: each join 1/16 too much, each allowance 1/32 too wide."""
    page = owner.get(PAGE, {**story, "measured": MEASURED})

    assert sentence_of(page).endswith("the test block is not passed.")
    assert (
        "The raw block should measure 11¾ in, from 11 11/16 in to 11 13/16 in. Not "
        "passed. Block 3 is ⅛ in short: two joins across, so each join takes 1/16 in "
        "too much, each seam allowance 1/32 in too wide."
    ) in words_of(page)


def test_a_block_measured_unit_by_unit_says_which_seam(owner, story):
    """First unit 1/16 short and the second too, the third true: join 1 alone."""
    units = "3 15/16, 3 11/16, 4"

    words = words_of(owner.get(PAGE, {**story, "measured": MEASURED, "units": units}))

    assert (
        "Join 1 takes ⅛ in too much: each of its allowances is 1/16 in too wide. "
        "Join 2 is sewn as meant."
    ) in words


def test_joins_that_she_counts_herself_go_before_those_of_the_block(owner, story):
    """⅛ over four joins is 1/32 each, 1/64 an allowance: arithmetic."""
    asked = {**story, "measured": "11 5/8", "joins": "4"}

    assert "four joins across, so each join takes 1/32 in too much" in words_of(
        owner.get(PAGE, asked)
    )


def test_a_size_that_is_not_sold_yet_is_put_into_the_goods_from_here(owner, story):
    page = owner.get(PAGE, story)

    form = owner.get(page.context["add_url"]).context["form"]

    assert form["name"].value() == "Ringfence set, 11¼ in"
    assert form["finished_size"].value() == "11 1/4"
    assert form["kind"].value() == "set"
    assert str(form["design"].value()) == story["design"]


# ---------------------------------------------------------------- kept


def kept(owner, story, **more):
    sent = {**story, "measured": MEASURED, "request_id": str(uuid4()), **more}
    return sent, owner.post(KEEP, sent, follow=True)


def test_a_test_is_kept_beside_its_design_and_size(owner, story, standing_clock):
    _, page = kept(owner, story)

    test = last_test(Design.objects.get(), parse_length("11 1/4"))
    assert (test.passed, test.joins, test.block) == (False, 2, "churn-dash")
    assert test.by.name == "Merle Oakenby"
    assert test.tested_at == standing_clock
    assert test.measured_inches == tuple(map(parse_length, MEASURED.split(", ")))
    assert "The test of Ringfence is kept: not passed." in words_of(page)
    assert "11¼ in: not passed on" in words_of(page)


def test_sent_twice_it_is_kept_once(owner, story):
    sent, _ = kept(owner, story)

    owner.post(KEEP, sent)

    assert BlockTest.objects.count() == 1


def test_the_same_page_sent_with_other_sizes_is_refused(owner, story):
    sent, _ = kept(owner, story)

    page = owner.post(KEEP, {**sent, "measured": "11 3/4"}, follow=True)

    assert "This form was already sent once with other figures." in words_of(page)
    assert BlockTest.objects.get().passed is False


def test_the_last_test_counts_until_it_is_taken_back(owner, story):
    kept(owner, story)
    kept(owner, story, measured="11 3/4, 11 3/4")
    design, size = Design.objects.get(), parse_length("11 1/4")
    assert last_test(design, size).passed is True

    later = last_test(design, size)
    owner.post(f"/blocks/test-block/{later.pk}/take-back/", {"request_id": uuid4()})

    assert last_test(design, size).passed is False
    assert last_test(design, parse_length("9")) is None
    assert BlockTest.objects.count() == 2


def test_a_test_without_a_design_is_judged_and_not_kept(owner, story):
    _, page = kept(owner, {"block": "churn-dash", "size": "11 1/4"})

    assert "Choose a design and write what the blocks measure" in words_of(page)
    assert not BlockTest.objects.exists()
    assert "not passed" in sentence_of(page)


def test_what_was_typed_stays_in_the_address_after_keeping(owner, story):
    sent = {**story, "measured": MEASURED, "request_id": str(uuid4())}

    answer = owner.post(KEEP, sent)

    asked = parse_qs(urlsplit(answer.headers["Location"]).query)
    assert asked == {
        **{name: [value] for name, value in story.items()},
        "measured": [MEASURED],
    }


# ---------------------------------------------------------------- what cannot be


@pytest.mark.parametrize(
    ("asked", "sentence"),
    [
        ({"size": ""}, "Write how large the block ends up"),
        ({"size": "0"}, "Write how large the churn dash ends up."),
        ({"size": "-3"}, "is below nought"),
        ({"size": "3000"}, "150 in is the limit here."),
        ({"size": "11 1/32"}, "falls between the marks of a ruler"),
        ({"size": "9 1/4"}, "The nearest kind sizes are 9 in and"),
        ({"size": "4.5.1"}, "“4.5.1” is not a length."),
        ({"measured": "11 5/0"}, "The size of the block 1 cannot be read."),
        ({"measured": "11 3/4, 0"}, "how large the block 2 ends up"),
        ({"measured": "11 3/4", "joins": "0"}, "Write a whole number from 1 to 60."),
        ({"measured": "11 3/4", "allowed": "2"}, "A block may be up to 1 in off"),
        ({"measured": ",".join(["11"] * 25)}, "Up to 24 sizes go here."),
        ({"units": "4, 4"}, "3 units lie along the edge of this block, and 2 are"),
        ({"seam": "3"}, "A seam is above nought and up to 1 in"),
        ({"sheet": "600"}, "write its two sides, such as 600x400"),
        ({"kerf": "99"}, "10 mm is the limit"),
        ({"number": "0"}, "Write a whole number from 1 to 999."),
        ({"block": "no-such"}, "Choose a block from the list."),
        ({"design": "99"}, "Choose a design from the list, or none."),
    ],
)
def test_what_cannot_be_is_a_sentence_and_stays_written(owner, story, asked, sentence):
    page = owner.get(PAGE, {**story, "gap": "1.75", **asked})

    assert page.status_code == 200
    assert sentence in words_of(page)
    assert 'value="1.75"' in page.content.decode()


def test_a_design_without_a_block_and_a_hand_without_either_are_told(owner):
    design = a_ringfence_design(block="")

    with_design = owner.get(PAGE, {"design": design.pk, "size": "9"})
    with_nothing = owner.get(PAGE, {"size": "9"})

    assert "Ringfence has no block yet." in words_of(with_design)
    assert "Choose a design that has its block, or a block." in words_of(with_nothing)


def test_a_block_of_one_unit_has_no_join_of_its_own(owner, story):
    asked = {"block": "hourglass", "size": "3", "measured": "3 1/2"}

    assert "The hourglass is one unit: write the joins" in words_of(
        owner.get(PAGE, asked)
    )
    assert "is passed." in sentence_of(owner.get(PAGE, {**asked, "joins": "1"}))


def test_a_metric_block_is_judged_in_centimetres(owner, story):
    """30 cm and two seams of 0.75 cm: 31.5 cm: arithmetic."""
    page = owner.get(
        PAGE, {"block": "churn-dash", "size": "30 cm", "measured": "31.5 cm"}
    )

    assert "The raw block should measure 31.5 cm" in words_of(page)
    assert "the test block is passed." in sentence_of(page)


def test_only_the_owner_comes_in(helper):
    assert helper.get(PAGE).status_code == 403
