"""The price list of the post, from nothing to a packet worked out."""

from datetime import date, time
from uuid import uuid4

import pytest
from django.urls import reverse

from orders.actions.prices import lay_out_formats, set_post_price
from orders.errors import NoFormats
from orders.models import PostFormat, PostPrice, PostService
from orders.queries.price_list import price_list
from studio.models import Counter, Person, StudioSettings

pytestmark = pytest.mark.django_db
DAY = date(2027, 3, 3)


@pytest.fixture
def owner(client):
    StudioSettings.objects.create(pk=1, name="A loft", return_address="3 Weir Lane")
    person = Person.objects.create(name="Merle", role=Person.Role.OWNER)
    client.force_login(person)
    return person


def boxes(**typed):
    lay_out_formats()
    form = {"request_id": str(uuid4()), "valid_from": "1 March 2027"}
    for fmt in PostFormat.objects.all():
        for service in PostService.objects.all():
            key = f"{fmt.code}_{service.code}".replace("-", "_")
            form[f"price_{fmt.pk}_{service.pk}"] = typed.get(key, "")
    return form


def test_a_post_without_counter_says_where_to_begin(client, owner):
    page = client.get(reverse("orders:post"))

    assert reverse("studio:days") in page.content.decode()


def test_a_post_without_prices_leads_to_the_price_list(client, owner):
    Counter.objects.create(name="Counter", weekday_last=time(16, 45))

    page = client.get(reverse("orders:post"))

    assert reverse("orders:post_prices") in page.content.decode()


def test_the_usual_sizes_have_the_published_limits():
    """Ofcom, Ask Ofcom: letter 240 × 165 × 5 mm, large letter 353 × 250 × 25 mm."""
    lay_out_formats()
    limits = {
        fmt.code: (
            fmt.longest_tenths_mm,
            fmt.middle_tenths_mm,
            fmt.shortest_tenths_mm,
            fmt.max_grams,
        )
        for fmt in PostFormat.objects.all()
    }

    assert limits["LTR"] == (2400, 1650, 50, 100)
    assert limits["LL750"] == (3530, 2500, 250, 750)
    assert limits["SP"] == (4500, 3500, 1600, 2000)


def test_laying_the_sizes_out_twice_adds_nothing(client, owner):
    client.post(reverse("orders:post_sizes_lay_out"))
    client.post(reverse("orders:post_sizes_lay_out"))

    assert PostFormat.objects.count() == 7


def test_a_typed_price_holds_from_its_day_and_a_size_without_one_is_not_used(
    client, owner
):
    form = boxes(LTR_standard="0.95", SP_standard="4.30", SP_next_day="5.60")

    answer = client.post(reverse("orders:post_prices"), form)

    assert answer.status_code == 302
    listed = price_list(DAY)
    assert [fmt.code for fmt in listed.rules.formats] == ["LTR", "SP"]
    assert listed.rules.postage_pence("SP", "next-day") == 560
    with pytest.raises(NoFormats):
        price_list(date(2027, 2, 28))


def test_a_new_price_leaves_the_old_one_for_the_days_before():
    lay_out_formats()
    letter = PostFormat.objects.get(code="LTR")
    standard = PostService.objects.get(code="standard")
    set_post_price(letter, service=standard, pence=95, valid_from=date(2027, 1, 1))
    set_post_price(letter, service=standard, pence=105, valid_from=date(2027, 4, 1))

    assert price_list(DAY).rules.postage_pence("LTR", "standard") == 95
    assert price_list(date(2027, 4, 1)).rules.postage_pence("LTR", "standard") == 105


@pytest.mark.parametrize("typed", ["-1", "0", "501", "ninety", "1.005"])
def test_a_price_that_cannot_be_is_refused_and_what_was_typed_stays(
    client, owner, typed
):
    form = boxes(LTR_standard=typed, SP_standard="4.30")

    page = client.post(reverse("orders:post_prices"), form)

    assert page.status_code == 200
    assert PostPrice.objects.count() == 0
    assert f'value="{typed}"' in page.content.decode()
    assert 'value="4.30"' in page.content.decode()
