"""The bundles' page: which makes which kits, what is left, and what is here."""

import re
from fractions import Fraction
from html import unescape

import numpy as np
import pytest
from django.urls import reverse

from inventory.models import BundleContents
from studio import bundle_kits, cloth_plans
from studio.kept_ways import FOLDER, KeptWays
from studio.maths import cutting_kits
from studio.maths.cloth import (
    FAT_QUARTER,
    NOT_PROMISED,
    TEN_INCH_SQUARE,
    Bundle,
    FromOnePrint,
)
from studio.maths.cutting_kits_values import KitsFrom, Project
from studio.maths.cutting_list import CutPiece
from studio.maths.cutting_plan import CAUTION
from studio.maths.cutting_units import Wanted
from tests.factories.inventory import ItemFactory, PlaceFactory
from tests.factories.studio import PackerFactory, WorkshopFactory
from tests.studio.pages import client_of

pytestmark = pytest.mark.django_db
# By hand: a pinwheel of 6 in is cut from two squares of 3⅞ in of each cloth; four
# lie in a 10 in square and twenty in a fat quarter of 21 × 18 in.
PINWHEELS = "mat, pinwheel, 6, 5"


@pytest.fixture(autouse=True)
def nothing_kept():
    bundle_kits.forget()
    cloth_plans.forget()
    yield
    bundle_kits.forget()
    cloth_plans.forget()


@pytest.fixture
def folder(settings, tmp_path):
    settings.DATA_DIR = tmp_path
    return tmp_path / FOLDER


def bundle(code="FB-09", form="fat-quarter", count=5, prints=5, **more):
    item = ItemFactory(code=code, name="Rook Parliament", kind="bundle", **more)
    return BundleContents.objects.create(
        item=item, form=form, count=count, prints=prints
    )


def ask(client, **typed):
    return client.get(reverse("studio:bundles"), typed)


def words_of(answer):
    html = re.sub(r"(?s)<svg.*?</svg>|<style.*?</style>", " ", answer.content.decode())
    return " ".join(unescape(re.sub(r"<[^>]+>", " ", html)).split())


def test_the_workshop_may_look_and_the_packer_is_told_kindly_not():
    assert ask(client_of(WorkshopFactory())).status_code == 200
    assert ask(client_of(PackerFactory())).status_code == 403


def test_a_book_without_bundles_says_what_to_do(at_owners):
    said = words_of(ask(at_owners))

    assert "There is no bundle in the book yet." in said
    assert "Add a bundle" in said


def test_each_bundle_says_how_many_kits_it_makes_and_what_stays_whole(at_owners):
    bundle()
    bundle("FB-10", "ten-inch", 42, 21)
    bundle("FB-11", "strip", 40, 20)

    said = words_of(ask(at_owners, kits=PINWHEELS, wanted="40"))

    # By hand: 20 squares to a kit, so a kit a fat quarter, and five 10 in squares.
    assert (
        "FB-09 Rook Parliament Fat quarters × 5, 5 prints 0 5 none left whole" in said
    )
    assert "FB-10 Rook Parliament 10-inch squares × 42, 21 prints 0 8 2 left" in said
    assert "FB-11 Rook Parliament 2½-inch strips × 40, 20 prints 0 None" in said
    assert "FB-09 5 Show the scraps 8 bundles Nothing is free here" in said
    assert "FB-10 8 Show the scraps 5 bundles Nothing is free here" in said
    assert "FB-11 None. “triangle square” is 3⅞ × 3⅞ in, which does not fit" in said


def test_on_a_telephone_every_answer_says_what_it_is(at_owners):
    bundle()

    page = ask(at_owners, kits=f"{PINWHEELS}\nrug, pinwheel, 6, 9").content.decode()

    assert "Look closer at one:" in page
    assert 'data-label="Free here"' in page
    assert 'data-label="Mat"' in page
    assert 'data-label="40 kits take"' in page


def test_what_is_free_here_is_told_apart_from_what_one_bundle_makes(at_owners):
    bundle(held=3, home_place=PlaceFactory())

    said = words_of(ask(at_owners, kits=PINWHEELS))

    assert "Fat quarters × 5, 5 prints 3 5 none left whole" in said
    assert "FB-09 5 Show the scraps 8 bundles 15" in said


