"""What a piece of cloth gives, gone on with from press to press and kept between."""

import re
from fractions import Fraction
from html import unescape
from threading import Thread

import pytest
from django.urls import reverse

from inventory.models import BundleContents
from studio import bundle_kits, kept_ways
from studio.kept_ways import FOLDER, KeptSteps, KeptWays, SoFar
from studio.maths import cutting_kits
from studio.maths.cloth import Bundle, FromOnePrint, PreCut
from studio.maths.cutting.rectangles import ParetoSets
from studio.maths.cutting_kits import WorkedOut
from studio.maths.kit_lines import read_kits
from studio.maths.known_blocks import known_block
from tests.factories.inventory import ItemFactory

pytestmark = pytest.mark.django_db
# Four sizes: 7¼, 6½, 3⅞ and 3½ in (common practice for four geese at a time). Worked by
# hand for 20 fat eighths of 9 × 20 in, each of a print, and each cloth of a kit from one
# print: a piece gives the ground of one kit and nothing whole besides, or three centres,
# or one centre and the points of one kit, or the points of two. Ten kits take ten pieces
# for ground and nine more; eleven take eleven, and ten more: one too many.
STAR = "mat, sawtooth star, 12, 1"
CLOTH = Bundle("FB", PreCut("fat eighth", Fraction(9), Fraction(20)), 20, 20)
KITS_OF_20 = 10


@pytest.fixture(autouse=True)
def folder(settings, tmp_path):
    settings.DATA_DIR = tmp_path
    bundle_kits.forget()
    yield tmp_path / FOLDER
    bundle_kits.forget()


@pytest.fixture
def steps(monkeypatch):
    """Count the steps that are worked out; after so many there is no more time."""
    counted = Counted(ParetoSets._set_at)
    monkeypatch.setattr(ParetoSets, "_set_at", lambda *asked: counted(*asked))
    return counted


class Counted:
    def __init__(self, real):
        self.real, self.count, self.most = real, 0, None

    def __call__(self, sets, x, y):
        self.count += 1
        if self.most is not None and self.count >= self.most:
            sets.ends = 0.0
        return self.real(sets, x, y)

    def at_most(self, most):
        self.count, self.most = 0, most


def star():
    return read_kits(STAR, known_block)[0].project(FromOnePrint.ROLE)


def key():
    return cutting_kits.key_of(star(), CLOTH)


def go_on(seconds=60.0):
    kept_ways.go_on(star(), CLOTH, KeptWays(), seconds=seconds)


def fat_eighths():
    item = ItemFactory(code="FB-09", name="Rook Parliament", kind="bundle")
    return BundleContents.objects.create(
        item=item,
        form="fat-quarter",
        count=20,
        prints=20,
        usable_width_inches=Fraction(9),
        usable_length_inches=Fraction(20),
    )


def ask(client, **typed):
    asked = {"kits": STAR, "rule": "ROLE", **typed}
    return client.get(reverse("studio:bundles"), asked)


def words_of(answer):
    html = re.sub(r"(?s)<svg.*?</svg>|<style.*?</style>", " ", answer.content.decode())
    return " ".join(unescape(re.sub(r"<[^>]+>", " ", html)).split())


def test_each_look_goes_on_where_the_last_one_ended_until_the_answer_is_exact(steps):
    steps.at_most(5)
    go_on()
    first = KeptSteps().so_far(key())
    steps.at_most(7)
    go_on()
    second = KeptSteps().so_far(key())

    steps.at_most(None)
    go_on()

    assert (first.done, second.done) == (5, 12)
    assert steps.count == first.of - 12
    found = cutting_kits.kits_from(
        star(), CLOTH, rule=FromOnePrint.ROLE, seconds=0.0, shelf=KeptWays()
    )
    assert (found.kits, found.is_proven) == (KITS_OF_20, True)


def test_what_is_known_to_the_end_leaves_no_steps_behind_and_none_to_do(steps, folder):
    go_on()
    steps.at_most(None)

    go_on()

    assert steps.count == 0
    assert [file.suffix for file in folder.iterdir()] == [".json"]


