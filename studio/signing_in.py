"""Let a device in once and know it again; every time in here is a real one.

A clock that stands must not keep a door open, so this module never asks the studio's
clock. Of keys, links and codes only a SHA-256 is kept: whoever reads the database
cannot come in with what is in it.
"""

from __future__ import annotations

import hashlib
import secrets
from dataclasses import dataclass
from datetime import datetime, timedelta

from django.contrib.auth import authenticate, login
from django.contrib.sessions.models import Session
from django.db import transaction
from django.http import HttpRequest, HttpResponse
from django.utils import timezone

from studio.errors import StudioError
from studio.models import Device, Person, SignInAttempt, SignInLink

LINK_LASTS = timedelta(minutes=15)
WRONG_TRIES = 5
WAIT_AFTER_WRONG = timedelta(minutes=15)
DEVICE_COOKIE = "bench_post_device"
DEVICE_COOKIE_SECONDS = 60 * 60 * 24 * 365 * 2
DEVICE_IN_SESSION = "device"
# The owner at somebody else's device: long enough for a morning, not for good.
GUEST_SESSION_SECONDS = 60 * 60 * 4
# No vowels, so that no code spells a word, and nothing that looks like another: of
# B and 8, G and 6, L and 1, S and 5, Z and 2 at most one.
CODE_LETTERS = "CDFGHJKMNPQRTVWXY3479"
CODE_LENGTH = 8


class LinkOver(StudioError):
    """A link or code that was used, has ended, or never was."""

    def __str__(self) -> str:
        return (
            "This link or code has been used already or has ended. "
            "Ask for a new one: the owner makes it on the Studio page."
        )


@dataclass
class TooManyTries(StudioError):
    """Five wrong tries from one place in a quarter of an hour."""

    minutes: int

    def __str__(self) -> str:
        wait = "a minute" if self.minutes <= 1 else f"{self.minutes} minutes"
        return (
            f"That was wrong {WRONG_TRIES} times. Wait {wait}, then try again, "
            "or ask the owner for a link."
        )


class WrongWord(StudioError):
    """A name and a password or PIN that do not belong together."""

    def __str__(self) -> str:
        return "The name and the password or PIN do not go together. Try again, please."


class OwnerOnly(StudioError):
    """At a new device: not the owner's name and password."""

    def __str__(self) -> str:
        return (
            "The name and password are not the owner’s, and only those let a new "
            "device in. Try again, or ask the owner for a link or a code."
        )


@dataclass
class WordNeeded(StudioError):
    """A person who cannot be at this device by a tap on the name alone."""

    name: str

    def __str__(self) -> str:
        return f"{self.name} needs a password or PIN at this device."


@dataclass(frozen=True)
class NewLink:
    """A link as it can be shown once: afterwards only its hashes are known."""

    link: SignInLink
    token: str
    code: str


def hash_of(secret: str) -> str:
    return hashlib.sha256(secret.encode()).hexdigest()


def code_as_kept(typed: str) -> str:
    """Read a code however it is spaced, hyphened or cased."""
    return "".join(letter for letter in typed.upper() if letter.isalnum())


# ------------------------------------------------------------ links and codes


def make_link(person: Person, *, device_name: str) -> NewLink:
    """Make a link and a code that let one device in for this person, once."""
    token = secrets.token_urlsafe(24)
    code = "".join(secrets.choice(CODE_LETTERS) for _ in range(CODE_LENGTH))
    now = timezone.now()
    SignInLink.objects.filter(ends_at__lt=now - timedelta(days=1)).delete()
    link = SignInLink.objects.create(
        token_hash=hash_of(token),
        short_code_hash=hash_of(code),
        person=person,
        device_name=device_name,
        made_at=now,
        ends_at=now + LINK_LASTS,
    )
    return NewLink(link, token, f"{code[:4]}-{code[4:]}")


def open_links() -> list[SignInLink]:
    return list(
        SignInLink.objects.filter(
            used_at=None, ends_at__gt=timezone.now(), person__is_active=True
        ).select_related("person")
    )


def link_of_token(token: str) -> SignInLink:
    """Raises LinkOver."""
    return _open_link(token_hash=hash_of(token))


def link_of_code(typed: str) -> SignInLink:
    """Raises LinkOver."""
    return _open_link(short_code_hash=hash_of(code_as_kept(typed)))


def _open_link(**by_hash: str) -> SignInLink:
    link = (
        SignInLink.objects.filter(
            **by_hash,
            used_at=None,
            ends_at__gt=timezone.now(),
            person__is_active=True,
        )
        .select_related("person")
        .first()
    )
    if link is None:
        raise LinkOver
    return link


@transaction.atomic
def use_link(link: SignInLink) -> tuple[Device, str]:
    """Let one device in by this link; the second to try finds it used."""
    used = SignInLink.objects.filter(
        pk=link.pk, used_at=None, ends_at__gt=timezone.now()
    ).update(used_at=timezone.now())
    if not used:
        raise LinkOver
    return let_in(name=link.device_name, role=link.person.role)


