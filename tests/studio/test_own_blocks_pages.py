"""A block of one's own: laid out without any script, kept, changed and taken back."""

import re
from fractions import Fraction
from html import unescape
from uuid import uuid4

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from studio import block_book, own_block_keeping
from studio.maths import own_blocks
from studio.models import OwnBlock
from tests.conftest import MORNING
from tests.factories.studio import OwnerFactory, PackerFactory, WorkshopFactory
from tests.studio.pages import client_of, said

pytestmark = pytest.mark.django_db

NEW = "/blocks/own/"
FOUR = """Steps: 2 by 2
square: light at 1 1
half-square triangle: light, dark at 2 1
half-square triangle: light, dark at 1 2, turned 2
square: dark at 2 2"""


def form_of(answer):
    """What the page would send: every box as it stands."""
    data = dict(answer.context["form"].data)
    return {name: value for name, value in data.items() if name not in ("at", "do")}


def open_form(client, url=NEW):
    return form_of(client.get(url))


def press(client, data, /, url=NEW, **changed):
    """Press a button: `at="2-1"` a place, `do="keep"` a button. Give the answer."""
    return client.post(url, {**data, **changed})


def lines_in(answer):
    return answer.context["form"]["lines"].value().splitlines()


def words_of(answer):
    html = re.sub(r"(?s)<svg.*?</svg>", " ", answer.content.decode())
    return " ".join(unescape(re.sub(r"<[^>]+>", " ", html)).split())


def kept(lines=FOUR, name="Two by two", request_id=None):
    return own_block_keeping.add_block(
        lines, name=name, request_id=request_id or uuid4(), by=None, now=MORNING
    )


def change(keeping, name, number_seen=None):
    return own_block_keeping.change_block(
        keeping.word,
        keeping.lines,
        name=name,
        number_seen=number_seen or keeping.number,
        request_id=uuid4(),
        by=None,
        now=MORNING,
    )


# ------------------------------------------------------------ laying it out


def test_a_star_is_laid_out_by_pressing_places_and_kept(at_owners):
    data = open_form(at_owners)
    for at in ("1-1", "4-1", "4-4", "1-4"):
        data = form_of(press(at_owners, data, at=at))
    goose = {"patch": "flying geese", "cloth_2": "star", "turn": "2"}
    data = form_of(press(at_owners, data, at="2-1", four="on", **goose))
    data.pop("four")
    centre = {"patch": "square", "cloth_1": "centre", "wide": "2", "high": "2"}
    data = form_of(press(at_owners, data, at="2-2", **centre))

    answer = press(at_owners, data, do="keep", name="Garden gate")

    assert answer.headers["Location"] == "/blocks/garden-gate/"
    star = block_book.find("garden gate").block
    assert star.roles == ("ground", "star", "centre")
    # Sawtooth Star block, a quilting magazine, 2013: the same cut list at 8 in.
    page = at_owners.get("/blocks/garden-gate/", {"size": "8"})
    assert "Goose square 1 5¼ in square" in words_of(page)
    assert "Square 1 4½ in square" in words_of(page)


def test_a_bare_place_takes_what_is_in_hand_and_a_patch_is_taken_up(at_owners):
    laid = press(at_owners, open_form(at_owners), at="3-2")
    taken = press(at_owners, form_of(laid), at="3-2", cloth_1="point")
    changed = press(at_owners, form_of(taken), do="put", cloth_1="star")
    out = press(
        at_owners, form_of(press(at_owners, form_of(changed), at="3-2")), do="out"
    )

    assert lines_in(laid) == ["square: ground at 3 2"]
    assert taken.context["form"]["cloth_1"].value() == "ground"
    assert lines_in(changed) == ["square: star at 3 2"]
    assert lines_in(out) == []
    assert OwnBlock.objects.count() == 0


def test_what_was_changed_in_hand_is_not_lost_by_pressing_another_button(at_owners):
    data = form_of(press(at_owners, open_form(at_owners), at="1-1"))
    data = form_of(press(at_owners, data, at="1-1"))

    answer = press(at_owners, data, do="show", cloth_1="star")

    assert lines_in(answer) == ["square: star at 1 1"]


def test_what_is_typed_into_the_lines_goes_before_what_is_in_hand(at_owners):
    data = form_of(press(at_owners, open_form(at_owners), at="1-1"))
    data = form_of(press(at_owners, data, at="1-1"))

    answer = press(at_owners, data, do="lines", lines="square: star at 1 1")

    assert lines_in(answer) == ["square: star at 1 1"]


def test_lines_that_are_typed_are_laid_on_the_grid(at_owners):
    data = open_form(at_owners)

    answer = press(at_owners, data, do="lines", lines=f"Name: Two by two\n{FOUR}")

    form = answer.context["form"]
    assert (form["across"].value(), form["name"].value()) == ("2", "Two by two")
    assert lines_in(answer) == FOUR.splitlines()[1:]
    assert "Column 1, row 2: half-square triangle, light and dark, turned 2." in (
        answer.content.decode()
    )
    assert "The grid is full." in words_of(answer)


