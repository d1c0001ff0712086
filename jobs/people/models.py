"""The shop itself. People are plain accounts; their roles are groups (config/access.py)."""

from django.db import models

from jobs.people.tablet_models import QuickPin, Tablet

__all__ = ["QuickPin", "Shop", "Tablet"]


class Shop(models.Model):
    """The one row of shop-wide settings."""

    class PageSize(models.TextChoices):
        LETTER = "letter", "Letter"
        A4 = "A4", "A4"

    name = models.CharField(max_length=120)
    phone = models.CharField(max_length=40, blank=True)
    email = models.EmailField(blank=True)
    address = models.TextField(blank=True)
    page_size = models.CharField(max_length=6, choices=PageSize.choices, default=PageSize.LETTER)
    labour_rate_cents = models.PositiveIntegerField(default=0)
    supplies_bp = models.PositiveIntegerField(default=0)
    # What copper conductor costs, for the price of a thicker one; empty: not known.
    copper_cents_per_kg = models.PositiveIntegerField(null=True, blank=True)
    sole_trader = models.BooleanField(
        "One person may check their own work; every document says so", default=False
    )
    quote_valid_days = models.PositiveSmallIntegerField(default=45)

    class Meta:
        constraints = [
            models.CheckConstraint(condition=models.Q(id=1), name="jobs_shop_only_one"),
        ]

    def __str__(self) -> str:
        return self.name
