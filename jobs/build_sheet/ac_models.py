"""The 120 V side of a job: inverter, shore power and charger once, branches and bonds as rows."""

from django.db import models
from django.db.models import Q

from jobs.build_sheet.circuit_models import Feed
from jobs.intake.models import Job


class AcSide(models.Model):
    """Inverter, shore power and charger. Empty ratings lead to findings, never to a pass."""

    job = models.OneToOneField(Job, on_delete=models.CASCADE, related_name="ac_side")
    # No feed: no inverter.
    inverter_feed = models.ForeignKey(
        Feed, null=True, blank=True, on_delete=models.PROTECT, related_name="inverters"
    )
    inverter_w = models.PositiveIntegerField("Inverter, continuous (W)", null=True, blank=True)
    inverter_surge_w = models.PositiveIntegerField("Inverter, surge (W)", null=True, blank=True)
    inverter_efficiency_percent = models.PositiveSmallIntegerField(default=88)
    inverter_least_mv = models.PositiveIntegerField(default=12_000)
    shore = models.BooleanField("Has a shore inlet", default=False)
    shore_ma = models.PositiveIntegerField("Shore inlet", null=True, blank=True)
    charger = models.BooleanField("Has a charger", default=False)
    charger_ma = models.PositiveIntegerField("Charger setting in use", null=True, blank=True)
    charger_efficiency_percent = models.PositiveSmallIntegerField(default=85)
    version = models.PositiveIntegerField(default=0)

    class Meta:
        verbose_name = "120 V side"

    def __str__(self) -> str:
        return f"of {self.job.number}"


class AcBranch(models.Model):
    """One branch of the 120 V side behind its breaker."""

    job = models.ForeignKey(Job, on_delete=models.CASCADE, related_name="ac_branches")
    ref = models.CharField(max_length=10)
    name = models.CharField(max_length=80)
    breaker_ma = models.PositiveIntegerField("Breaker", null=True, blank=True)
    awg = models.CharField("Conductor size", max_length=4, blank=True)
    continuous_w = models.PositiveIntegerField("Continuous load (W)", null=True, blank=True)
    other_w = models.PositiveIntegerField("Other load (W)", default=0)
    surge_w = models.PositiveIntegerField("Largest surge (W)", default=0)
    receptacles = models.BooleanField("Feeds receptacles", default=True)
    # Unknown is not "no": it leads to a finding that asks.
    gfci = models.BooleanField("Protected by a GFCI", null=True, blank=True)
    on_inverter = models.BooleanField("Live on the inverter", default=True)
    on_shore = models.BooleanField("Live on shore power", default=True)
    version = models.PositiveIntegerField(default=0)

    class Meta:
        ordering = ["ref"]
        verbose_name = "120 V branch"
        verbose_name_plural = "120 V branches"
        constraints = [
            models.UniqueConstraint(fields=["job", "ref"], name="jobs_acbranch_ref"),
        ]

    def __str__(self) -> str:
        return self.ref


class NeutralBond(models.Model):
    """A place where neutral meets the chassis, and in which state of the vehicle it does."""

    job = models.ForeignKey(Job, on_delete=models.CASCADE, related_name="neutral_bonds")
    name = models.CharField("Where neutral is bonded", max_length=80)
    on_inverter = models.BooleanField("Closed on the inverter", default=False)
    on_shore = models.BooleanField("Closed on shore power", default=False)
    version = models.PositiveIntegerField(default=0)

    class Meta:
        ordering = ["id"]
        constraints = [
            models.CheckConstraint(
                condition=Q(on_inverter=True) | Q(on_shore=True),
                name="jobs_neutralbond_closed_somewhere",
            ),
        ]

    def __str__(self) -> str:
        return self.name
