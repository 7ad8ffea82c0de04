"""Answer, over standard input, how long a page takes on one book.

Started by `tests.measured.books` with BENCH_POST_DATA naming the book's folder; each
line in names an address, each line out says the time or the questions put to the
database. The owner is signed in, and the page is asked for through Django's own test
client, so that no network and no server is in the figure.
"""

import json
import sys
import time

from django.conf import settings
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext

from studio.models import Person


def signed_in_client():
    client = Client(headers={"host": "localhost"})
    client.force_login(Person.objects.get(role=Person.Role.OWNER))
    return client


def questions_of(client, address):
    """Return the questions a page puts to the database, as text."""
    with CaptureQueriesContext(connection) as caught:
        client.get(address)
    return [question["sql"] for question in caught.captured_queries]


def timed(client, address):
    started = time.process_time()
    response = client.get(address)
    seconds = time.process_time() - started
    return {
        "status": response.status_code,
        "milliseconds": 1000 * seconds,
        "kilobytes": len(response.content) / 1000,
    }


def main():
    plain = "django.contrib.staticfiles.storage.StaticFilesStorage"
    settings.STORAGES = {**settings.STORAGES, "staticfiles": {"BACKEND": plain}}
    client = signed_in_client()
    for line in sys.stdin:
        wish = json.loads(line)
        if wish.get("questions"):
            answer = {"questions": questions_of(client, wish["address"])}
        else:
            answer = timed(client, wish["address"])
        sys.stdout.write(json.dumps(answer) + "\n")
        sys.stdout.flush()