@pytest.mark.parametrize(
    ("lines", "sentence"),
    [
        (
            FOUR.replace("square: dark at 2 2", ""),
            "Nothing covers column 2, row 2. Put a patch at 2 2.",
        ),
        (
            FOUR.replace("dark at 2 2", "dark at 2 1"),
            "The half-square triangle at 2 1 and the square at 2 1 lie on one another.",
        ),
        (
            FOUR.replace("dark at 2 2", "dark at 3 2"),
            "The square at 3 2 reaches beyond the block, which is 2 by 2 steps.",
        ),
        (FOUR.replace("square: dark", "swan: dark"), "“swan” is no patch known here."),
    ],
)
def test_a_block_that_does_not_fill_its_grid_names_the_place_and_is_not_kept(
    at_owners, lines, sentence
):
    data = open_form(at_owners)

    answer = press(at_owners, data, do="keep", lines=lines, name="Half done")

    assert sentence in words_of(answer)
    form = answer.context["form"]
    assert form["name"].value() == "Half done"
    wanted = [line for line in lines.splitlines()[1:] if line]
    assert [one for one in lines_in(answer) if not one.startswith("Steps")] == wanted
    assert OwnBlock.objects.count() == 0


@pytest.mark.parametrize(
    ("changed", "box"),
    [
        ({"across": "0"}, "across"),
        ({"across": "25"}, "across"),
        ({"down": "many"}, "down"),
        ({"patch": "swan"}, "patch"),
        ({"turn": "7"}, "turn"),
        ({"cloth_1": "x" * 31}, "cloth_1"),
        ({"name": "x" * 61}, "name"),
        ({"name": ""}, "name"),
        ({"name": "Ohio star"}, "name"),
        ({"name": "own"}, "name"),
        ({"name": "☆"}, "name"),
        ({"lines": f"{FOUR}\0"}, "lines"),
        ({"request_id": ""}, "request_id"),
    ],
)
def test_what_is_wrong_is_said_at_its_box_and_kept_as_typed(at_owners, changed, box):
    lines = FOUR.partition("\n")[2]
    typed = {"across": "2", "down": "2", "lines": lines, "name": "Two by two"}
    data = open_form(at_owners) | typed | changed

    answer = press(at_owners, data, do="keep")

    form = answer.context["form"]
    assert list(form.errors) == [box]
    if box != "request_id":
        assert form[box].value() == changed[box]
    assert OwnBlock.objects.count() == 0


def test_a_patch_laid_over_another_is_refused_and_the_grid_stays(at_owners):
    data = form_of(press(at_owners, open_form(at_owners), at="2-1"))

    answer = press(at_owners, data, at="1-1", patch="flying geese")

    assert "The square at 2 1 and the flying geese at 1 1 lie on one another." in (
        words_of(answer)
    )
    assert lines_in(answer) == ["square: ground at 2 1"]


def test_a_block_of_the_trade_can_be_the_beginning_of_ones_own(at_owners):
    answer = at_owners.get(NEW, {"like": "churn-dash"})

    assert "rails: ground, dash at 2 1" in lines_in(answer)
    assert answer.context["form"]["name"].value() == ""


# ------------------------------------------------------------ keeping it


def test_a_block_sent_twice_is_kept_once(at_owners):
    data = open_form(at_owners) | {"lines": FOUR, "name": "Two by two"}

    first = press(at_owners, data, do="keep")
    second = press(at_owners, data, do="keep")

    assert first.headers["Location"] == second.headers["Location"]
    assert OwnBlock.objects.count() == 1


def test_a_block_is_taken_back_at_once_and_leaves_the_list(at_owners):
    data = open_form(at_owners) | {"lines": FOUR, "name": "Two by two"}
    answer = at_owners.post(NEW, {**data, "do": "keep"}, follow=True)
    undo = answer.context["undo"]

    at_owners.post(undo["url"], {"request_id": undo["request_id"]})
    at_owners.post(undo["url"], {"request_id": undo["request_id"]})

    assert block_book.own_listed() == ()
    assert at_owners.get("/blocks/two-by-two/").status_code == 404


def test_a_block_keeps_its_address_when_it_gets_another_name(at_owners):
    keeping = kept()
    data = open_form(at_owners, "/blocks/own/two-by-two/")

    press(at_owners, data, "/blocks/own/two-by-two/", do="keep", name="Fourfold")

    assert block_book.find("fourfold").slug == "two-by-two"
    assert block_book.standing(keeping.word).kept_by.name == "Merle Oakenby"


def test_a_change_is_taken_back_to_what_it_was_before():
    second = change(kept(), "Fourfold")

    own_block_keeping.take_back(second, now=MORNING)

    assert block_book.standing("two-by-two").name == "Two by two"


