"""What holds of the ledger whatever is done with it, in whatever order."""

from datetime import timedelta
from uuid import uuid4

import pytest
from django.db import transaction
from django.db.models import Sum
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from inventory import actions as stock
from inventory.actions import Move
from inventory.errors import (
    AlreadyTakenBack,
    LedgerIsAppendOnly,
    NotACount,
    SameRequestOtherContent,
)
from inventory.models import Balance, Entry, IncompleteSet, Movement, Place, State
from inventory.queries.balances import added_up, balance_at, balance_differences
from inventory.queries.promises import can_promise_by_item
from studio.errors import StudioError
from tests.conftest import MORNING
from tests.factories.inventory import (
    ClaimFactory,
    PieceFactory,
    PlaceFactory,
    SetFactory,
)
from tests.factories.production import held, new_id

pytestmark = pytest.mark.django_db

# Chance is fixed, so that a failure fails again.
CHANCE = settings(
    max_examples=20,
    deadline=None,
    derandomize=True,
    suppress_health_check=[HealthCheck.function_scoped_fixture],
)
COUNTS = st.integers(min_value=1, max_value=6)
STATES = st.sampled_from([State.SELLABLE, State.SHOW, State.SECOND])
ACTS = st.one_of(
    st.tuples(st.just("count"), st.integers(0, 12), STATES),
    st.tuples(st.just("move"), COUNTS, STATES),
    st.tuples(st.just("regrade"), COUNTS, STATES),
    st.tuples(st.just("give"), COUNTS),
    st.tuples(st.just("make up"), COUNTS),
    st.tuples(st.just("incomplete")),
    st.tuples(st.just("mend")),
    st.tuples(st.just("take back"), st.integers(0, 30)),
    st.tuples(st.just("hold"), COUNTS),
)


class Bench:
    """A set of two pieces, a shelf and a crate, to do anything with."""

    def __init__(self):
        self.shelf = PlaceFactory()
        self.crate = PlaceFactory(code="crate", name="Fair crate", kind="crate")
        self.pieces = [PieceFactory(code=code, held=9) for code in ("A388", "C200")]
        self.item = SetFactory(held=5, home_place=self.shelf)
        stock.set_parts_list(self.item, needs=dict.fromkeys(self.pieces, 1))

    def do(self, act, request_id):
        """Do one act; what the studio refuses changes nothing and is no failure."""
        verb, *details = act
        said = {"request_id": request_id, "now": MORNING}
        doing = getattr(self, verb.replace(" ", "_"))
        try:
            with transaction.atomic():
                doing(*details, **said)
        except StudioError:
            return

    def count(self, found, state, **said):
        stock.record_count(
            self.item,
            place=self.shelf,
            found=found,
            state=state,
            counted_at=MORNING,
            **said,
        )

    def move(self, count, state, **said):
        stock.move_stock(
            self.item,
            count=count,
            from_place=self.shelf,
            to_place=self.crate,
            from_state=state,
            to_state=state,
            **said,
        )

    def regrade(self, count, state, **said):
        other = State.SECOND if state == State.SELLABLE else State.SELLABLE
        stock.regrade_stock(
            self.item,
            count=count,
            place=self.shelf,
            from_state=state,
            to_state=other,
            **said,
        )

    def give(self, count, **said):
        stock.give_away(
            self.item, count=count, place=self.shelf, reason="A prize", **said
        )

    def make_up(self, count, **said):
        stock.make_up(self.item, count=count, **said)

    def incomplete(self, **said):
        lacks = {self.pieces[0]: 1}
        stock.mark_incomplete(self.item, place=self.shelf, lacks=lacks, **said)

    def mend(self, **said):
        broken = IncompleteSet.objects.filter(ended_at=None).first()
        if broken is not None:
            stock.mend_set(broken, **said)

    def take_back(self, which, **said):
        entries = list(Entry.objects.order_by("pk"))
        stock.take_back_entry(entries[which % len(entries)], **said)

    def hold(self, count, **said):
        until = MORNING + timedelta(days=2)
        stock.claim_stock(
            self.item, count=count, kind="hold", label="A caller", until=until, **said
        )


def in_a_studio_of_its_own(check):
    """Run each example on an empty book, and leave the book empty."""

    def run():
        with transaction.atomic():
            check(Bench())
            transaction.set_rollback(True)

    run()


def totals():
    """Add up each item over all places, ours and those outside."""
    rows = Balance.objects.values_list("item__code").annotate(total=Sum("count"))
    return dict(rows.order_by())


@CHANCE
@given(acts=st.lists(ACTS, max_size=12))
def test_balances_are_what_the_movements_add_up_to_and_nothing_vanishes(acts):
    def check(bench):
        for act in acts:
            bench.do(act, uuid4())

        assert balance_differences() == []
        assert set(totals().values()) == {0}

    in_a_studio_of_its_own(check)


@CHANCE
@given(acts=st.lists(ACTS, min_size=1, max_size=8))
def test_saying_everything_twice_changes_nothing(acts):
    def check(bench):
        said = [(act, new_id()) for act in acts]
        for act, request_id in said:
            bench.do(act, request_id)
            once = added_up(), Entry.objects.count(), promises(bench)
            bench.do(act, request_id)

            assert (added_up(), Entry.objects.count(), promises(bench)) == once

    in_a_studio_of_its_own(check)


