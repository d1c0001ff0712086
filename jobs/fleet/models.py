"""Several units under one specification: where one of them differs."""

from django.db import models

from jobs.intake.models import Unit


class UnitDifference(models.Model):
    """What is otherwise on this unit than the job's build sheet says."""

    unit = models.ForeignKey(Unit, on_delete=models.CASCADE, related_name="differences")
    line = models.CharField("Build line", max_length=10, blank=True)
    text = models.CharField("What is different", max_length=300)
    added_by = models.CharField(max_length=150)
    added_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        ordering = ["unit", "id"]

    def __str__(self) -> str:
        return f"{self.line}: {self.text}" if self.line else self.text
