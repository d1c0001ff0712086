"""Buying: who sells what, orders, and every piece that came in, went out or was counted."""

from django.conf import settings
from django.db import models
from django.db.models import F, Q

from catalog.models import Part
from jobs.build_sheet.models import BuildLine
from jobs.intake.models import Job, Unit


class Supplier(models.Model):
    name = models.CharField(max_length=120, unique=True)
    email = models.EmailField(blank=True)
    phone = models.CharField(max_length=40, blank=True)
    note = models.TextField(blank=True)
    version = models.PositiveIntegerField(default=0)

    class Meta:
        ordering = ["name"]

    def __str__(self) -> str:
        return self.name


class PartSource(models.Model):
    """Where the shop usually buys a part."""

    part = models.OneToOneField(Part, on_delete=models.CASCADE, related_name="source")
    supplier = models.ForeignKey(Supplier, on_delete=models.PROTECT, related_name="parts")
    order_code = models.CharField("Their code", max_length=60, blank=True)

    class Meta:
        ordering = ["part"]

    def __str__(self) -> str:
        return f"{self.part} from {self.supplier}"


class Purchase(models.Model):
    """An order of ours to one supplier."""

    class State(models.TextChoices):
        DRAFT = "draft", "Draft"
        SENT = "sent", "Ordered"
        RECEIVED = "received", "Received"
        CANCELLED = "cancelled", "Cancelled"

    number = models.CharField(max_length=20, unique=True)
    supplier = models.ForeignKey(Supplier, on_delete=models.PROTECT, related_name="purchases")
    state = models.CharField(max_length=10, choices=State.choices, default=State.DRAFT)
    expected_on = models.DateField(null=True, blank=True)
    sent_at = models.DateTimeField(null=True, blank=True)
    sent_by = models.CharField(max_length=150, blank=True)
    version = models.PositiveIntegerField(default=0)
    created_by = models.CharField(max_length=150)
    created_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        ordering = ["-id"]
        indexes = [models.Index(fields=["state", "-id"], name="jobs_purchase_open")]
        constraints = [
            models.CheckConstraint(
                condition=Q(sent_at__isnull=True, sent_by="")
                | (Q(sent_at__isnull=False) & ~Q(sent_by="")),
                name="jobs_purchase_both_sent_at_and_sent_by",
            ),
        ]

    def __str__(self) -> str:
        return self.number


class PurchaseLine(models.Model):
    purchase = models.ForeignKey(Purchase, on_delete=models.CASCADE, related_name="lines")
    part = models.ForeignKey(Part, on_delete=models.PROTECT, related_name="purchase_lines")
    quantity = models.PositiveIntegerField()
    received = models.PositiveIntegerField(default=0)
    unit_cents = models.PositiveBigIntegerField(null=True, blank=True)
    # Serial numbers read on receipt, until pieces are picked.
    serials = models.JSONField(default=list, blank=True)

    class Meta:
        ordering = ["purchase", "id"]
        constraints = [
            models.UniqueConstraint(fields=["purchase", "part"], name="jobs_purchaseline_once"),
            models.CheckConstraint(
                condition=Q(received__lte=F("quantity")), name="jobs_purchaseline_not_too_many"
            ),
        ]

    def __str__(self) -> str:
        return f"{self.quantity} x {self.part}"


class StockMove(models.Model):
    """Pieces that came, went or were found to differ. What is in stock is their sum.

    Append-only by database trigger.
    """

    class Kind(models.TextChoices):
        RECEIPT = "receipt", "Received"
        PICK = "pick", "Picked"
        BACK = "back", "Put back"
        COUNT = "count", "Counted"

    part = models.ForeignKey(Part, on_delete=models.PROTECT, related_name="moves")
    kind = models.CharField(max_length=8, choices=Kind.choices)
    quantity = models.IntegerField("Pieces, minus for those that left")
    purchase_line = models.ForeignKey(
        PurchaseLine, null=True, on_delete=models.PROTECT, related_name="moves"
    )
    job = models.ForeignKey(Job, null=True, on_delete=models.PROTECT, related_name="moves")
    unit = models.ForeignKey(Unit, null=True, on_delete=models.PROTECT, related_name="moves")
    line = models.ForeignKey(BuildLine, null=True, on_delete=models.PROTECT, related_name="moves")
    note = models.CharField(max_length=200, blank=True)
    by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    at = models.DateTimeField(auto_now_add=True)

    class Meta:
        ordering = ["id"]
        indexes = [
            models.Index(fields=["part", "id"], name="jobs_stockmove_part"),
            models.Index(fields=["unit", "line"], name="jobs_stockmove_pick"),
        ]

    def __str__(self) -> str:
        return f"{self.get_kind_display()} {self.quantity} x {self.part}"
