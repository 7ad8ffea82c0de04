"""The ground both brothers stand on: people, devices, calendars, money lines."""

from __future__ import annotations

from django.contrib.auth.base_user import AbstractBaseUser, BaseUserManager
from django.db import models
from django.db.models import F, Q

from studio.fields import InchesField


class PersonManager(BaseUserManager["Person"]):
    def get_by_natural_key(self, name: str | None) -> Person:
        return self.get(name=name)


class Person(AbstractBaseUser):
    """Somebody who works here. The password is Django's own; a PIN is one too."""

    class Role(models.TextChoices):
        OWNER = "owner", "Owner"
        WORKSHOP = "workshop", "Workshop"
        PACKER = "packer", "Packer"

    name = models.CharField(max_length=80, unique=True)
    role = models.CharField(max_length=10, choices=Role)
    is_active = models.BooleanField(default=True)
    pence_an_hour = models.PositiveIntegerField(default=0)

    objects = PersonManager()

    USERNAME_FIELD = "name"
    REQUIRED_FIELDS = ["role"]

    class Meta:
        verbose_name_plural = "people"
        ordering = ["id"]

    def __str__(self) -> str:
        return self.name

    @property
    def first_name(self) -> str:
        return self.name.split()[0]

    @property
    def is_owner(self) -> bool:
        return self.role == self.Role.OWNER


class Device(models.Model):
    """A laptop or phone that was let in once; its cookie holds the key."""

    name = models.CharField(max_length=80)
    role = models.CharField(
        max_length=10,
        choices=Person.Role,
        help_text="The most that may be done here without a password.",
    )
    key_hash = models.CharField(max_length=64, unique=True)
    let_in_at = models.DateTimeField()
    last_seen_at = models.DateTimeField(null=True, blank=True)
    shut_out_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        ordering = ["id"]

    def __str__(self) -> str:
        return self.name


class SignInLink(models.Model):
    """A link or QR code that lets one device in, once, for a short while.

    Its times are real times: the demo's standing clock must not keep a door open.
    """

    token_hash = models.CharField(max_length=64, unique=True)
    short_code_hash = models.CharField(max_length=64, unique=True)
    person = models.ForeignKey(Person, on_delete=models.CASCADE)
    device_name = models.CharField(max_length=80)
    made_at = models.DateTimeField()
    ends_at = models.DateTimeField()
    used_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        ordering = ["id"]

    def __str__(self) -> str:
        return f"Sign-in for {self.device_name}"


class SignInAttempt(models.Model):
    """A failed try, counted by where it came from; real times."""

    source = models.CharField(max_length=80, db_index=True)
    tried_at = models.DateTimeField()

    class Meta:
        ordering = ["id"]

    def __str__(self) -> str:
        return f"{self.source} at {self.tried_at:%H:%M}"


class StudioSettings(models.Model):
    """One row: what the studio is called and the figures she may change."""

    name = models.CharField(max_length=80)
    return_address = models.TextField(help_text="One line each, as on a parcel.")
    phone = models.CharField(max_length=40, blank=True)
    email = models.EmailField(blank=True)
    host_name = models.CharField(
        max_length=120,
        blank=True,
        help_text="The name printed in QR codes; stays the same when addresses move.",
    )
    clock_stands_at = models.DateTimeField(
        null=True, blank=True, help_text="Only the demo has a clock that stands."
    )
    usual_spoil_per_hundred = models.PositiveSmallIntegerField(default=5)
    helper_pence_an_hour = models.PositiveIntegerField(default=0)
    packing_pence_an_hour = models.PositiveIntegerField(default=0)
    setup_minutes = models.PositiveSmallIntegerField(default=15)
    courier_pence = models.PositiveIntegerField(null=True, blank=True)
    courier_before = models.TimeField(null=True, blank=True)
    free_postage_from_pence = models.PositiveIntegerField(null=True, blank=True)
    split_after_days = models.PositiveSmallIntegerField(default=7)
    cover_days = models.PositiveSmallIntegerField(default=42)
    last_good_copy_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        verbose_name_plural = "studio settings"
        constraints = [
            models.CheckConstraint(condition=Q(pk=1), name="one_studio_only"),
            models.CheckConstraint(
                condition=Q(usual_spoil_per_hundred__lt=100),
                name="spoil_below_a_hundred",
            ),
        ]

    def __str__(self) -> str:
        return self.name


class ClosedDay(models.Model):
    """A day on which nobody of this studio works (not the post's closed days)."""

    day = models.DateField(unique=True)
    reason = models.CharField(max_length=120)

    class Meta:
        ordering = ["day"]

    def __str__(self) -> str:
        return f"{self.day} {self.reason}"


