"""When circuits are on, and where the energy then comes from."""

from django.db import models
from django.db.models import Q

from jobs.build_sheet.circuit_models import Circuit, Feed
from jobs.intake.models import Job


class OperatingMode(models.Model):
    """Which circuits are on, and where the energy comes from."""

    class Source(models.TextChoices):
        IDLE = "idle", "Engine at hot idle"
        HIGH_IDLE = "high_idle", "Engine at hot high idle"
        BATTERY = "battery", "Engine off, battery"
        SHORE = "shore", "Shore power"

    job = models.ForeignKey(Job, on_delete=models.CASCADE, related_name="modes")
    key = models.SlugField(max_length=20)
    name = models.CharField(max_length=60)
    position = models.PositiveSmallIntegerField(default=0)
    source = models.CharField(max_length=10, choices=Source.choices)
    bus_mv = models.PositiveIntegerField(default=13200)
    chassis_base_ma = models.PositiveIntegerField(default=0)
    allowance_ma = models.PositiveIntegerField(default=0)
    inverter_w = models.PositiveIntegerField(default=0)
    inverter_efficiency_percent = models.PositiveSmallIntegerField(default=88)

    asleep = models.BooleanField("Key off, everything asleep", default=False)
    needed_minutes = models.PositiveIntegerField("Must last (minutes)", null=True, blank=True)
    # Links between supplies that are closed in this mode; an open one carries nothing.
    closed_links = models.ManyToManyField(Feed, blank=True, related_name="closed_in")

    class Meta:
        ordering = ["position", "id"]
        constraints = [models.UniqueConstraint(fields=["job", "key"], name="jobs_mode_key")]

    def __str__(self) -> str:
        return self.name


class ModeDuty(models.Model):
    """Duty of one circuit in one mode, in thousandths. No row means off."""

    mode = models.ForeignKey(OperatingMode, on_delete=models.CASCADE, related_name="duties")
    circuit = models.ForeignKey(Circuit, on_delete=models.CASCADE, related_name="duties")
    permille = models.PositiveSmallIntegerField(default=1000)

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["mode", "circuit"], name="jobs_modeduty_once"),
            models.CheckConstraint(condition=Q(permille__lte=1000), name="jobs_modeduty_at_most_1"),
        ]

    def __str__(self) -> str:
        return f"{self.mode}: {self.circuit}"
