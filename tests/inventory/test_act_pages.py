"""Each act on an item: done once, undone with one press, refused with a sentence."""

from uuid import uuid4

import pytest

from inventory.models import Balance, Claim, Count, Enquiry, Entry, IncompleteSet
from inventory.queries.promises import promise_of
from studio.models import StudioSettings
from tests.conftest import MORNING
from tests.factories.inventory import (
    ClaimFactory,
    PlaceFactory,
    SetFactory,
    WebShopFactory,
    ringfence_at_half_past_eight,
)
from tests.factories.production import held
from tests.inventory.conftest import words_of


@pytest.fixture
def ringfence(db):
    return ringfence_at_half_past_eight()


def form_of(**fields):
    return {"request_id": str(uuid4()), **fields}


def press_undo(client, page):
    """Press the undo that stands under the message, as the page gives it."""
    undo = page.context["undo"]
    return client.post(undo["url"], {"request_id": undo["request_id"]}, follow=True)


def promised(item):
    promise = promise_of(item, now=MORNING)
    return promise.can_promise, promise.by_tonight, promise.owned


def test_making_up_uses_the_parts_and_its_undo_gives_them_back(owner, ringfence):
    page = owner.post("/goods/RF-090/make-up/", form_of(count="2"), follow=True)

    assert "Two made up, and the parts are used." in words_of(page)
    assert promised(ringfence) == (5, 7, 71)
    assert (held("A388"), held("SQ350"), held("C200")) == (4, 1, 6)

    press_undo(owner, page)

    assert promised(ringfence) == (3, 7, 69)
    assert (held("A388"), held("SQ350"), held("C200")) == (6, 3, 8)


def test_more_than_the_pieces_allow_is_refused_naming_the_piece(owner, ringfence):
    page = owner.post("/goods/RF-090/make-up/", form_of(count="4"))

    assert (
        "4 of RF-090 were to be made up, but the parts are enough for 3: SQ350 is "
        "what stops the next one." in words_of(page)
    )
    assert 'value="4"' in page.content.decode()
    assert promised(ringfence) == (3, 7, 69)


def test_mending_puts_the_set_back_and_its_undo_cracks_it_again(owner, ringfence):
    broken = IncompleteSet.objects.get()

    page = owner.post(f"/goods/incomplete/{broken.pk}/mend/", form_of(), follow=True)

    assert "The set is mended and back on the shelf." in words_of(page)
    assert promised(ringfence) == (4, 7, 69)

    press_undo(owner, page)

    assert promised(ringfence) == (3, 7, 69)
    assert IncompleteSet.objects.get(ended_at=None) == broken


def test_two_presses_of_mend_from_two_pages_mend_it_once(owner, ringfence):
    address = f"/goods/incomplete/{IncompleteSet.objects.get().pk}/mend/"
    owner.post(address, form_of())

    page = owner.post(address, form_of(), follow=True)

    assert "That RF-090 was already mended or taken apart." in words_of(page)
    assert held("A388") == 5


def test_an_incomplete_set_is_put_down_with_its_piece_and_undone(owner, ringfence):
    piece = IncompleteSet.objects.get().lacks.get().piece
    fields = form_of(
        place=ringfence.home_place.pk, piece=piece.pk, count="1", why="Dropped."
    )

    page = owner.post("/goods/RF-090/incomplete/", fields, follow=True)

    assert promised(ringfence)[0] == 2
    assert IncompleteSet.objects.filter(ended_at=None).count() == 2

    press_undo(owner, page)

    assert promised(ringfence) == (3, 7, 69)
    assert IncompleteSet.objects.filter(ended_at=None).count() == 1


def test_a_count_is_compared_with_its_own_moment_and_not_with_now(owner, ringfence):
    """Counted 16 at 08:05; two were sold at 08:20; saved at 08:30. Worked by hand."""
    give = form_of(count="2", place=ringfence.home_place.pk, reason="A prize")
    owner.post("/goods/RF-090/give/", give)
    Entry.objects.filter(verb="given").get()
    fields = form_of(
        place=ringfence.home_place.pk,
        state="sellable",
        found="15",
        counted_day="Wed 3 March 2027",
        counted_clock="08:05",
        reason="",
    )

    page = owner.post("/goods/RF-090/count/", fields, follow=True)

    count = Count.objects.get()
    assert (count.expected, count.found, count.difference) == (16, 15, -1)
    assert held("RF-090", place="templates") == 13
    assert "1 fewer than the book had at 08:05." in words_of(page)