@pytest.mark.parametrize(
    ("rule", "kits"),
    [("NOTHING", 10), ("BLOCK_ROLE", 10), ("BLOCK", 10), ("ROLE", 10), ("KIT", "None")],
)
def test_the_rule_of_one_print_can_be_switched(at_owners, rule, kits):
    # By hand: 42 squares in 21 prints give 168 patches, 8 of a print. A kit of four
    # blocks has 8 patches of each of two cloths, so two prints; a kit of one has none.
    bundle("FB-10", "ten-inch", 42, 21)

    said = words_of(ask(at_owners, kits="mat, pinwheel, 6, 4", rule=rule))

    assert f"42, 21 prints 0 {kits} " in said
    assert NOT_PROMISED in said
    assert CAUTION in said


def test_scraps_that_remain_useful_are_told_and_the_plan_is_a_link_away(at_owners):
    bundle()

    answer = ask(at_owners, kits="mat, pinwheel, 6, 3", bundle="FB-09")

    said = words_of(answer)
    # By hand: 12 squares to a kit, 100 in all, so eight kits and four squares spare.
    assert "8 × mat from one FB-09 This takes 5 of: fat quarter" in said
    assert re.search(r"Scraps to keep: \d of [^;]+ in", said)
    [address] = re.findall(r'href="(/blocks/cloth/\?[^"]+)"', answer.content.decode())
    drawn = words_of(at_owners.get(unescape(address)))
    assert "8 × mat from FB-09: how to cut it from the least cloth." in drawn
    assert "1 bundle of FB-09 is needed; nothing stays whole." in drawn


def test_a_bundle_with_no_prints_is_a_sentence_and_the_others_are_worked_out(at_owners):
    bundle(prints=0)
    bundle("FB-10", "ten-inch", 42, 21)

    said = words_of(ask(at_owners, kits=PINWHEELS))

    assert "FB-09 is written down with 5 pieces in 0 prints." in said
    assert "42, 21 prints 0 8 2 left whole" in said


def test_a_list_from_another_page_is_a_kit_too(at_owners):
    bundle()
    pieces = "A, 3 7/8, 3 7/8, 20"

    said = words_of(ask(at_owners, pieces=pieces, title="Table mat"))

    assert "Fat quarters × 5, 5 prints 0 5 none left whole" in said
    assert "Table mat, closer" in said


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ({"kits": "mat, pinwheel, 6"}, "write name, block, size and how many"),
        ({"kits": "mat, garden gate, 6, 4"}, "is no block known here"),
        ({"kits": "mat, pinwheel, 0, 4"}, "Line 1, “mat, pinwheel, 0, 4”"),
        ({"kits": PINWHEELS, "wanted": "none"}, "none does not fit here."),
        ({"kits": PINWHEELS, "rule": "ODD"}, "Choose one of the rules on the list."),
        ({"kits": PINWHEELS, "seconds": "x"}, "is no number of seconds"),
        ({"pieces": "A, 4, 4, none"}, "the count is “none”"),
    ],
)
def test_what_cannot_be_read_is_a_sentence_and_keeps_what_was_typed(
    at_owners, typed, said
):
    bundle()

    answer = ask(at_owners, **typed)

    assert said in words_of(answer)
    assert "Nothing is worked out yet." in words_of(answer)
    assert answer.context["form"]["kits"].value() == typed.get("kits", "")


# ---------------------------------------------------------------- what takes long


def test_what_is_not_exact_in_time_says_so_and_offers_to_go_on(at_owners, folder):
    bundle()

    answer = ask(at_owners, kits="mat, star in a star, 12, 1", rule="ROLE")

    said = words_of(answer)
    assert re.search(r"5 prints 0 \d to \d", said)
    assert "Go on for 20 seconds Go on for 60 seconds" in said


def test_what_a_closer_look_finds_stands_in_the_first_table_too(
    at_owners, folder, monkeypatch
):
    bundle()
    # No time for the first table, and a quick look at the kit that is shown closer.
    times = iter([0.0, 1.0])
    clock = bundle_kits.Clock
    monkeypatch.setattr("studio.views.bundles.Clock", lambda _: clock(next(times)))

    said = words_of(ask(at_owners, kits=PINWHEELS))

    assert "Fat quarters × 5, 5 prints 0 5 none left whole" in said
    assert "FB-09 5 Show the scraps" in said


