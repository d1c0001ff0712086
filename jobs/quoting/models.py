"""Priced promises. A quote revision is frozen once offered; money is integer cents everywhere."""

from typing import Any

from django.conf import settings
from django.db import models
from django.db.models import Q

from jobs.documents.models import Document
from jobs.intake.models import Job

OFFERED_PAIR = Q(offered_at__isnull=True, offered_by__isnull=True) | Q(
    offered_at__isnull=False, offered_by__isnull=False
)


# A row that cannot go away while one of ours points at it.
KEPT: Any = {"null": True, "blank": True, "on_delete": models.PROTECT}


class Quote(models.Model):
    """One revision (A, B, ...) of the priced build sheet."""

    class State(models.TextChoices):
        DRAFT = "draft", "Draft"
        OFFERED = "offered", "Offered"
        APPROVED = "approved", "Approved"
        DECLINED = "declined", "Declined"
        SUPERSEDED = "superseded", "Superseded"
        WITHDRAWN = "withdrawn", "Withdrawn"

    class Tax(models.TextChoices):
        EXEMPT = "exempt", "Exempt by certificate"
        TAXED = "taxed", "Taxed"
        NONE = "none", "No sales tax applies"

    job = models.ForeignKey(Job, on_delete=models.CASCADE, related_name="quotes")
    number = models.CharField(max_length=20)
    revision = models.CharField(max_length=3)
    state = models.CharField(max_length=10, choices=State.choices, default=State.DRAFT)
    price_date = models.DateField()
    valid_until = models.DateField()
    labour_rate_cents = models.PositiveIntegerField()
    discount_bp = models.PositiveIntegerField("Contract discount, basis points", default=0)
    supplies_bp = models.PositiveIntegerField("Shop supplies, basis points of net parts", default=0)
    tax = models.CharField(max_length=6, choices=Tax.choices, default=Tax.TAXED)
    tax_bp = models.PositiveIntegerField("Tax rate, basis points", default=0)
    labour_taxable = models.BooleanField("Labour is taxed", default=True)
    certificate = models.CharField(max_length=160, blank=True)
    note = models.TextField("What changed in this revision", blank=True)
    terms = models.TextField(blank=True)
    exclusions = models.TextField(blank=True)
    total_cents = models.BigIntegerField(default=0)
    # Digest over every line and term, fixed when offered; an approval names it.
    digest = models.CharField(max_length=64, blank=True)
    offered_at = models.DateTimeField(null=True, blank=True)
    offered_by = models.ForeignKey(settings.AUTH_USER_MODEL, **KEPT, related_name="+")
    document = models.ForeignKey(Document, **KEPT, related_name="+")
    version = models.PositiveIntegerField(default=0)
    created_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        ordering = ["job", "id"]
        constraints = [
            models.UniqueConstraint(fields=["job", "revision"], name="jobs_quote_revision"),
            *(
                models.UniqueConstraint(
                    fields=["job"], condition=Q(state=state), name=f"jobs_quote_one_{state}"
                )
                for state in ("draft", "offered", "approved")
            ),
            models.CheckConstraint(
                condition=Q(discount_bp__lte=10_000), name="jobs_quote_discount_at_most_100"
            ),
            models.CheckConstraint(
                condition=OFFERED_PAIR, name="jobs_quote_both_offered_at_and_offered_by"
            ),
        ]

    def __str__(self) -> str:
        return f"{self.number} rev {self.revision}"


class LineKind(models.TextChoices):
    PART = "part", "Part"
    LABOUR = "labour", "Labour"
    ONE_OFF = "one_off", "One-off engineering"
    SUPPLIES = "supplies", "Shop supplies"
    FREIGHT = "freight", "Freight"
    SUBLET = "sublet", "Sublet"
    TAX = "tax", "Tax"
    OPTION = "option", "Option"


class QuoteLine(models.Model):
    """One priced line. Options are signed deltas outside the base total."""

    quote = models.ForeignKey(Quote, on_delete=models.CASCADE, related_name="lines")
    position = models.PositiveSmallIntegerField()
    section = models.CharField(max_length=40)
    kind = models.CharField(max_length=10, choices=LineKind.choices)
    ref = models.CharField("Build line", max_length=10, blank=True)
    code = models.CharField(max_length=40, blank=True)
    description = models.CharField(max_length=200)
    quantity = models.DecimalField(max_digits=9, decimal_places=2, default=1)
    unit_cents = models.BigIntegerField(default=0)
    discount_bp = models.PositiveIntegerField(default=0)
    minutes = models.IntegerField(default=0)
    discountable = models.BooleanField("Contract discount applies", default=True)
    taxable = models.BooleanField(default=True)
    # An option with an agreed price: no discount, labour or supplies on top.
    firm = models.BooleanField("Agreed price", default=False)
    # An option that the customer has taken counts in the total.
    chosen = models.BooleanField("Taken into the price", default=False)
    cost_cents = models.BigIntegerField("Cost of one to the shop", null=True, blank=True)
    amount_cents = models.BigIntegerField()
    # This line's part of the tax line.
    tax_cents = models.BigIntegerField(default=0)

    class Meta:
        ordering = ["quote", "position"]
        constraints = [
            models.UniqueConstraint(fields=["quote", "position"], name="jobs_quoteline_position"),
        ]

    def __str__(self) -> str:
        return self.description


class Decision(models.Model):
    """What the customer said to one offered revision or change order. One each, append-only."""

    class Answer(models.TextChoices):
        APPROVED = "approved", "Approved"
        DECLINED = "declined", "Declined"

    quote = models.OneToOneField(Quote, **KEPT, related_name="decision")
    change = models.OneToOneField("ChangeOrder", **KEPT, related_name="decision")
    answer = models.CharField(max_length=10, choices=Answer.choices)
    name = models.CharField(max_length=120)
    comment = models.TextField(blank=True)
    digest = models.CharField(max_length=64)
    at = models.DateTimeField(auto_now_add=True)
    ip = models.GenericIPAddressField(null=True, blank=True)
    # Set when the office writes down an answer that came on paper, with the day on the paper.
    recorded_by = models.CharField(max_length=150, blank=True)
    signed_on = models.DateField(null=True, blank=True)

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=Q(quote__isnull=True, change__isnull=False)
                | Q(quote__isnull=False, change__isnull=True),
                name="jobs_decision_one_subject",
            ),
            models.CheckConstraint(
                condition=Q(recorded_by="", signed_on__isnull=True)
                | (~Q(recorded_by="") & Q(signed_on__isnull=False)),
                name="jobs_decision_both_recorded_by_and_signed_on",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.get_answer_display()} by {self.name}"


class PurchaseOrder(models.Model):
    """The customer's order, matched with the approved revision; held with each mismatch named."""

    job = models.ForeignKey(Job, on_delete=models.CASCADE, related_name="purchase_orders")
    number = models.CharField(max_length=40)
    quote = models.ForeignKey(Quote, null=True, on_delete=models.PROTECT, related_name="+")
    revision_typed = models.CharField("Quote revision named on the order", max_length=3)
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
        ]

    def __str__(self) -> str:
        return f"CO-{self.number:02d}"