def test_a_count_in_the_prefilled_minute_knows_what_that_minute_did(owner):
    """Opened at 08:30:20, counted with the 08:30 that the form prefills."""
    StudioSettings.objects.update(clock_stands_at=MORNING.replace(second=40))
    item = SetFactory(held=7, now=MORNING.replace(second=20), home_place=PlaceFactory())
    form = owner.get("/goods/RF-090/count/").context["form"]
    fields = form_of(
        place=item.home_place.pk,
        state="sellable",
        found="7",
        counted_day=form["counted_day"].value(),
        counted_clock=form["counted_clock"].value(),
        reason="",
    )

    owner.post("/goods/RF-090/count/", fields)

    assert fields["counted_clock"] == "08:30"
    assert Count.objects.get().difference == 0


def test_a_count_that_has_not_come_yet_is_refused(owner, ringfence):
    fields = form_of(
        place=ringfence.home_place.pk,
        state="sellable",
        found="15",
        counted_day="3/3/2027",
        counted_clock="09:10",
    )

    page = owner.post("/goods/RF-090/count/", fields)

    assert "has not come yet. Write when it was counted." in words_of(page)
    assert Count.objects.count() == 0


def test_a_hold_lasts_until_friday_unless_another_day_is_written(owner, ringfence):
    page = owner.get("/goods/RF-090/hold/")
    assert page.context["form"]["until"].value() == "Fri 5 March 2027"

    fields = form_of(count="2", who="A caller", until="Fri 5 March")
    page = owner.post("/goods/RF-090/hold/", fields, follow=True)

    claim = Claim.objects.get(label="A caller")
    assert (claim.count, claim.kind) == (2, "hold")
    assert claim.until.isoformat() == "2027-03-05T23:59:59+00:00"
    assert promised(ringfence)[0] == 1

    press_undo(owner, page)

    assert promised(ringfence)[0] == 3


def test_a_hold_of_more_than_there_is_says_how_many_there_are(owner, ringfence):
    fields = form_of(count="4", who="A caller", until="Fri 5 March")

    page = owner.post("/goods/RF-090/hold/", fields)

    assert (
        "4 of RF-090 were asked for and 3 can be promised. Take fewer, or give a "
        "reason to promise them anyway." in words_of(page)
    )
    assert 'value="A caller"' in page.content.decode()
    assert not Claim.objects.filter(label="A caller").exists()


def test_a_reason_overrules_and_is_remembered(owner, ringfence):
    fields = form_of(
        count="4",
        who="A caller",
        until="Fri 5 March",
        overruled_because="Four are being made tonight.",
    )

    owner.post("/goods/RF-090/hold/", fields)

    claim = Claim.objects.get(label="A caller")
    assert claim.overruled_because == "Four are being made tonight."


def test_a_hold_that_ends_yesterday_is_refused(owner, ringfence):
    fields = form_of(count="1", who="A caller", until="2 March 2027")

    page = owner.post("/goods/RF-090/hold/", fields)

    assert "Tue 2 March 2027 has gone by. Choose today or a later day." in words_of(
        page
    )


def test_a_released_hold_can_be_held_again_while_the_goods_are_there(owner, ringfence):
    hold = Claim.objects.get(kind="hold")
    page = owner.post(f"/goods/holds/{hold.pk}/release/", form_of(), follow=True)
    assert promised(ringfence)[0] == 4

    press_undo(owner, page)

    assert promised(ringfence)[0] == 3
    assert Claim.objects.live(on=MORNING).filter(kind="hold").get() == hold


def test_a_released_hold_stays_released_when_somebody_else_has_the_last(owner):
    item = SetFactory(held=1)
    hold = ClaimFactory(item=item, kind="hold", label="First", until=MORNING)
    owner.post(f"/goods/holds/{hold.pk}/release/", form_of())
    ClaimFactory(item=item, label="Second")

    page = owner.post(f"/goods/holds/{hold.pk}/again/", form_of(), follow=True)

    assert "1 of RF-090 were asked for and 0 can be promised." in words_of(page)
    assert Claim.objects.live(on=MORNING).get().label == "Second"


def test_a_paid_claim_is_not_released_from_here(owner, ringfence):
    paid = Claim.objects.filter(kind="paid").first()

    answer = owner.post(f"/goods/holds/{paid.pk}/release/", form_of())

    assert answer.status_code == 404


