"""Selling days: slots, repeat slots, fairs, launches; their lines and tallies."""

from __future__ import annotations

from django.db import models
from django.db.models import F, Q
from django.urls import reverse

WHOLE_HUNDREDTHS = 100
WHOLE_TEN_THOUSANDTHS = 10_000
NO_GUESS = Q(guess_low=None, guess_likely=None, guess_high=None)
A_GUESS_IN_ORDER = Q(
    guess_low__isnull=False,
    guess_likely__isnull=False,
    guess_high__isnull=False,
    guess_likely__gte=F("guess_low"),
    guess_high__gte=F("guess_likely"),
    guess_high__gt=0,
)


class SellingDay(models.Model):
    class Kind(models.TextChoices):
        SLOT = "slot", "Slot"
        REPEAT = "repeat", "Repeat slot"
        FAIR = "fair", "Fair"
        ONLINE = "online", "Online launch"

    name = models.CharField(max_length=120)
    kind = models.CharField(max_length=8, choices=Kind)
    starts_at = models.DateTimeField()
    ends_at = models.DateTimeField()
    outlet = models.ForeignKey("inventory.Outlet", on_delete=models.PROTECT)
    place = models.ForeignKey(
        "inventory.Place", null=True, blank=True, on_delete=models.PROTECT
    )
    fixed_by = models.DateTimeField(
        null=True, blank=True, help_text="Quantities are promised by then."
    )
    goods_in_at = models.DateTimeField(null=True, blank=True)
    repeat_of = models.ForeignKey(
        "self", null=True, blank=True, on_delete=models.PROTECT, related_name="repeats"
    )
    pitch_pence = models.PositiveIntegerField(default=0)
    crates = models.PositiveSmallIntegerField(null=True, blank=True)
    draws_hundredths = models.PositiveSmallIntegerField(
        default=100,
        help_text="What its hour draws, where an ordinary one draws a hundred.",
    )
    note = models.CharField(max_length=200, blank=True)

    class Meta:
        ordering = ["starts_at"]
        constraints = [
            models.CheckConstraint(
                condition=Q(ends_at__gt=F("starts_at")), name="selling_day_forward"
            ),
            models.CheckConstraint(
                condition=Q(draws_hundredths__gt=0), name="selling_day_draws"
            ),
        ]

    def __str__(self) -> str:
        return self.name

    def get_absolute_url(self) -> str:
        return reverse("production:selling_day_show", args=[self.pk])


