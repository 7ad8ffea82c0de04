"""A sheet laid for the saw shows its cuts in order, and what to mind at the saw."""

import re

import pytest
from django.urls import reverse

from tests.factories.production import a_person

pytestmark = pytest.mark.django_db

STRIP = "Strip, 196 mm, 94 mm, 3"
STRIPS = {"sheet": "600x100", "edge": "3", "gap": "3", "cutter": "saw"}


@pytest.fixture
def owner(client):
    client.force_login(a_person())
    return client


def lay(client, **typed):
    asked = {"pieces": STRIP, **STRIPS, **typed}
    return client.get(reverse("production:sheet_lay"), asked).content.decode()


def test_the_saws_cuts_stand_in_order_with_what_to_mind(owner):
    """Three strips of 196 × 94 mm in a room of 594 × 94 mm: 10 cuts; worked by hand.

    The caution is common practice for a saw.
    """
    page = lay(owner, kerf="3")

    section = page.partition("The saw’s cuts")[2].partition("</details>")[0]
    cuts = re.findall(r"<li>([^<]*)</li>", section)
    assert "The saw’s cuts in order, 10" in page
    assert "with a blade that takes 3 mm." in page
    assert "Guard and riving knife on" in section
    assert len(cuts) == 10
    assert cuts[0] == (
        "Down, 100 mm long, 199 mm from the left: "
        "keep 199 mm from the left of this part to the blade."
    )
    assert cuts[-1].endswith("keep 94 mm from the top of this part to the blade.")


def test_a_blade_that_is_not_told_is_as_wide_as_the_gap(owner):
    page = lay(owner, kerf="0")

    assert "with a blade that takes 3 mm." in page
    assert "The saw’s cuts in order, 10" in page


def test_the_laser_has_no_cuts_in_order(owner):
    assert "cuts in order" not in lay(owner, cutter="laser")
