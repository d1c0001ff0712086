"""What follows an approval: the customer's orders and changes of the contract."""

from django.conf import settings
from django.db import models
from django.db.models import Q

from jobs.documents.models import Document
from jobs.intake.models import Job
from jobs.photos.models import Photo
from jobs.quoting.quote_models import KEPT, OFFERED_PAIR, Quote


class PurchaseOrder(models.Model):
    """The customer's order, matched with the approved revision; held with each mismatch named."""

    job = models.ForeignKey(Job, on_delete=models.CASCADE, related_name="purchase_orders")
    number = models.CharField(max_length=40)
    quote = models.ForeignKey(Quote, null=True, on_delete=models.PROTECT, related_name="+")
    revision_typed = models.CharField("Quote revision named on the order", max_length=3)
    contract_typed = models.CharField(
        "Contract number named on the order", max_length=40, blank=True
    )
    total_cents = models.BigIntegerField()
    bill_to = models.CharField(max_length=200, blank=True)
    received_on = models.DateField()
    held = models.BooleanField(default=False)
    mismatches = models.JSONField(default=list)
    entered_by = models.CharField(max_length=150)
    # Why a held order was let through although it does not match.
    resolution = models.TextField(blank=True)
    resolved_by = models.CharField(max_length=150, blank=True)
    resolved_at = models.DateTimeField(null=True, blank=True)
    version = models.PositiveIntegerField(default=0)

    class Meta:
        ordering = ["job", "id"]
        constraints = [
            models.CheckConstraint(
                condition=Q(resolution="", resolved_by="", resolved_at__isnull=True)
                | (~Q(resolution="") & ~Q(resolved_by="") & Q(resolved_at__isnull=False)),
                name="jobs_purchaseorder_resolved_by_and_at",
            ),
            models.UniqueConstraint(fields=["job", "number"], name="jobs_purchaseorder_number"),
        ]

    def __str__(self) -> str:
        return self.number


class ChangeOrder(models.Model):
    """A change after approval, priced by the terms of the approved revision it changes."""

    class State(models.TextChoices):
        DRAFT = "draft", "Draft"
        OFFERED = "offered", "Waiting for approval"
        APPROVED = "approved", "Approved"
        DECLINED = "declined", "Declined"
        WITHDRAWN = "withdrawn", "Withdrawn"

    class Reason(models.TextChoices):
        CUSTOMER = "customer", "Customer asked"
        ERROR = "error", "Our error"
        DISCOVERY = "discovery", "Found on the vehicle"
        OBSOLETE = "obsolete", "Part no longer made"

    job = models.ForeignKey(Job, on_delete=models.CASCADE, related_name="changes")
    quote = models.ForeignKey(Quote, on_delete=models.PROTECT, related_name="changes")
    number = models.PositiveSmallIntegerField()
    title = models.CharField(max_length=160)
    reason = models.CharField(max_length=10, choices=Reason.choices)
    asked_by = models.CharField(max_length=120, blank=True)
    state = models.CharField(max_length=10, choices=State.choices, default=State.DRAFT)
    days = models.SmallIntegerField("Days added", default=0)
    # Priced lines in the shape of jobs/quoting/change_lines.py, frozen when offered.
    lines = models.JSONField(default=list)
    amount_cents = models.BigIntegerField(default=0)
    amendment = models.CharField("Order amendment number", max_length=40, blank=True)
    digest = models.CharField(max_length=64, blank=True)
    note = models.TextField("Effect on the work", blank=True)
    # What it does to the build sheet (jobs/changes/edits.py), and the computed effect of that.
    edits = models.JSONField(default=list, blank=True)
    effect = models.JSONField(default=dict, blank=True)
    # Stage codes in which nobody starts work until the agency has answered.
    holds_stages = models.JSONField(default=list, blank=True)
    raised_at = models.CharField("Raised at unit and stage", max_length=60, blank=True)
    photo = models.ForeignKey(Photo, **KEPT, related_name="+")
    applied_at = models.DateTimeField(null=True, blank=True)
    applied_by = models.CharField(max_length=150, blank=True)
    offered_at = models.DateTimeField(null=True, blank=True)
    offered_by = models.ForeignKey(settings.AUTH_USER_MODEL, **KEPT, related_name="+")
    document = models.ForeignKey(Document, **KEPT, related_name="+")
    version = models.PositiveIntegerField(default=0)
    created_by = models.CharField(max_length=150)
    created_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        ordering = ["job", "number"]
        constraints = [
            models.UniqueConstraint(fields=["job", "number"], name="jobs_changeorder_number"),
            models.CheckConstraint(
                condition=OFFERED_PAIR, name="jobs_changeorder_both_offered_at_and_offered_by"
            ),
            models.CheckConstraint(
                condition=Q(applied_at__isnull=True, applied_by="")
                | (Q(applied_at__isnull=False) & ~Q(applied_by="")),
                name="jobs_changeorder_both_applied_at_and_applied_by",
            ),
        ]

    def __str__(self) -> str:
        return f"CO-{self.number:02d}"
