"""A layout is written down on its page, laid aside, and taken up again."""

from uuid import uuid4

import pytest
from django.urls import reverse

from production.models import Layout
from tests.factories.production import a_person, a_workshop, an_item

pytestmark = pytest.mark.django_db


@pytest.fixture
def owner(client):
    client.force_login(a_person())
    return client


def lines(*given):
    data = {"gives-TOTAL_FORMS": "6", "gives-INITIAL_FORMS": "0"}
    for n, (piece, count) in enumerate(given):
        data |= {f"gives-{n}-piece": piece, f"gives-{n}-count": count}
    return data


def write(client, *given, **changed):
    form = {"request_id": str(uuid4()), "code": "HEX", "minutes": "25"}
    form |= {"sheet": sheet().pk} | lines(*given) | changed
    page = client.post(reverse("production:layout_add"), form, follow=True)
    return page.content.decode()


def sheet():
    return an_item("AS-A3", kind="sheet")


def test_a_layout_is_written_down_with_what_it_gives(owner):
    an_item("HEX-A")
    an_item("HEX-B")

    page = write(
        owner, ("hex-a", "12"), ("HEX-B", "4"), **{"gives-1-is_by_product": "on"}
    )

    layout = Layout.objects.get()
    gives = layout.gives.values_list("piece__code", "count", "is_by_product")
    assert (layout.code, layout.minutes, layout.sheet.code) == ("HEX", 25, "AS-A3")
    assert list(gives) == [("HEX-A", 12, False), ("HEX-B", 4, True)]
    assert "Layout HEX is written down. Its sheets can be planned now." in page


def test_the_same_page_sent_twice_is_one_layout(owner):
    an_item("HEX-A")
    same = {"sheet": sheet().pk, "request_id": str(uuid4())}

    write(owner, ("HEX-A", "12"), **same)
    page = write(owner, ("HEX-A", "12"), **same)

    assert Layout.objects.count() == 1
    assert "Layout HEX is written down." in page


@pytest.mark.parametrize(
    ("given", "changed", "says"),
    [
        ([], {}, "No piece is written yet."),
        ([("NO-1", "12")], {}, "Nothing in the book is called NO-1."),
        ([("HEX-A", "")], {}, "How many does one sheet give?"),
        ([("", "12")], {}, "Which piece? Write its code or its whole name."),
        ([("HEX-A", "1.5")], {}, "1.5 is not a number of goods"),
        ([("HEX-A", "-2")], {}, "-2 is not a number of goods"),
        ([("HEX-A", "501")], {}, "Write a whole number from 1 to 500."),
        ([("HEX-A", "2"), ("hex-a", "3")], {}, "HEX-A stands here twice."),
        ([("HEX-A", "2")], {"minutes": "ages"}, "ages does not fit here."),
        ([("HEX-A", "2")], {"minutes": ""}, "How long does a sheet take?"),
        ([("HEX-A", "2")], {"code": "H X"}, "A code has no spaces"),
        ([("HEX-A", "2")], {"sheet": ""}, "Choose the sheet it is cut from."),
        ([("HEX-A", "2")], {"gives-TOTAL_FORMS": "many"}, "No piece is written yet."),
    ],
)
def test_what_cannot_be_right_is_said_and_what_was_typed_stays(
    owner, given, changed, says
):
    an_item("HEX-A")

    page = write(owner, *given, name="Hexagons, the thin ones", **changed)

    assert not Layout.objects.exists()
    assert says in page
    assert "Hexagons, the thin ones" in page


def test_a_code_that_gives_something_else_already_is_refused(owner):
    an_item("HEX-A")
    write(owner, ("HEX-A", "12"))

    page = write(owner, ("HEX-A", "11"))

    assert Layout.objects.get().gives.get().count == 12
    assert "There is already a layout HEX and it gives something else." in page


def test_without_a_sheet_in_the_goods_the_page_says_to_add_one(owner):
    page = owner.get(reverse("production:layout_add")).content.decode()

    assert "No sheet is in the goods yet." in page
    assert reverse("inventory:item_add") in page
    assert "Write the layout down" not in page


def test_a_layout_laid_aside_is_planned_no_more_until_it_is_taken_up(owner):
    a_workshop()
    layout = Layout.objects.order_by("code").first()
    form = {"request_id": str(uuid4())}

    aside = owner.post(
        reverse("production:layout_aside", args=[layout.pk]), form, follow=True
    ).content.decode()
    listed = owner.get(reverse("production:layout_add")).content.decode()
    again = reverse("production:layout_take_up", args=[layout.pk])
    was_in_use = Layout.objects.get(pk=layout.pk).is_in_use
    owner.post(again, form)

    assert (was_in_use, Layout.objects.get(pk=layout.pk).is_in_use) == (False, True)
    assert again in aside
    assert again in listed


def test_only_the_owner_writes_layouts_down(client):
    a_workshop()
    client.force_login(a_person("Rufus Tallboys", "workshop"))

    bench = client.get(reverse("production:bench")).content.decode()

    assert client.get(reverse("production:layout_add")).status_code == 403
    assert "Write a layout down" not in bench
    assert "Lay it aside" not in bench


def test_what_is_wrong_on_a_line_is_told_at_the_top_and_leads_to_its_box(owner):
    an_item("HEX-A")

    page = write(owner, ("HEX-A", "1.5"))

    assert "Nothing is saved yet. The lines need a look." in page
    assert 'href="#id_gives-0-count">Line 1, How many a sheet: 1.5 is not' in page
