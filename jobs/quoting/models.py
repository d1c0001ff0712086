"""Priced promises: quotes, the answers to them, orders, changes, price contracts."""

from django.db import models
from django.db.models import Q

from jobs.quoting.order_models import ChangeOrder, PurchaseOrder
from jobs.quoting.price_models import LabourClass, PriceContract
from jobs.quoting.quote_models import KEPT, LineKind, Quote, QuoteLine

__all__ = [
    "ChangeOrder",
    "Decision",
    "LabourClass",
    "LineKind",
    "PriceContract",
    "PurchaseOrder",
    "Quote",
    "QuoteLine",
]


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
