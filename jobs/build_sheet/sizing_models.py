"""Suggestions that were applied, with what stood before: the history that makes them undoable."""

from django.db import models
from django.db.models import Q

from jobs.intake.models import Job


class AppliedChange(models.Model):
    """One applied suggestion. `before` and `after` hold the rows' values by kind and reference."""

    job = models.ForeignKey(Job, on_delete=models.CASCADE, related_name="applied_changes")
    circuit_ref = models.CharField(max_length=10)
    kind = models.CharField(max_length=20)
    sentence = models.CharField(max_length=200)
    # {"circuit": {"A-02": {"awg": "14"}}, "feed": {...}}; a split also has {"split": {...}}.
    before = models.JSONField()
    after = models.JSONField()
    applied_by = models.CharField(max_length=150)
    applied_at = models.DateTimeField(auto_now_add=True)
    undone_by = models.CharField(max_length=150, blank=True)
    undone_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        ordering = ["-id"]
        constraints = [
            models.CheckConstraint(
                condition=Q(undone_at__isnull=True, undone_by="")
                | (Q(undone_at__isnull=False) & ~Q(undone_by="")),
                name="jobs_appliedchange_both_undone_at_and_undone_by",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.circuit_ref}: {self.sentence}"
