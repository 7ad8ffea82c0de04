"""The demo goes into an empty book whole or not at all, and into no other."""

import pytest
from django.apps import apps

from studio.demo import loading
from studio.demo.loading import NotTheDemo, is_loaded, load_demo
from tests.factories.studio import StudioFactory

pytestmark = pytest.mark.django_db


def rows_in_the_book():
    return {model._meta.label: model.objects.count() for model in apps.get_models()}


def test_somebodys_own_studio_is_never_filled_with_the_demo():
    StudioFactory(name="Weir Lane Quilts")
    before = rows_in_the_book()

    with pytest.raises(NotTheDemo, match="Weir Lane Quilts"):
        load_demo()

    assert rows_in_the_book() == before


def test_a_loading_that_breaks_off_leaves_nothing_half_loaded(monkeypatch):
    def break_off():
        raise RuntimeError("The lights went out.")

    monkeypatch.setattr(loading.story, "BEFORE_THE_ORDERS", (break_off,))
    before = rows_in_the_book()

    with pytest.raises(RuntimeError, match="lights went out"):
        load_demo()

    assert (is_loaded(), rows_in_the_book()) == (False, before)
