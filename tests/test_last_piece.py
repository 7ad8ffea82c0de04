"""Two people, two connections, one piece left: the second is refused, on any database.

SQLite queues whole transactions (IMMEDIATE); PostgreSQL queues at the item's row. The
test holds the first transaction open until the second has really come to the lock.
"""

import threading
from datetime import timedelta

import pytest
from django.db import connection, transaction

from inventory import actions as stock
from inventory.errors import StockShort
from inventory.models import Claim
from tests.conftest import MORNING
from tests.factories.production import an_item, new_id

# Long enough for the second to come to the lock and, unlocked, to run past it.
HEAD_START_SECONDS = 0.3
LONGEST_SECONDS = 15


def hold(item, label):
    return stock.claim_stock(
        item,
        count=1,
        kind=Claim.Kind.HOLD,
        label=label,
        until=MORNING + timedelta(days=2),
        request_id=new_id(),
        now=MORNING,
    )


def second_taker(item, first_has_it, said):
    """Ask for the piece on a connection of its own once the first has its claim."""
    first_has_it.wait(LONGEST_SECONDS)
    try:
        hold(item, "the second caller")
        said.append("held")
    except StockShort as refused:
        said.append(str(refused))
    finally:
        connection.close()


@pytest.mark.django_db(transaction=True)
def test_of_two_callers_at_once_only_the_first_gets_the_last_piece():
    item = an_item("SG-030", held=1, name="Sandglass set, 3 in", is_sold=True)
    first_has_it, said = threading.Event(), []
    second = threading.Thread(target=second_taker, args=(item, first_has_it, said))
    second.start()

    with transaction.atomic():
        hold(item, "the first caller")
        first_has_it.set()
        second.join(HEAD_START_SECONDS)
        waited = second.is_alive()
    second.join(LONGEST_SECONDS)

    assert waited
    assert said == [str(StockShort("SG-030", 1, 0))]
    assert [claim.label for claim in Claim.objects.all()] == ["the first caller"]
