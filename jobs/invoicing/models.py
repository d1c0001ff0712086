"""Invoices: a deposit on approval, one for each unit when it is accepted, a balance at the end."""

from django.conf import settings
from django.db import models
from django.db.models import Q

from jobs.documents.models import Document
from jobs.intake.models import Job, Unit


class Invoice(models.Model):
    """What it says is frozen when it is issued. Amounts are integer cents."""

    class Kind(models.TextChoices):
        DEPOSIT = "deposit", "Deposit"
        UNIT = "unit", "Unit"
        BALANCE = "balance", "Balance"

    number = models.CharField(max_length=20, unique=True)
    job = models.ForeignKey(Job, on_delete=models.PROTECT, related_name="invoices")
    unit = models.OneToOneField(
        Unit, null=True, blank=True, on_delete=models.PROTECT, related_name="invoice"
    )
    kind = models.CharField(max_length=8, choices=Kind.choices)
    # Share of the contract; what of the deposit is taken off; what is to be paid.
    gross_cents = models.BigIntegerField()
    credit_cents = models.BigIntegerField(default=0)
    due_cents = models.BigIntegerField()
    lines = models.JSONField(default=list)
    bill_to = models.TextField()
    order_number = models.CharField("Their order", max_length=80, blank=True)
    issued_on = models.DateField()
    due_on = models.DateField()
    issued_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+"
    )
    document = models.ForeignKey(
        Document, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    paid_on = models.DateField(null=True, blank=True)
    paid_by = models.CharField("Payment entered by", max_length=150, blank=True)

    class Meta:
        ordering = ["-id"]
        indexes = [models.Index(fields=["paid_on", "-id"], name="jobs_invoice_open")]
        constraints = [
            models.UniqueConstraint(
                fields=["job"], condition=Q(kind="deposit"), name="jobs_invoice_one_deposit"
            ),
            models.CheckConstraint(
                condition=Q(kind="unit", unit__isnull=False)
                | (~Q(kind="unit") & Q(unit__isnull=True)),
                name="jobs_invoice_unit_only_of_units",
            ),
            models.CheckConstraint(
                condition=Q(paid_on__isnull=True, paid_by="")
                | (Q(paid_on__isnull=False) & ~Q(paid_by="")),
                name="jobs_invoice_both_paid_on_and_paid_by",
            ),
        ]

    def __str__(self) -> str:
        return self.number