def test_goods_are_kept_for_an_outlet_until_a_day(owner, ringfence):
    web = WebShopFactory()
    fields = form_of(count="3", outlet=web.pk, label="", until="13 March 2027")

    page = owner.post("/goods/RF-090/keep/", fields, follow=True)

    assert "3 kept for Web shop until Sat 13 March." in words_of(page)
    assert promised(ringfence)[0] == 0


def test_the_buffer_is_seen_changed_and_taken_away(owner, ringfence):
    page = owner.get("/goods/RF-090/buffer/")
    assert page.context["form"]["count"].value() == "1"

    owner.post("/goods/RF-090/buffer/", form_of(count="3"))
    assert promised(ringfence)[0] == 1

    owner.post("/goods/RF-090/buffer/", form_of(count="0"))
    assert promised(ringfence)[0] == 4


def test_a_move_changes_the_place_and_nothing_else(owner, ringfence):
    crate = PlaceFactory(code="fair-crate", name="Fair crate", kind="crate")
    fields = form_of(
        count="4",
        from_place=ringfence.home_place.pk,
        to_place=crate.pk,
        state="sellable",
    )

    page = owner.post("/goods/RF-090/move/", fields, follow=True)

    assert "4 moved from Template shelf to Fair crate." in words_of(page)
    assert held("RF-090", place="fair-crate") == 4
    assert promised(ringfence) == (3, 7, 69)


def test_more_than_lies_there_is_not_moved(owner, ringfence):
    crate = PlaceFactory(code="fair-crate", name="Fair crate", kind="crate")
    fields = form_of(
        count="17",
        from_place=ringfence.home_place.pk,
        to_place=crate.pk,
        state="sellable",
    )

    page = owner.post("/goods/RF-090/move/", fields)

    assert (
        "17 of RF-090 were to be taken from Template shelf, where the book has 16."
        in words_of(page)
    )


def test_a_show_set_leaves_the_promise_and_stays_owned(owner, ringfence):
    fields = form_of(
        count="1",
        place=ringfence.home_place.pk,
        from_state="sellable",
        to_state="show",
        reason="For the table.",
    )

    owner.post("/goods/RF-090/state/", fields)

    assert promised(ringfence) == (2, 6, 69)


@pytest.mark.parametrize(
    ("verdict", "answer"),
    [
        ("sellable", (5, 9, 69)),
        ("second", (3, 7, 69)),
        ("show", (3, 7, 69)),
        ("spoiled", (3, 7, 67)),
    ],
)
def test_what_came_back_is_looked_at_and_put_where_it_belongs(
    owner, ringfence, verdict, answer
):
    tray = Balance.objects.get(state="to-look-at", count__gt=0).place
    fields = form_of(count="2", tray=tray.pk, verdict=verdict, reason="")

    owner.post("/goods/RF-090/look/", fields)

    assert promised(ringfence) == answer
    assert held("RF-090", state="to-look-at") == 0


def test_a_return_that_lacks_a_piece_can_be_mended_afterwards(owner, ringfence):
    tray = Balance.objects.get(state="to-look-at", count__gt=0).place
    piece = IncompleteSet.objects.get().lacks.get().piece
    fields = form_of(count="1", tray=tray.pk, verdict="incomplete", piece=piece.pk)

    owner.post("/goods/RF-090/look/", fields)

    assert IncompleteSet.objects.filter(ended_at=None).count() == 2
    # Six A388: two mend the two sets, three go into new ones, as SQ350 allows.
    assert promised(ringfence) == (3, 8, 69)


def test_incomplete_returns_are_taken_one_at_a_time(owner, ringfence):
    tray = Balance.objects.get(state="to-look-at", count__gt=0).place
    fields = form_of(count="2", tray=tray.pk, verdict="incomplete")

    words = words_of(owner.post("/goods/RF-090/look/", fields))

    assert "Take incomplete sets one at a time" in words
    assert "Choose the piece that is missing, so that the set can be mended." in words


def test_giving_away_asks_why(owner, ringfence):
    fields = form_of(count="1", place=ringfence.home_place.pk, reason="")

    page = owner.post("/goods/RF-090/give/", fields)

    assert "Write why, so that the goods can be explained." in words_of(page)


def test_an_enquiry_takes_two_taps(owner, ringfence):
    page = owner.get("/goods/RF-090/")
    fields = {"request_id": page.context["request_id"], "code": "RF-090"}

    owner.post("/goods/asked-for/", fields)
    page = owner.post("/goods/asked-for/", fields, follow=True)

    assert Enquiry.objects.get().item == ringfence
    assert "Noted: somebody asked for Ringfence set, 9 in." in words_of(page)
