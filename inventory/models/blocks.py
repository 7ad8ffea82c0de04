"""What is kept of a block and its sets: test blocks, and parts lists made from it."""

from __future__ import annotations

from fractions import Fraction

from django.db import models
from django.db.models import Q

from studio.fields import InchesField


class BlockTest(models.Model):
    """Blocks of one design and size, sewn and measured, and whether they passed.

    ``measured`` holds the sizes in exact inches with blanks between, ``187/16 47/4``.
    A test that is taken back stays, and counts for nothing.
    """

    request_id = models.UUIDField(unique=True)
    design = models.ForeignKey(
        "inventory.Design", on_delete=models.CASCADE, related_name="tests"
    )
    block = models.CharField(max_length=80)
    finished_size = InchesField()
    seam_inches = InchesField()
    allowed_inches = InchesField()
    joins = models.PositiveSmallIntegerField()
    measured = models.CharField(max_length=600)
    passed = models.BooleanField()
    note = models.CharField(max_length=200, blank=True)
    by = models.ForeignKey(
        "studio.Person", null=True, blank=True, on_delete=models.PROTECT
    )
    tested_at = models.DateTimeField()
    taken_back_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        ordering = ["-tested_at", "-id"]
        constraints = [
            models.CheckConstraint(condition=Q(joins__gt=0), name="a_test_has_a_join")
        ]

    def __str__(self) -> str:
        return f"{self.design_id} {self.finished_size}: {self.word}"

    @property
    def word(self) -> str:
        return "passed" if self.passed else "not passed"

    @property
    def measured_inches(self) -> tuple[Fraction, ...]:
        return tuple(map(Fraction, self.measured.split()))


class PartsFromBlock(models.Model):
    """One parts list made from a block: what it made, and what stood there before."""

    request_id = models.UUIDField(unique=True)
    item = models.ForeignKey(
        "inventory.Item", on_delete=models.CASCADE, related_name="from_blocks"
    )
    rank = models.PositiveSmallIntegerField(default=1)
    block = models.CharField(max_length=80)
    finished_size = InchesField()
    made = models.ManyToManyField("inventory.Item", blank=True, related_name="+")
    before = models.JSONField(null=True, blank=True)
    after = models.JSONField()
    by = models.ForeignKey(
        "studio.Person", null=True, blank=True, on_delete=models.PROTECT
    )
    done_at = models.DateTimeField()
    taken_back_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        ordering = ["-done_at", "-id"]

    def __str__(self) -> str:
        return f"{self.block} {self.finished_size}"
