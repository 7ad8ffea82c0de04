"""The demo studio, loaded once a module by the real actions; each test undoes itself."""

import pytest
from django.db import transaction

from studio.demo.files import moment
from studio.demo.loading import load_demo

MORNING = moment("2027-03-03 08:30")


@pytest.fixture(scope="module")
def loaded(django_db_setup, django_db_blocker):
    with django_db_blocker.unblock(), transaction.atomic():
        load_demo()
        yield
        transaction.set_rollback(True)


@pytest.fixture
def demo(loaded, db):
    """Stand in the demo studio on Wednesday 3 March 2027 at half past eight."""
    return MORNING
