"""What was decided about a design: kept revisions, accepted findings."""

from django.db import models

from jobs.documents.models import Document
from jobs.intake.models import Job


class DesignRevision(models.Model):
    """A frozen design with its findings: what was checked, against which rules, by whom."""

    job = models.ForeignKey(Job, on_delete=models.CASCADE, related_name="design_revisions")
    number = models.PositiveSmallIntegerField()
    note = models.TextField(blank=True)
    made_by = models.CharField(max_length=150)
    made_at = models.DateTimeField(auto_now_add=True)
    released_by = models.CharField(max_length=150, blank=True)
    released_at = models.DateTimeField(null=True, blank=True)
    design = models.JSONField()
    findings = models.JSONField()
    digest = models.CharField(max_length=64)
    # The printed calculation, once somebody asked for it.
    document = models.ForeignKey(
        Document, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )

    class Meta:
        ordering = ["number"]
        constraints = [
            models.UniqueConstraint(fields=["job", "number"], name="jobs_designrevision_number"),
            models.CheckConstraint(
                condition=models.Q(released_at__isnull=True, released_by="")
                | (models.Q(released_at__isnull=False) & ~models.Q(released_by="")),
                name="jobs_designrevision_both_released_at_and_released_by",
            ),
        ]

    def __str__(self) -> str:
        return f"design revision {self.number}"


class AcceptedFinding(models.Model):
    """A finding that a named person accepted in writing; it stays visible with the reason."""

    job = models.ForeignKey(Job, on_delete=models.CASCADE, related_name="accepted_findings")
    rule = models.CharField(max_length=60)
    subject = models.CharField(max_length=60)
    reason = models.TextField()
    accepted_by = models.CharField(max_length=150)
    accepted_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["job", "rule", "subject"], name="jobs_acceptedfinding_once"
            ),
        ]

    def __str__(self) -> str:
        return f"{self.rule} {self.subject}"
