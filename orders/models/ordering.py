"""Customers, orders, their lines, and what must be asked about them."""

from __future__ import annotations

from django.db import models
from django.db.models import Q
from django.urls import reverse

from orders.querysets import OrderSet


class Customer(models.Model):
    name = models.CharField(max_length=120)
    email = models.EmailField(blank=True)
    phone = models.CharField(max_length=40, blank=True)
    address = models.CharField(
        max_length=400, blank=True, help_text="The buyer's own, on one line."
    )
    doorstep = models.CharField(max_length=200, blank=True)
    first_seen_at = models.DateTimeField()
    blanked_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        ordering = ["name"]
        indexes = [models.Index(fields=["name", "doorstep"], name="customer_at_a_door")]

    def __str__(self) -> str:
        return self.name


class Order(models.Model):
    """What a person bought. Where it goes may be another person's door."""

    class Kind(models.TextChoices):
        SALE = "sale", "Sale"
        GOODWILL = "goodwill", "Goodwill"
        REPLACEMENT = "replacement", "Replacement"

    class Paid(models.TextChoices):
        PAID = "paid", "Paid"
        AWAITED = "awaited", "Payment awaited"
        FREE = "free", "No charge"

    class State(models.TextChoices):
        OPEN = "open", "Open"
        POSTED = "posted", "Posted"
        COLLECTED = "collected", "Collected"
        CANCELLED = "cancelled", "Cancelled"

    number = models.CharField(max_length=40, unique=True)
    kind = models.CharField(max_length=12, choices=Kind, default=Kind.SALE)
    state = models.CharField(max_length=10, choices=State, default=State.OPEN)
    outlet = models.ForeignKey("inventory.Outlet", on_delete=models.PROTECT)
    customer = models.ForeignKey(
        Customer, on_delete=models.PROTECT, related_name="orders"
    )
    placed_at = models.DateTimeField(db_index=True)
    typed_in_at = models.DateTimeField()
    paid = models.CharField(max_length=8, choices=Paid)
    paid_at = models.DateTimeField(null=True, blank=True)
    held_until = models.DateTimeField(null=True, blank=True)
    postage_charged_pence = models.PositiveIntegerField(default=0)
    discount_per_hundred = models.PositiveSmallIntegerField(default=0)
    recipient_name = models.CharField(max_length=120)
    address_lines = models.TextField(help_text="One line each, without the town.")
    town = models.CharField(max_length=60, blank=True)
    postcode = models.CharField(max_length=12, blank=True)
    country = models.CharField(max_length=60, blank=True)
    doorstep = models.CharField(max_length=200, blank=True, db_index=True)
    is_gift = models.BooleanField(default=False)
    card_text = models.CharField(max_length=300, blank=True)
    need_by = models.DateField(null=True, blank=True)
    collect_on = models.DateField(null=True, blank=True)
    collect_at = models.CharField(max_length=120, blank=True)
    needs_customs = models.BooleanField(default=False)
    sends_part = models.BooleanField(
        default=False, help_text="Send what is there now; the rest follows free."
    )
    for_order = models.ForeignKey(
        "self", null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    customer_note = models.TextField(blank=True)
    posted_on = models.DateField(null=True, blank=True)
    request_id = models.UUIDField(unique=True)

    objects = OrderSet.as_manager()

    class Meta:
        ordering = ["placed_at", "id"]
        constraints = [
            models.CheckConstraint(
                condition=~Q(paid="paid") | Q(paid_at__isnull=False),
                name="paid_orders_say_when",
            ),
            models.CheckConstraint(
                condition=Q(discount_per_hundred__lte=100), name="discount_to_a_hundred"
            ),
        ]
        # In this order a list of one state comes sorted, and its end is never read.
        indexes = [models.Index(fields=["state", "placed_at"], name="orders_by_state")]

    def __str__(self) -> str:
        return self.number

    def get_absolute_url(self) -> str:
        return reverse("orders:order_show", args=[self.number])

    @property
    def is_abroad(self) -> bool:
        return bool(self.country)

    @property
    def shows_prices(self) -> bool:
        return not self.is_gift


class OrderLine(models.Model):
    """One line as ordered; `sends` differs from `item` only after an agreed swap."""

    order = models.ForeignKey(Order, on_delete=models.CASCADE, related_name="lines")
    item = models.ForeignKey(
        "inventory.Item", on_delete=models.PROTECT, related_name="order_lines"
    )
    sends = models.ForeignKey(
        "inventory.Item", on_delete=models.PROTECT, related_name="+"
    )
    count = models.PositiveIntegerField()
    price_pence = models.PositiveIntegerField(help_text="Each, before any discount.")
    gone = models.PositiveIntegerField(default=0)
    taken_off = models.PositiveIntegerField(
        default=0, help_text="No longer wanted, and to be refunded."
    )
    claim = models.OneToOneField(
        "inventory.Claim",
        null=True,
        blank=True,
        on_delete=models.PROTECT,
        related_name="order_line",
    )

    class Meta:
        ordering = ["id"]
        constraints = [
            models.CheckConstraint(
                condition=Q(count__gt=0), name="order_line_above_nought"
            ),
            models.CheckConstraint(
                condition=Q(gone__lte=models.F("count") - models.F("taken_off")),
                name="no_more_gone_than_sold",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.count} × {self.item_id}"

    @property
    def owed(self) -> int:
        return self.count - self.gone - self.taken_off


class Swap(models.Model):
    """An agreed substitute, and the refund that goes with it."""

    line = models.OneToOneField(OrderLine, on_delete=models.CASCADE)
    ordered = models.ForeignKey(
        "inventory.Item", on_delete=models.PROTECT, related_name="+"
    )
    agreed_at = models.DateTimeField()
    refund_pence = models.PositiveIntegerField(default=0)
    refund_paid_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        ordering = ["agreed_at"]

    def __str__(self) -> str:
        return f"{self.ordered_id} swapped"


class Question(models.Model):
    """Something only she can decide; the order waits until it is answered."""

    class Kind(models.TextChoices):
        DOUBLE = "double", "Possible double"
        ADDRESS = "address", "Address incomplete"
        OTHER = "other", "Something else"

    order = models.ForeignKey(Order, on_delete=models.CASCADE, related_name="questions")
    kind = models.CharField(max_length=8, choices=Kind)
    text = models.CharField(max_length=200)
    other_order = models.ForeignKey(
        Order, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    asked_at = models.DateTimeField()
    answered_at = models.DateTimeField(null=True, blank=True)
    answer = models.CharField(max_length=200, blank=True)

    class Meta:
        ordering = ["asked_at", "id"]
        constraints = [
            models.UniqueConstraint(
                fields=["order", "kind"],
                condition=Q(answered_at__isnull=True),
                name="one_open_question_a_kind",
            )
        ]

    def __str__(self) -> str:
        return self.text


class PostalClaim(models.Model):
    """A claim on the carrier for a packet lost or broken."""

    order = models.ForeignKey(
        Order, on_delete=models.CASCADE, related_name="postal_claims"
    )
    opened_on = models.DateField()
    closed_on = models.DateField(null=True, blank=True)
    note = models.CharField(max_length=200, blank=True)

    class Meta:
        ordering = ["opened_on"]

    def __str__(self) -> str:
        return f"Claim for {self.order_id}"


class Message(models.Model):
    """What a customer was told, so that nobody is told twice."""

    order = models.ForeignKey(Order, on_delete=models.CASCADE, related_name="messages")
    about = models.CharField(max_length=40)
    text = models.TextField()
    said_at = models.DateTimeField()

    class Meta:
        ordering = ["-said_at"]
        constraints = [
            models.UniqueConstraint(fields=["order", "about"], name="told_once")
        ]

    def __str__(self) -> str:
        return self.about
