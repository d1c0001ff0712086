"""What the shop charges by agreement: classes of work, and contracts with tiers of discount."""

from datetime import date

from django.db import models


class LabourClass(models.Model):
    """Work that has its own rate, for example by a licensed electrician."""

    name = models.CharField(max_length=40, unique=True)
    cents_per_hour = models.PositiveIntegerField()
    # Names of the sections whose hours are of this class.
    sections = models.JSONField(default=list, blank=True)
    version = models.PositiveIntegerField(default=0)

    class Meta:
        ordering = ["name"]
        verbose_name_plural = "labour classes"

    def __str__(self) -> str:
        return self.name


class PriceContract(models.Model):
    """An agreement with one or many agencies: a discount that grows with the number of units."""

    number = models.CharField("Contract number", max_length=40, unique=True)
    name = models.CharField("With whom", max_length=120)
    # [[units from, discount in basis points], ...], rising.
    tiers = models.JSONField(default=list)
    # Names of the sections that get no discount.
    excluded = models.JSONField(default=list, blank=True)
    fee_bp = models.PositiveIntegerField("Administration fee on quotes", default=0)
    valid_from = models.DateField()
    valid_until = models.DateField()
    route = models.CharField("How orders must come", max_length=200, blank=True)
    version = models.PositiveIntegerField(default=0)

    class Meta:
        ordering = ["number"]

    def __str__(self) -> str:
        return self.number

    def discount_bp(self, units: int) -> int:
        """The discount of the highest tier that so many units reach."""
        return max((bp for least, bp in self.tiers if units >= least), default=0)

    def covers(self, day: date) -> bool:
        return self.valid_from <= day <= self.valid_until
