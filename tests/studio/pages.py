"""How the tests of the studio's own pages ask and answer."""

import sqlite3
from contextlib import closing

from django.contrib.messages import get_messages
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from studio import signing_in
from studio.models import Person
from tests.factories.studio import DeviceFactory

REQUEST_ID = "0f8fad5b-d9cb-469f-a165-70867728950e"


def send(client, page, /, *args, **typed):
    """Send a page's form; `stop__reason` stands for the box `stop-reason`."""
    data = {key.replace("__", "-"): value for key, value in typed.items()}
    return client.post(
        reverse(f"studio:{page}", args=args), {"request_id": REQUEST_ID, **data}
    )


def said(answer):
    return [str(message) for message in get_messages(answer.wsgi_request)]


def client_of(person):
    client = Client()
    client.force_login(person)
    return client


def at_device(role, **kwargs):
    client = Client()
    client.cookies[signing_in.DEVICE_COOKIE] = DeviceFactory(role=role, **kwargs).key
    return client


def role_at(client):
    """Return the role of whoever is signed in at this device, or nothing."""
    user_id = client.session.get("_auth_user_id")
    return Person.objects.get(pk=user_id).role if user_id else None


def clock_at(monkeypatch, moment):
    monkeypatch.setattr(timezone, "now", lambda: moment)


def spoil(path, *statements):
    """Change a copy as no program of the studio would."""
    with closing(sqlite3.connect(path)) as connection, connection:
        for statement in statements:
            connection.execute(statement)