class Terms(models.Model):
    """What was agreed for one selling day, as data.

    Commission and card fee are shares of the price in ten-thousandths, so that 1.69
    in a hundred is 169; every other share is in hundredths.
    """

    class Basis(models.TextChoices):
        FIRM = "firm", "Firm"
        SALE_OR_RETURN = "sale-or-return", "Sale or return"
        OWN = "own", "We sell it ourselves"

    selling_day = models.OneToOneField(
        SellingDay, on_delete=models.CASCADE, related_name="terms"
    )
    basis = models.CharField(max_length=16, choices=Basis)
    commission_ten_thousandths = models.PositiveSmallIntegerField(default=0)
    card_fee_ten_thousandths = models.PositiveSmallIntegerField(default=0)
    card_fee_pence = models.PositiveIntegerField(
        default=0, help_text="What each card payment costs besides its share."
    )
    carriage_out_pence = models.PositiveIntegerField(
        default=0, help_text="Getting the goods there, or travel to a fair: once."
    )
    return_carriage_pence = models.PositiveIntegerField(
        default=0, help_text="Bringing one home, besides the charge for its carton."
    )
    spoiled_hundredths = models.PositiveSmallIntegerField(
        default=0, help_text="Of a hundred that come home unsold, so many are spoiled."
    )
    customer_returns_hundredths = models.PositiveSmallIntegerField(
        default=0, help_text="Of a hundred sold, so many come back from customers."
    )
    direct_orders = models.BooleanField(default=False)
    post_within_working_days = models.PositiveSmallIntegerField(null=True, blank=True)
    late_fine_pence = models.PositiveIntegerField(default=0)
    postage_help_pence = models.PositiveIntegerField(default=0)
    carton_charge_pence = models.PositiveIntegerField(default=0)
    carton_holds = models.PositiveSmallIntegerField(
        default=20, help_text="How many come home in one carton."
    )
    carton_most_grams = models.PositiveIntegerField(
        null=True, blank=True, help_text="What one full carton may weigh."
    )
    left_over_pence = models.PositiveIntegerField(
        null=True,
        blank=True,
        help_text="What one coming home costs, where she knows better than the rule.",
    )
    statement_to = models.DateField(null=True, blank=True)
    paid_on = models.DateField(null=True, blank=True)
    repeat_share_hundredths = models.PositiveSmallIntegerField(null=True, blank=True)

    class Meta:
        ordering = ["selling_day"]
        verbose_name_plural = "terms"
        constraints = [
            models.CheckConstraint(
                condition=Q(commission_ten_thousandths__lte=WHOLE_TEN_THOUSANDTHS)
                & Q(card_fee_ten_thousandths__lte=WHOLE_TEN_THOUSANDTHS),
                name="charges_are_shares",
            ),
            models.CheckConstraint(
                condition=Q(spoiled_hundredths__lte=WHOLE_HUNDREDTHS)
                & Q(customer_returns_hundredths__lte=WHOLE_HUNDREDTHS),
                name="what_comes_home_is_a_share",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.get_basis_display()} for {self.selling_day}"


class Line(models.Model):
    """One product offered on one selling day.

    Her guess is three numbers between which the demand lies 8 times in 10, or none.
    """

    selling_day = models.ForeignKey(
        SellingDay, on_delete=models.CASCADE, related_name="lines"
    )
    item = models.ForeignKey(
        "inventory.Item", on_delete=models.PROTECT, related_name="lines"
    )
    wanted = models.PositiveIntegerField(
        null=True, blank=True, help_text="How many she means to have there."
    )
    sent = models.PositiveIntegerField(default=0)
    price_pence = models.PositiveIntegerField(null=True, blank=True)
    their_number = models.CharField(max_length=40, blank=True)
    is_pinned = models.BooleanField(default=False)
    guess_low = models.PositiveIntegerField(null=True, blank=True)
    guess_likely = models.PositiveIntegerField(null=True, blank=True)
    guess_high = models.PositiveIntegerField(null=True, blank=True)
    draws_hundredths = models.PositiveSmallIntegerField(
        default=100,
        help_text="What it draws at this price, where its usual price draws a hundred.",
    )
    signed_for = models.PositiveIntegerField(
        null=True, blank=True, help_text="How many their goods-in signed for."
    )
    reason = models.CharField(max_length=200, blank=True)
    sold = models.PositiveIntegerField(null=True, blank=True)
    sold_out_minute = models.PositiveSmallIntegerField(null=True, blank=True)

    class Meta:
        ordering = ["id"]
        constraints = [
            models.UniqueConstraint(
                fields=["selling_day", "item"], name="one_line_an_item"
            ),
            models.CheckConstraint(
                condition=NO_GUESS | A_GUESS_IN_ORDER, name="a_guess_is_in_order"
            ),
            models.CheckConstraint(
                condition=Q(draws_hundredths__gt=0), name="a_line_draws"
            ),
        ]

    def __str__(self) -> str:
        return f"{self.item_id} on {self.selling_day_id}"


class Tally(models.Model):
    """How many of a line had gone by a minute of the hour."""

    line = models.ForeignKey(Line, on_delete=models.CASCADE, related_name="tallies")
    minute = models.PositiveSmallIntegerField()
    gone = models.PositiveIntegerField()

    class Meta:
        ordering = ["line", "minute"]
        verbose_name_plural = "tallies"
        constraints = [
            models.UniqueConstraint(
                fields=["line", "minute"], name="one_tally_a_minute"
            )
        ]

    def __str__(self) -> str:
        return f"{self.gone} by minute {self.minute}"