def test_the_last_change_is_taken_back_long_after_it_was_made(at_owners):
    second = change(kept(), "Fourfold")

    page = at_owners.get("/blocks/own/two-by-two/")
    at_owners.post(reverse("studio:own_block_take_back", args=[second.pk]))

    assert "keeping 2 of it. Take the last change back" in words_of(page)
    assert block_book.standing("two-by-two").name == "Two by two"


def test_an_earlier_change_is_not_taken_back_from_under_a_later_one():
    first = kept()
    change(first, "Fourfold")

    with pytest.raises(own_block_keeping.KeptSince, match="changed after that"):
        own_block_keeping.take_back(first, now=MORNING)


def test_two_people_do_not_write_over_each_other():
    first = kept()
    change(first, "Fourfold")

    with pytest.raises(own_block_keeping.ChangedMeanwhile, match="Nothing is saved"):
        change(first, "Twice two", number_seen=first.number)


@pytest.mark.parametrize("number", ["", "²", "0", "9" * 50])
def test_a_page_that_does_not_say_what_it_goes_on_from_changes_nothing(
    at_owners, number
):
    kept()
    url = "/blocks/own/two-by-two/"

    answer = press(
        at_owners, open_form(at_owners, url), url, do="keep", name="New", number=number
    )

    assert "was changed since this page was opened." in words_of(answer)
    assert block_book.standing("two-by-two").name == "Two by two"


def test_a_name_that_means_another_block_is_refused_when_it_comes_back():
    second = change(kept(), "Fourfold")
    third = change(second, "Twice two")
    kept(name="Fourfold")

    with pytest.raises(own_block_keeping.BlockNameTaken, match="mixed up"):
        own_block_keeping.take_back(third, now=MORNING)

    assert block_book.standing("two-by-two").name == "Twice two"


def test_a_block_put_away_leaves_the_list_and_comes_back(at_owners):
    kept()
    url = reverse("studio:own_block_put_away", args=["two-by-two"])

    answer = at_owners.post(url, {"request_id": uuid4()}, follow=True)

    assert "The block Two by two is put away." in words_of(answer)
    assert block_book.own_listed() == ()
    at_owners.post(answer.context["undo"]["url"], {"request_id": uuid4()})
    assert [one.name for one in block_book.own_listed()] == ["Two by two"]


def test_after_it_was_put_away_its_name_is_free(at_owners):
    keeping = kept()
    own_block_keeping.put_away(
        keeping.word, number_seen=1, request_id=uuid4(), by=None, now=MORNING
    )

    again = kept()

    assert (again.word, again.number) == ("two-by-two", 3)


def test_a_put_away_page_without_its_number_changes_nothing(at_owners):
    kept()

    answer = at_owners.post(reverse("studio:own_block_put_away", args=["two-by-two"]))

    assert said(answer) == [
        "That page cannot be sent as it is. Open it again and send it from there."
    ]
    assert len(block_book.own_listed()) == 1


def test_a_block_of_ones_own_is_listed_drawn_and_printed_like_the_others(at_owners):
    kept()

    listed = at_owners.get("/blocks/").content.decode()
    booklet = at_owners.get("/blocks/two-by-two/booklet/", {"as": "page"})

    assert "<title>The Two by two</title>" in listed
    assert "Two by two: what to cut for one block." in words_of(booklet)


def test_the_list_asks_the_book_as_often_for_one_block_as_for_ten(at_owners):
    counts = []
    for names in ("A", "BCDEFGHIJ"):
        for name in names:
            kept(name=name)
        at_owners.get("/blocks/")
        with CaptureQueriesContext(connection) as asked:
            at_owners.get("/blocks/")
        counts.append(len(asked))

    assert counts[0] == counts[1]
    assert len(block_book.own_listed()) == 10


def test_a_block_is_first_shown_at_a_size_that_can_be_cut():
    # Worked by hand: a snowball's corners are a third of it. A third of 2 in lies
    # between the eighths, of 2⅛ in too; of 2¼ in it is ¾ in, cut 1¼ in.
    kept("Steps: 1\nsnowball: ball, ground at 1 1", "Ball")

    assert block_book.find("Ball").first_inches == Fraction(9, 4)


def test_the_workshop_may_lay_out_a_block_and_the_packer_is_told_kindly_not():
    kept()

    for url in (NEW, "/blocks/own/two-by-two/"):
        assert client_of(WorkshopFactory()).get(url).status_code == 200
        assert client_of(PackerFactory()).get(url).status_code == 403


def test_a_block_that_nobody_laid_out_is_not_found():
    assert client_of(OwnerFactory()).get("/blocks/own/swan/").status_code == 404


def test_every_block_stands_under_one_name_only():
    kept(name="Zigzag")

    names = [own_blocks.named(one.name).lower() for one in block_book.listed()]

    assert names[0] == "zigzag"
    assert len(set(names)) == len(names)