class PostStop(models.Model):
    """Days, typed in ahead, with no collection and no delivery."""

    first_day = models.DateField()
    last_day = models.DateField()
    reason = models.CharField(max_length=120)
    typed_in_at = models.DateTimeField()

    class Meta:
        ordering = ["first_day"]
        constraints = [
            models.CheckConstraint(
                condition=Q(last_day__gte=F("first_day")), name="stop_runs_forward"
            )
        ]

    def __str__(self) -> str:
        return f"{self.first_day} to {self.last_day}: {self.reason}"


class Counter(models.Model):
    """Where the packets are handed over."""

    name = models.CharField(max_length=80)
    weekday_last = models.TimeField(help_text="Last collection Monday to Friday.")
    saturday_last = models.TimeField(null=True, blank=True)
    packets_a_visit = models.PositiveSmallIntegerField(default=40)
    minutes_away = models.PositiveSmallIntegerField(default=15)

    class Meta:
        ordering = ["id"]

    def __str__(self) -> str:
        return self.name


class PackerHours(models.Model):
    """When a packer is there, by weekday (0 is Monday)."""

    person = models.ForeignKey(Person, on_delete=models.PROTECT)
    weekday = models.PositiveSmallIntegerField()
    starts = models.TimeField()
    ends = models.TimeField()

    class Meta:
        ordering = ["weekday"]
        constraints = [
            models.UniqueConstraint(
                fields=["person", "weekday"], name="one_stretch_a_weekday"
            ),
            models.CheckConstraint(
                condition=Q(weekday__lte=6), name="weekday_from_0_to_6"
            ),
            models.CheckConstraint(
                condition=Q(ends__gt=F("starts")), name="packer_hours_forward"
            ),
        ]

    def __str__(self) -> str:
        return f"{self.person} {self.weekday}"


class Absence(models.Model):
    """A day on which a person who usually comes does not."""

    person = models.ForeignKey(Person, on_delete=models.PROTECT)
    day = models.DateField()
    reason = models.CharField(max_length=120, blank=True)

    class Meta:
        ordering = ["day"]
        constraints = [
            models.UniqueConstraint(fields=["person", "day"], name="absent_once_a_day")
        ]

    def __str__(self) -> str:
        return f"{self.person} not on {self.day}"


class WorkSession(models.Model):
    """One stretch of somebody's time; net minutes leave out set-up and cleaning.

    Cutting is the helper's; hours for sewing samples and for packing are kept apart,
    so that no sheet is planned into them.
    """

    class Kind(models.TextChoices):
        CUTTING = "cutting", "Cutting"
        SEWING = "sewing", "Sewing"
        PACKING = "packing", "Packing"

    kind = models.CharField(max_length=8, choices=Kind, default=Kind.CUTTING)
    person = models.ForeignKey(Person, on_delete=models.PROTECT)
    day = models.DateField()
    starts = models.TimeField(null=True, blank=True)
    ends = models.TimeField(null=True, blank=True)
    net_minutes = models.PositiveSmallIntegerField()
    minutes_worked = models.PositiveSmallIntegerField(null=True, blank=True)
    note = models.CharField(max_length=200, blank=True)

    class Meta:
        ordering = ["day", "starts"]

    def __str__(self) -> str:
        return f"{self.day} {self.net_minutes} minutes"


class MoneyLine(models.Model):
    """Money that moved, or is expected to; a receipt is above nought."""

    text = models.CharField(max_length=160)
    pence = models.IntegerField()
    expected_on = models.DateField(null=True, blank=True)
    moved_on = models.DateField(null=True, blank=True)
    category = models.CharField(max_length=40, blank=True)
    reference = models.CharField(max_length=60, blank=True)

    class Meta:
        ordering = ["moved_on", "expected_on", "id"]
        constraints = [
            models.CheckConstraint(
                condition=Q(expected_on__isnull=False) | Q(moved_on__isnull=False),
                name="money_line_has_a_day",
            )
        ]

    def __str__(self) -> str:
        return f"{self.text} {self.pence}"


class OwnBlock(models.Model):
    """One keeping of a block that was laid out here.

    Each change is a row of its own. Of the rows with one word, the newest that was
    not taken back is the block as it stands, or says that it was put away.
    """

    word = models.SlugField(max_length=60, help_text="Its word in addresses.")
    number = models.PositiveIntegerField(help_text="Counts the keepings of one block.")
    name = models.CharField(max_length=60)
    lines = models.TextField(help_text="The block as it is read, a patch a line.")
    first_inches = InchesField(help_text="The finished size it is first shown at.")
    is_put_away = models.BooleanField(default=False)
    kept_at = models.DateTimeField()
    kept_by = models.ForeignKey(
        Person, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    taken_back_at = models.DateTimeField(null=True, blank=True)
    request_id = models.UUIDField(unique=True)

    class Meta:
        ordering = ["word", "number"]
        constraints = [
            models.UniqueConstraint(
                fields=["word", "number"], name="own_block_kept_in_turn"
            )
        ]

    def __str__(self) -> str:
        return f"{self.name} {self.number}"
