"""What satisfies a requirement: build lines, circuits and control rules, by their reference."""

from django.db import models

from jobs.intake.models import Requirement


class RequirementLink(models.Model):
    class Kind(models.TextChoices):
        LINE = "line", "Build line"
        CIRCUIT = "circuit", "Circuit"
        RULE = "rule", "Control rule"

    requirement = models.ForeignKey(Requirement, on_delete=models.CASCADE, related_name="links")
    kind = models.CharField(max_length=7, choices=Kind.choices)
    ref = models.CharField("Which", max_length=100)
    added_by = models.CharField(max_length=150)

    class Meta:
        ordering = ["requirement", "kind", "ref"]
        constraints = [
            models.UniqueConstraint(
                fields=["requirement", "kind", "ref"], name="jobs_requirementlink_once"
            ),
        ]

    def __str__(self) -> str:
        return f"{self.get_kind_display()} {self.ref}"
