"""What the shop can do at once, when it works, and the plans that were worked out."""

from django.db import models
from django.db.models import Q


class PlanResource(models.Model):
    """Bays, people of one skill, a subletter: so many stages at the same time."""

    name = models.CharField(max_length=40, unique=True)
    capacity = models.PositiveSmallIntegerField()
    # Codes of the stages that need one of it; empty: all.
    stages = models.JSONField(default=list, blank=True)
    version = models.PositiveIntegerField(default=0)

    class Meta:
        ordering = ["name"]

    def __str__(self) -> str:
        return self.name


class PlanSettings(models.Model):
    """The one row about working time."""

    day_minutes = models.PositiveSmallIntegerField("Minutes worked a day", default=480)
    free_days = models.JSONField(default=list, blank=True)
    version = models.PositiveIntegerField(default=0)

    class Meta:
        verbose_name_plural = "plan settings"
        constraints = [models.CheckConstraint(condition=Q(id=1), name="jobs_plansettings_only_one")]

    def __str__(self) -> str:
        return "Working time"


class PlanRun(models.Model):
    """One plan as it was worked out. A question what would be if cannot be kept."""

    title = models.CharField(max_length=160)
    question = models.BooleanField("Only asked, never kept", default=False)
    sha256 = models.CharField(max_length=64)
    # {"stages": {pk: [first day, last day]}, "late": [...], "gap": percent, ...}
    result = models.JSONField()
    made_by = models.CharField(max_length=150)
    made_at = models.DateTimeField(auto_now_add=True)
    kept_by = models.CharField(max_length=150, blank=True)
    kept_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        ordering = ["-id"]
        constraints = [
            models.CheckConstraint(
                condition=Q(kept_at__isnull=True, kept_by="")
                | (Q(kept_at__isnull=False) & ~Q(kept_by="")),
                name="jobs_planrun_both_kept_at_and_kept_by",
            ),
        ]

    def __str__(self) -> str:
        return self.title
