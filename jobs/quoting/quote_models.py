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
    # Other classes of work with their rates, as [{"name", "cents", "sections"}]; frozen with it.
    labour_rates = models.JSONField(default=list, blank=True)
    contract = models.ForeignKey("PriceContract", **KEPT, related_name="quotes")
    discount_bp = models.PositiveIntegerField("Contract discount, basis points", default=0)
    excluded_sections = models.JSONField("Sections without discount", default=list, blank=True)
    unit_count = models.PositiveSmallIntegerField("Units priced", default=1)
    repeat_bp = models.PositiveIntegerField("Hours of a further unit", default=10_000)
    fee_bp = models.PositiveIntegerField("Contract administration fee", default=0)
    deposit_bp = models.PositiveIntegerField("Deposit on approval", default=0)
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
    REPEAT = "repeat", "Further units"
    FEE = "fee", "Contract administration fee"
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
    # Empty: that of its section.
    labour_class = models.CharField("Class of work", max_length=40, blank=True)
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
