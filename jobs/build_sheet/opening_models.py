"""Openings in firewall, floor and roof, with what goes through them."""

from django.core.validators import MinValueValidator
from django.db import models

from jobs.build_sheet.circuit_models import Circuit, Feed
from jobs.intake.models import Job


class PassThrough(models.Model):
    job = models.ForeignKey(Job, on_delete=models.CASCADE, related_name="pass_throughs")
    ref = models.CharField(max_length=10)
    name = models.CharField("Where it is", max_length=80)
    # Clear diameter inside the grommet or gland.
    bore_mm = models.DecimalField(
        max_digits=7, decimal_places=2, null=True, blank=True, validators=[MinValueValidator(1)]
    )
    feeds = models.ManyToManyField(Feed, blank=True, related_name="pass_throughs")
    circuits = models.ManyToManyField(Circuit, blank=True, related_name="pass_throughs")
    version = models.PositiveIntegerField(default=0)

    class Meta:
        ordering = ["ref"]
        verbose_name = "pass-through"
        constraints = [
            models.UniqueConstraint(fields=["job", "ref"], name="jobs_passthrough_ref"),
        ]

    def __str__(self) -> str:
        return self.ref
