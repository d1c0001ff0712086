"""Build files that people uploaded: kept for the dry run, then as record of what was applied."""

from django.db import models
from django.db.models import Q

from jobs.intake.models import Job


class BuildImport(models.Model):
    job = models.ForeignKey(Job, on_delete=models.CASCADE, related_name="build_imports")
    file_name = models.CharField(max_length=120)
    content = models.BinaryField()
    uploaded_by = models.CharField(max_length=150)
    uploaded_at = models.DateTimeField(auto_now_add=True)
    applied_by = models.CharField(max_length=150, blank=True)
    applied_at = models.DateTimeField(null=True, blank=True)
    # What applying it did, as a sentence.
    done = models.TextField(blank=True)

    class Meta:
        ordering = ["-id"]
        constraints = [
            models.CheckConstraint(
                condition=Q(applied_at__isnull=True, applied_by="")
                | (Q(applied_at__isnull=False) & ~Q(applied_by="")),
                name="jobs_buildimport_both_applied_at_and_applied_by",
            ),
        ]

    def __str__(self) -> str:
        return self.file_name
