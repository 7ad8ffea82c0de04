"""A thousand cutting sessions, and four phones that send what was pressed in them.

Every press is on two phones. Each phone sends all of its presses twice and in an order
of its own, a quarter of the sessions after the other. What is refused because
something earlier has not come yet is sent again at the end of the quarter.
"""

import json
import random
from collections import Counter
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from time import process_time, sleep
from uuid import UUID

from django.core.management import call_command
from django.db import OperationalError
from django.db.models import Sum

from inventory.models import Balance, Entry
from inventory.queries.balances import balance_differences
from production import actions as making
from production import presses
from production.models import CuttingLog
from production.queries.cut import live_logs
from studio.errors import StudioError
from studio.models import WorkSession
from tests.factories.production import LONDON, a_person, a_workshop

SESSIONS, PHONES, QUARTERS = 1000, 4, 4
FIRST_DAY = date(2023, 1, 2)
SHEETS_ON_THE_RACK = 5000
SHEET_GIVES = {"A388": 10, "C200": 10, "SQ350": 6}


@dataclass(frozen=True)
class Pressed:
    """A press as a phone keeps it, the day it is sent on, and its two phones."""

    text: str
    session: int
    phones: tuple[int, int]

    @property
    def quarter(self):
        return (self.session - 1) * QUARTERS // SESSIONS

    @property
    def now(self):
        return datetime.combine(day_of(self.session), time(12), LONDON)


def day_of(session):
    return FIRST_DAY + timedelta(days=session)


def numbered(session, place):
    return str(UUID(int=10**9 + session * 100 + place))


def presses_of(session):
    """Two or three sheets of LG; in each session one piece or two is no good, and in
    each third one a sheet is pressed by mistake and taken back."""
    sheets = 2 + session % 2
    said = [{"what": "sheet"}] * sheets
    said += [spoiled("SQ350", 1, "cracked")]
    said += [spoiled("A388", 2, "scratched")] * (session % 2)
    if session % 3 == 0:
        said += [{"what": "sheet"}]
        said += [{"what": "take-back", "takes_back": numbered(session, len(said) - 1)}]
    for place, one in enumerate(said):
        own = {"request_id": numbered(session, place), "session": session}
        phone = (session + place) % PHONES
        yield Pressed(
            json.dumps(
                {"layout": "LG", "seconds_ago": 60 * (20 - place), **one, **own}
            ),
            session,
            (phone, (phone + 1) % PHONES),
        )


def spoiled(piece, count, reason):
    line = {"piece": piece, "count": count, "reason": reason}
    return {"what": "spoiled", "spoiled": [line]}


def what_was_cut():
    """Add up by hand what the book must hold in the end."""
    numbers = range(1, SESSIONS + 1)
    sheets = sum(2 + n % 2 for n in numbers)
    odd = sum(n % 2 for n in numbers)
    return {
        "sheets": sheets,
        "A388": 10 * sheets - 2 * odd,
        "A388 seconds": 2 * odd,
        "C200": 10 * sheets,
        "SQ350": 6 * sheets - SESSIONS,
        "SHEET": SHEETS_ON_THE_RACK - sheets,
        "taken back": sum(n % 3 == 0 for n in numbers),
        "logs": sum(len(list(presses_of(n))) for n in numbers)
        - sum(n % 3 == 0 for n in numbers),
    }


# ------------------------------------------------------------------ programs


def prepare():
    """Make the book: drawers, a rack, a layout and a thousand sessions."""
    call_command("migrate", interactive=False, verbosity=0)
    a_workshop(sheets=SHEETS_ON_THE_RACK)
    helper = a_person("Rufus Penhallin", "workshop")
    WorkSession.objects.bulk_create(
        WorkSession(pk=n, person=helper, day=day_of(n), net_minutes=165)
        for n in range(1, SESSIONS + 1)
    )


def send(phone):
    """Send all that one phone has; return of each quarter its processor seconds, how
    often was sent and how often again."""
    shuffled, took = random.Random(phone), []
    for quarter in range(QUARTERS):
        waiting = 2 * own_presses(phone, quarter)
        shuffled.shuffle(waiting)
        started, sent, first = process_time(), len(waiting), len(waiting)
        waiting = [one for one in waiting if not is_taken(one)]
        while waiting:
            # Whatever they wait for is on another phone.
            sleep(0.05)
            sent += len(waiting)
            waiting = [one for one in waiting if not is_taken(one)]
        took.append((process_time() - started, first, sent - first))
    return took


def own_presses(phone, quarter):
    return [
        one
        for n in range(1, SESSIONS + 1)
        for one in presses_of(n)
        if one.quarter == quarter and phone in one.phones
    ]


def is_taken(pressed):
    press = presses.press_of_text(pressed.text.encode())
    try:
        making.take_press(press, now=pressed.now)
    except (StudioError, OperationalError):
        return False
    return True


def count():
    """Return what the book holds, sessions that count wrongly, and sums that differ."""
    held = Counter()
    rows = Balance.objects.exclude(place__kind="outside").values_list(
        "item__code", "state", "count"
    )
    for code, state, number in rows:
        held[f"{code} seconds" if state == "second" else code] += number
    sheets = live_logs().order_by().values_list("session").annotate(total=Sum("sheets"))
    book = {
        "sheets": sum(total for _, total in sheets),
        **{key: held[key] for key in ("A388", "A388 seconds", "C200", "SQ350")},
        "SHEET": held["SHEET"],
        "taken back": Entry.objects.filter(verb="reversed").count(),
        "logs": CuttingLog.objects.count(),
    }
    wrong = [n for n, total in sheets if total != 2 + n % 2]
    return book, wrong, len(balance_differences())