@pytest.mark.parametrize(
    "spoil",
    [
        lambda kept: b"",
        lambda kept: kept[: len(kept) // 2],
        lambda kept: kept[:-1] + bytes([kept[-1] ^ 1]),
        lambda kept: b"\x89PNG\r\n\x1a\n" + kept,
        lambda kept: b"[]\n" + kept,
        lambda kept: b"[" * 100_000,
        lambda kept: kept.replace(b'"edition": 1', b'"edition": 0'),
        lambda kept: kept.replace(b"58, 58", b"59, 59", 1),
        lambda kept: kept.replace(b'"done": 5', b'"done": "5"'),
    ],
    ids=[
        "nothing",
        "cut short",
        "a bit turned",
        "a picture",
        "a list",
        "no end",
        "another edition",
        "other sizes",
        "words for numbers",
    ],
)
def test_steps_that_are_spoiled_or_of_something_else_are_worked_out_again(
    steps, folder, spoil
):
    steps.at_most(5)
    go_on()
    [file] = folder.iterdir()
    whole = file.read_bytes()
    file.write_bytes(spoil(whole))
    assert file.read_bytes() != whole

    known = KeptSteps().get(key())
    steps.at_most(5)
    go_on()

    assert known == b""
    assert KeptSteps().so_far(key()).done == 5


def worked(done, kept):
    return WorkedOut(str(key()), kept, False, {}, done, 99)


def test_of_two_who_go_on_the_one_who_came_further_is_kept():
    KeptSteps().keep(worked(9, b"further"))
    KeptSteps().keep(worked(4, b"less far"))

    assert KeptSteps().get(key()) == b"further"
    assert KeptSteps().so_far(key()) == SoFar(9, 99)


def test_two_who_write_at_once_never_mix_what_they_write(folder):
    whole = {bytes([65 + number]) * 200_000 for number in range(4)}
    writers = [
        Thread(target=write_often, args=(folder / "one.steps", data)) for data in whole
    ]

    for writer in writers:
        writer.start()
    seen = set()
    while any(writer.is_alive() for writer in writers):
        seen |= read_one(folder / "one.steps")
    for writer in writers:
        writer.join()

    assert seen | read_one(folder / "one.steps") <= whole
    assert [file.name for file in folder.iterdir()] == ["one.steps"]


def write_often(file, data):
    for _time in range(20):
        kept_ways.write_whole(file, data)


def read_one(file):
    return {file.read_bytes()} if file.exists() else set()


def test_steps_that_cannot_be_written_cost_nothing_but_time(settings, tmp_path):
    settings.DATA_DIR = tmp_path / "file"
    settings.DATA_DIR.write_text("not a folder", encoding="utf-8")

    KeptSteps().keep(worked(4, b"some"))

    assert KeptSteps().get(key()) == b""


def test_sizes_that_take_too_much_memory_are_not_begun(folder):
    deep = read_kits("mat, star in a star, 12, 1", known_block)[0]
    project = deep.project(FromOnePrint.NOTHING)
    large = Bundle("FB", PreCut("fat quarter", Fraction(18), Fraction(21)), 5, 5)

    kept_ways.go_on(project, large, KeptWays(), seconds=60.0)

    assert cutting_kits.key_of(project, large) is None
    assert not folder.exists()


# ------------------------------------------------------------------- on the page


def test_bounds_stand_at_once_and_going_on_ends_in_the_exact_answer(
    at_owners, steps, monkeypatch
):
    fat_eighths()
    steps.at_most(5)
    go_on()
    clock = bundle_kits.Clock
    monkeypatch.setattr("studio.views.bundles.Clock", lambda _: clock(0.0))
    first = ask(at_owners)
    monkeypatch.undo()

    pressed = ask(at_owners, seconds="20")
    after = at_owners.get(pressed["Location"])

    of = steps_of(first)
    assert "1 has not been looked at, because the page does not" in words_of(first)
    assert f"Steps done so far: mat 5 of {of}." in words_of(first)
    assert "seconds" not in pressed["Location"]
    assert "20 prints 0 10 1 left whole" in words_of(after)
    assert "Go on for" not in words_of(after)


def steps_of(answer):
    return re.search(r"mat 5 of (\d+)\.", words_of(answer))[1]


def test_a_page_that_is_loaded_again_shows_what_is_kept_and_asks_to_go_on(
    at_owners, steps, monkeypatch
):
    fat_eighths()
    steps.at_most(5)
    pressed = ask(at_owners, seconds="20")
    clock = bundle_kits.Clock
    monkeypatch.setattr("studio.views.bundles.Clock", lambda _: clock(0.0))

    again = [words_of(at_owners.get(pressed["Location"])) for _time in range(2)]

    assert again[0] == again[1]
    assert re.search(r"Steps done so far: mat [1-5] of \d+\.", again[0])
    assert "Go on for 20 seconds Go on for 60 seconds" in again[0]