@CHANCE
@given(acts=st.lists(ACTS, min_size=1, max_size=8))
def test_taking_all_back_restores_the_first_day(acts):
    def check(bench):
        before = nonzero(added_up())
        first = set(Entry.objects.values_list("pk", flat=True))
        for act in acts:
            if act[0] != "take back":
                bench.do(act, new_id())
        done = Entry.objects.exclude(pk__in=first).order_by("-pk")
        for entry in list(done):
            stock.take_back_entry(entry, request_id=new_id(), now=MORNING)

        assert nonzero(added_up()) == before
        assert not IncompleteSet.objects.filter(ended_at=None).exists()

    in_a_studio_of_its_own(check)


def nonzero(balances):
    return {key: count for key, count in balances.items() if count}


def promises(bench):
    return can_promise_by_item([bench.item, *bench.pieces], now=MORNING)


def test_a_balance_that_was_tampered_with_is_found():
    item = SetFactory(held=5)
    Balance.objects.filter(item=item, count=5).update(count=6)

    found = balance_differences()

    assert [str(one) for one in found] == [
        "RF-090, Shelf, sellable: the balance says 6, the movements add up to 5."
    ]


def test_the_same_id_with_other_content_is_refused():
    bench, request_id = Bench(), new_id()
    bench.make_up(2, request_id=request_id, now=MORNING)

    with pytest.raises(SameRequestOtherContent):
        bench.make_up(3, request_id=request_id, now=MORNING)
    with pytest.raises(SameRequestOtherContent):
        bench.give(2, request_id=request_id, now=MORNING)

    assert held("RF-090") == 7


def test_a_count_with_the_same_id_and_another_number_is_refused():
    bench, request_id = Bench(), new_id()
    bench.count(4, State.SELLABLE, request_id=request_id, now=MORNING)

    with pytest.raises(SameRequestOtherContent):
        bench.count(3, State.SELLABLE, request_id=request_id, now=MORNING)

    assert held("RF-090") == 4


def test_a_claim_with_the_same_id_for_something_else_is_refused():
    bench, request_id = Bench(), new_id()
    bench.hold(1, request_id=request_id, now=MORNING)

    with pytest.raises(SameRequestOtherContent):
        stock.claim_stock(
            bench.pieces[0],
            count=1,
            kind="paid",
            label="Another",
            request_id=request_id,
            now=MORNING,
        )


def test_an_entry_is_taken_back_once():
    bench = Bench()
    bench.give(2, request_id=new_id(), now=MORNING)
    entry = Entry.objects.get(verb="given")
    stock.take_back_entry(entry, request_id=new_id(), now=MORNING)

    with pytest.raises(AlreadyTakenBack):
        stock.take_back_entry(entry, request_id=new_id(), now=MORNING)

    assert held("RF-090") == 5


def test_what_is_written_cannot_be_changed_or_removed_by_the_book():
    SetFactory(held=5)

    for rows in (Entry.objects.all(), Movement.objects.all()):
        with pytest.raises(LedgerIsAppendOnly):
            rows.delete()
        with pytest.raises(LedgerIsAppendOnly):
            rows.update(pk=1)


@pytest.mark.parametrize("count", [0, -1, 2.5, 100_000, True, "3", None])
def test_what_is_no_number_of_goods_never_reaches_the_ledger(count):
    item, shelf = SetFactory(held=5), PlaceFactory()
    out = Place.objects.get(code="opening")

    with pytest.raises(NotACount):
        stock.write_entry(
            [Move(item, count, shelf, out)],
            request_id=new_id(),
            verb=Entry.Verb.MOVED,
            now=MORNING,
        )

    assert Entry.objects.count() == 1


def test_an_act_with_one_wrong_line_leaves_no_line_behind():
    item, shelf = SetFactory(held=5), PlaceFactory()
    out = Place.objects.get(code="opening")

    with pytest.raises(NotACount):
        stock.write_entry(
            [Move(item, 2, out, shelf), Move(item, 0, out, shelf)],
            request_id=new_id(),
            verb=Entry.Verb.MOVED,
            now=MORNING,
        )

    assert held("RF-090", place="templates") == 0


def test_what_was_there_at_a_moment_leaves_out_what_came_after():
    item, shelf = SetFactory(held=5, home_place=PlaceFactory()), PlaceFactory()
    stock.give_away(
        item,
        count=2,
        place=shelf,
        request_id=new_id(),
        now=MORNING,
        reason="A prize",
    )

    before = MORNING - timedelta(minutes=1)
    assert balance_at(item, shelf, State.SELLABLE, at=before) == 5
    assert balance_at(item, shelf, State.SELLABLE, at=MORNING) == 3


def test_a_balance_may_be_below_nought_and_is_asked_about():
    item, shelf = SetFactory(held=1, home_place=PlaceFactory()), PlaceFactory()

    stock.give_away(
        item, count=3, place=shelf, request_id=new_id(), now=MORNING, reason="Sold"
    )

    assert held("RF-090") == -2
    assert balance_differences() == []


def test_a_second_making_up_sees_what_the_first_used():
    bench = Bench()
    bench.make_up(6, request_id=new_id(), now=MORNING)

    bench.do(("make up", 6), new_id())

    assert held("A388") == 3


def test_a_drawn_claim_lessens_what_it_was_drawn_from():
    item = SetFactory(held=5)
    kept = ClaimFactory(item=item, count=4, kind="kept", label="the fair")

    ClaimFactory(
        item=item,
        count=1,
        label="Sold at the fair",
        drawn_from=kept,
        overruled_because="It was kept for this.",
    )

    kept.refresh_from_db()
    assert kept.count == 3
    assert can_promise_by_item([item], now=MORNING) == {item.pk: 1}
