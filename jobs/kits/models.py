"""Kits: assemblies of parts with hours, circuits and rules, kept at revisions that never change."""

from django.db import models

from jobs.intake.models import Job


class Kit(models.Model):
    code = models.CharField(max_length=20, unique=True)
    name = models.CharField(max_length=120)
    vehicle = models.CharField("For which vehicles", max_length=120, blank=True)
    retired = models.BooleanField(default=False)

    class Meta:
        ordering = ["code"]

    def __str__(self) -> str:
        return self.code


class KitRevision(models.Model):
    """`content` holds tables of a build file, and under "rules" keys of usual control rules."""

    kit = models.ForeignKey(Kit, on_delete=models.PROTECT, related_name="revisions")
    number = models.PositiveSmallIntegerField()
    content = models.JSONField()
    taken_from = models.CharField("Taken from job", max_length=20, blank=True)
    note = models.CharField("What is new", max_length=200, blank=True)
    made_by = models.CharField(max_length=150)
    made_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        ordering = ["kit", "-number"]
        constraints = [
            models.UniqueConstraint(fields=["kit", "number"], name="jobs_kitrevision_number"),
        ]

    def __str__(self) -> str:
        return f"{self.kit} rev {self.number}"


class KitUse(models.Model):
    """A kit revision that was added to a job, and which of its lines became which of the job's."""

    job = models.ForeignKey(Job, on_delete=models.CASCADE, related_name="kit_uses")
    revision = models.ForeignKey(KitRevision, on_delete=models.PROTECT, related_name="uses")
    # {"lines": {"L01": "L07", ...}, "circuits": {...}}
    names = models.JSONField(default=dict)
    added_by = models.CharField(max_length=150)
    added_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        ordering = ["id"]

    def __str__(self) -> str:
        return f"{self.revision} on {self.job}"