def test_what_one_piece_gives_is_kept_in_the_data_folder_and_used_again(folder):
    key = (((31, 31, True), (15, 20, False)), 144, 168)
    counts = np.array([[1, 20], [4, 3]], dtype=np.int64)

    KeptWays()[key] = counts
    again = KeptWays().get(key)

    assert again.tolist() == counts.tolist()
    assert KeptWays().get((key[0], 144, 160)) is None
    assert len(list(folder.iterdir())) == 1


@pytest.mark.parametrize(
    "spoiled",
    [
        "",
        "{",
        '{"answer": [[1]]}',
        '{"question": "", "answer": [[1, 2]], "edition": 1}',
    ],
)
def test_a_kept_answer_that_cannot_be_read_is_worked_out_again(folder, spoiled):
    key = (((31, 31, True), (15, 20, False)), 144, 168)
    KeptWays()[key] = np.array([[1, 20]], dtype=np.int64)
    next(folder.iterdir()).write_text(spoiled, encoding="utf-8")

    assert KeptWays().get(key) is None


def test_what_was_proven_by_a_long_look_is_proven_at_once_the_next_time(
    at_owners, folder, monkeypatch
):
    bundle()
    asked = {"kits": "mat, star in a star, 12, 1", "rule": "NOTHING"}
    proven = KitsFrom("mat", "FB-09", 2, 2, 1)
    monkeypatch.setattr(bundle_kits, "QUICK_SECONDS", 0.0)
    monkeypatch.setattr(cutting_kits, "kits_from", lambda *_asked, **_more: proven)
    ask(at_owners, **asked, seconds="20")
    monkeypatch.undo()
    bundle_kits.forget()

    said = words_of(ask(at_owners, **asked))

    assert "5 prints 0 2 1 left whole" in said


def test_an_answer_is_kept_for_all_that_it_depends_on_and_nothing_else():
    pieces = (Wanted(CutPiece("A", "dark", 4, Fraction(9), Fraction(7, 2))),)
    mat, fat = Project("mat", pieces), Bundle("FB-09", FAT_QUARTER, 5, 5)

    def asked(project=mat, of=fat, rule=FromOnePrint.NOTHING):
        return str(bundle_kits.Question("kits", project, of, rule))

    assert asked(Project("other name", pieces)) == asked()
    assert asked(of=Bundle("FB-10", FAT_QUARTER, 5, 2)) == asked()
    kit, block = FromOnePrint.KIT, Project("mat", pieces, 2)
    one_way = Project("mat", (Wanted(pieces[0].piece, turns=False),))
    others = [
        asked(block),
        asked(one_way),
        asked(of=Bundle("FB-09", FAT_QUARTER, 6, 5)),
        asked(of=Bundle("FB-09", TEN_INCH_SQUARE, 5, 5)),
        asked(rule=kit),
        asked(of=Bundle("FB-10", FAT_QUARTER, 5, 2), rule=kit),
    ]
    assert len({asked(), *others}) == 7


def test_a_folder_that_cannot_be_written_costs_nothing_but_time(settings, tmp_path):
    settings.DATA_DIR = tmp_path / "file"
    settings.DATA_DIR.write_text("not a folder", encoding="utf-8")
    key = (((31, 31, True),), 144, 168)
    shelf = KeptWays()

    shelf[key] = np.array([[20]], dtype=np.int64)

    assert shelf.get(key).tolist() == [[20]]
    assert KeptWays().get(key) is None


def test_the_page_asks_the_book_as_often_for_thirty_bundles_as_for_one(
    at_owners, django_assert_max_num_queries
):
    bundle("FB-100")
    ask(at_owners, kits=PINWHEELS)
    with django_assert_max_num_queries(40) as one:
        ask(at_owners, kits=PINWHEELS)
    for number in range(101, 130):
        bundle(f"FB-{number}")

    with django_assert_max_num_queries(40) as thirty:
        ask(at_owners, kits=PINWHEELS)

    assert len(thirty) == len(one)


def test_the_page_of_a_bundle_leads_to_what_it_makes(at_owners):
    contents = bundle()

    html = at_owners.get(contents.item.get_absolute_url()).content.decode()

    assert 'href="/blocks/bundles/?bundle=FB-09">What it makes' in html