# ------------------------------------------------------------ devices


def let_in(*, name: str, role: str) -> tuple[Device, str]:
    """Return the new device and the key that only its cookie will hold."""
    key = secrets.token_urlsafe(32)
    device = Device.objects.create(
        name=name, role=role, key_hash=hash_of(key), let_in_at=timezone.now()
    )
    return device, key


def device_of(request: HttpRequest) -> Device | None:
    key = request.COOKIES.get(DEVICE_COOKIE, "")
    if not key:
        return None
    return Device.objects.filter(key_hash=hash_of(key), shut_out_at=None).first()


def keep_key(response: HttpResponse, key: str, *, secure: bool) -> None:
    response.set_cookie(
        DEVICE_COOKIE,
        key,
        max_age=DEVICE_COOKIE_SECONDS,
        httponly=True,
        samesite="Lax",
        secure=secure,
    )


@transaction.atomic
def shut_out(device: Device) -> None:
    """Forget a device: its key no longer fits and whoever is at it is signed out."""
    if device.shut_out_at is None:
        device.shut_out_at = timezone.now()
        device.save(update_fields=["shut_out_at"])
    for session in Session.objects.filter(expire_date__gt=timezone.now()):
        if session.get_decoded().get(DEVICE_IN_SESSION) == device.pk:
            session.delete()


# ------------------------------------------------------------ people at a device


def needs_word(person: Person, device: Device | None) -> bool:
    """Whether this person must type a password or PIN at this device.

    A device let in for the owner trusts everybody who works here; one let in for a
    packer trusts packers, so that a lost phone opens no more than it needs to.
    """
    return device is None or device.role not in (Person.Role.OWNER, person.role)


def say_who(request: HttpRequest, person: Person, device: Device | None) -> None:
    """Let this person be at this device by a tap on the name.

    Raises WordNeeded where the name alone is not enough.
    """
    if needs_word(person, device):
        raise WordNeeded(person.first_name)
    start_session(request, person, device)


def start_session(request: HttpRequest, person: Person, device: Device | None) -> None:
    """Sign a person in under a new session key, tied to the device."""
    login(request, person, backend="django.contrib.auth.backends.ModelBackend")
    if device is not None:
        request.session[DEVICE_IN_SESSION] = device.pk
        device.last_seen_at = timezone.now()
        device.save(update_fields=["last_seen_at"])
    if needs_word(person, device):
        request.session.set_expiry(GUEST_SESSION_SECONDS)


def check_word(request: HttpRequest, *, name: str, word: str) -> Person:
    """Return the person whose name and password or PIN these are.

    A try is written down before it is judged, so that tries at the same moment
    count too. Raises TooManyTries or WrongWord.
    """
    attempt = note_try(source_of(request))
    known = Person.objects.filter(name__iexact=name.strip()).first()
    person = authenticate(
        request, username=known.name if known else name, password=word
    )
    if not isinstance(person, Person):
        raise WrongWord
    attempt.delete()
    return person


def check_owner(request: HttpRequest, *, name: str, word: str) -> Person:
    """Return the owner whose password this is; nobody else lets a new device in.

    A PIN is too short to be tried from a device that was never let in, so the
    others are refused unheard. Raises TooManyTries or OwnerOnly.
    """
    owners = Person.objects.filter(role=Person.Role.OWNER)
    if not owners.filter(name__iexact=name.strip()).exists():
        note_try(source_of(request))
        raise OwnerOnly
    try:
        return check_word(request, name=name, word=word)
    except WrongWord as wrong:
        raise OwnerOnly from wrong


def check_code(request: HttpRequest, typed: str) -> SignInLink:
    """Return the open link of a typed code. Raises TooManyTries or LinkOver."""
    attempt = note_try(source_of(request))
    link = link_of_code(typed)
    attempt.delete()
    return link


def source_of(request: HttpRequest) -> str:
    return str(request.META.get("REMOTE_ADDR", ""))[:80]


@transaction.atomic
def note_try(source: str) -> SignInAttempt:
    """Write a try down. Raises TooManyTries when five have failed already."""
    now = timezone.now()
    SignInAttempt.objects.filter(tried_at__lt=now - timedelta(days=1)).delete()
    since = SignInAttempt.objects.filter(
        source=source, tried_at__gt=now - WAIT_AFTER_WRONG
    ).order_by("-tried_at")
    tries = list(since[:WRONG_TRIES])
    if len(tries) == WRONG_TRIES:
        raise TooManyTries(_minutes_until(tries[-1].tried_at + WAIT_AFTER_WRONG, now))
    return SignInAttempt.objects.create(source=source, tried_at=now)


def _minutes_until(moment: datetime, now: datetime) -> int:
    """Return whole minutes, rounded up, so that waiting so long is enough."""
    return -(-(moment - now) // timedelta(minutes=1))
