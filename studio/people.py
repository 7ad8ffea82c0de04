"""Who works here, and when: each change may be said twice and is made once.

A name, a person's weekday and a person's day off are unique, so these actions need no
request id: the second time finds what the first has made.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import date, time

from django.contrib.auth.password_validation import validate_password
from django.core.exceptions import ValidationError
from django.db import transaction

from studio.errors import StudioError
from studio.models import Absence, PackerHours, Person

PIN = re.compile(r"[0-9]{4,12}")


@dataclass
class NameTaken(StudioError):
    """Two people under one name could not be told apart on the buttons."""

    name: str

    def __str__(self) -> str:
        return (
            f"There is somebody called {self.name} here already. "
            "Add the first letter of the other name, or a nickname."
        )


class NameEmpty(StudioError):
    """A person without a name."""

    def __str__(self) -> str:
        return "A person needs a name. Write the name as it should stand on a button."


class NoOwnerLeft(StudioError):
    """The last owner was about to go, or to become something else."""

    def __str__(self) -> str:
        return (
            "Somebody must stay the owner, or nobody could open the Studio page. "
            "Make another person the owner first."
        )


class PinUnfit(StudioError):
    """A PIN of letters, or one too short to mean anything."""

    def __str__(self) -> str:
        return "A PIN is 4 to 12 figures. Write figures only, please."


class PinIsNoPassword(StudioError):
    """The owner's way in opens everything, so a PIN is too little for it."""

    def __str__(self) -> str:
        return "The owner needs a password, not a PIN. Choose 8 characters or more."


class PasswordUnfit(StudioError):
    """A password that the studio's rules refuse; the reasons are whole sentences."""

    def __init__(self, reasons: list[str]) -> None:
        self.reasons = reasons
        super().__init__(" ".join(reasons))


class HoursBackwards(StudioError):
    """A stretch of a day that ends before it starts."""

    def __str__(self) -> str:
        return "The hours end before they start. Write the earlier time first."


# ------------------------------------------------------------ people


@transaction.atomic
def add_person(*, name: str, role: str, pence_an_hour: int = 0) -> Person:
    """Add somebody who works here, without a password; the same again is the same.

    Raises NameEmpty, or NameTaken when the name stands for another role.
    """
    name = tidy(name)
    known = Person.objects.filter(name__iexact=name).first()
    if known is not None and known.role == role and known.is_active:
        return known
    check_name_is_free(name)
    person = Person(name=name, role=role, pence_an_hour=pence_an_hour)
    person.set_unusable_password()
    person.save()
    return person


@transaction.atomic
def change_person(
    person: Person, *, name: str, role: str, pence_an_hour: int
) -> Person:
    """Rename a person or give another role. Raises NameTaken or NoOwnerLeft."""
    name = tidy(name)
    check_name_is_free(name, besides=person)
    if role != Person.Role.OWNER:
        check_not_last_owner(person)
    if role == Person.Role.OWNER and not person.is_owner:
        # A PIN is too little for what an owner may open.
        person.set_unusable_password()
    person.name, person.role, person.pence_an_hour = name, role, pence_an_hour
    person.save(update_fields=["name", "role", "pence_an_hour", "password"])
    return person


@transaction.atomic
def part_with(person: Person) -> Person:
    """Take somebody off the buttons; what they did stays under their name."""
    check_not_last_owner(person)
    person.is_active = False
    person.save(update_fields=["is_active"])
    return person


@transaction.atomic
def bring_back(person: Person) -> Person:
    person.is_active = True
    person.save(update_fields=["is_active"])
    return person


def tidy(name: str) -> str:
    name = " ".join(name.split())
    if not name:
        raise NameEmpty
    return name


def check_name_is_free(name: str, *, besides: Person | None = None) -> None:
    others = Person.objects.filter(name__iexact=name)
    if besides is not None:
        others = others.exclude(pk=besides.pk)
    if others.exists():
        raise NameTaken(name)


def check_not_last_owner(person: Person) -> None:
    if not person.is_owner:
        return
    owners = Person.objects.filter(role=Person.Role.OWNER, is_active=True)
    if not owners.exclude(pk=person.pk).exists():
        raise NoOwnerLeft


# ------------------------------------------------------------ passwords and PINs


@transaction.atomic
def set_password(person: Person, *, password: str) -> Person:
    """Set a password by the studio's rules; other devices are signed out by it.

    Raises PasswordUnfit.
    """
    check_password_fits(password, person)
    person.set_password(password)
    person.save(update_fields=["password"])
    return person


def check_password_fits(password: str, person: Person | None = None) -> None:
    try:
        validate_password(password, person)
    except ValidationError as refused:
        raise PasswordUnfit(list(refused.messages)) from refused


@transaction.atomic
def set_pin(person: Person, *, pin: str) -> Person:
    """Set a PIN for somebody who is not the owner. Raises PinUnfit, PinIsNoPassword."""
    if person.is_owner:
        raise PinIsNoPassword
    if not PIN.fullmatch(pin):
        raise PinUnfit
    person.set_password(pin)
    person.save(update_fields=["password"])
    return person


# ------------------------------------------------------------ hours and days off


@transaction.atomic
def set_hours(person: Person, *, weekday: int, starts: time, ends: time) -> PackerHours:
    """Say when a person is there on a weekday (0 is Monday). Raises HoursBackwards."""
    if ends <= starts:
        raise HoursBackwards
    hours, _ = PackerHours.objects.update_or_create(
        person=person, weekday=weekday, defaults={"starts": starts, "ends": ends}
    )
    return hours


@transaction.atomic
def drop_hours(person: Person, *, weekday: int) -> None:
    PackerHours.objects.filter(person=person, weekday=weekday).delete()


@transaction.atomic
def note_absence(person: Person, *, day: date, reason: str = "") -> Absence:
    absence, _ = Absence.objects.update_or_create(
        person=person, day=day, defaults={"reason": reason}
    )
    return absence


@transaction.atomic
def drop_absence(person: Person, *, day: date) -> None:
    Absence.objects.filter(person=person, day=day).delete()
