"""What the shop checks, in its own words and limits. A change is a new version; none is lost."""

from decimal import Decimal

from django.conf import settings
from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.db.models import Q

from catalog.models import CheckGroup
from inspections.checklists.fills import KINDS
from inspections.checklists.models import Check


class CheckTemplate(models.Model):
    """One version of one template. The newest version of a code is the one that is used."""

    class Source(models.TextChoices):
        EVERY = "every", "Every unit"
        GROUP = "group", "Units with such a part"
        DESIGN = "design", "Each of its kind in the design"

    class Coverage(models.TextChoices):
        ALL = "all", "Every one (100 %)"
        SAMPLE = "sample", "A sample"

    code = models.CharField(max_length=20)
    version = models.PositiveSmallIntegerField(default=1)
    source = models.CharField(max_length=6, choices=Source.choices)
    group = models.CharField(
        "Asked for by", max_length=10, choices=CheckGroup.choices[1:], blank=True
    )
    position = models.PositiveSmallIntegerField(default=0)
    title = models.CharField(max_length=120)
    area = models.CharField(max_length=40)
    stage = models.CharField("Checked in stage", max_length=10)
    made_in = models.CharField("Made in stage", max_length=10, blank=True)
    kind = models.CharField(max_length=10, choices=Check.Kind.choices)
    instruction = models.TextField("What to do", blank=True)
    expected_text = models.CharField("What is expected", max_length=200, blank=True)
    unit_of_measure = models.CharField("Unit of the reading", max_length=12, blank=True)
    low = models.DecimalField("At least", max_digits=12, decimal_places=3, null=True, blank=True)
    high = models.DecimalField("At most", max_digits=12, decimal_places=3, null=True, blank=True)
    # For what the design predicts: how far a reading may lie from it. The wider one counts.
    spread_percent = models.DecimalField(
        "Tolerance, percent of the prediction",
        max_digits=5,
        decimal_places=2,
        null=True,
        blank=True,
        validators=[MinValueValidator(Decimal(0)), MaxValueValidator(Decimal(100))],
    )
    spread_least = models.DecimalField(
        "Tolerance, in the unit of the reading",
        max_digits=9,
        decimal_places=3,
        null=True,
        blank=True,
        validators=[MinValueValidator(Decimal(0))],
    )
    bound = models.DecimalField(
        max_digits=9,
        decimal_places=3,
        null=True,
        blank=True,
        validators=[MinValueValidator(Decimal(0))],
    )
    photo_required = models.BooleanField("Needs a photo to pass", default=False)
    critical = models.BooleanField("Critical: holds the release", default=True)
    coverage = models.CharField(max_length=6, choices=Coverage.choices, default=Coverage.ALL)
    sample_percent = models.PositiveSmallIntegerField(
        "Share that is sampled, percent",
        default=100,
        validators=[MinValueValidator(1), MaxValueValidator(100)],
    )
    coverage_reason = models.CharField("Why all, or why a sample", max_length=200)
    authority = models.CharField("Where the limit comes from", max_length=200, blank=True)
    retired = models.BooleanField("No longer checked", default=False)
    note = models.CharField("Why it was changed", max_length=200, blank=True)
    made_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    made_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        ordering = ["position", "code", "version"]
        constraints = [
            models.UniqueConstraint(
                fields=["code", "version"], name="inspections_checktemplate_version"
            ),
            models.CheckConstraint(
                condition=Q(low__isnull=True) | Q(high__isnull=True) | Q(low__lte=models.F("high")),
                name="inspections_checktemplate_range",
            ),
            models.CheckConstraint(
                condition=~Q(source="group") | ~Q(group=""),
                name="inspections_checktemplate_group",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.words} version {self.version}"

    @property
    def words(self) -> str:
        """What it is called: its code, or what of the design it is made for."""
        return KINDS.get(self.code, self.code)

    def margin(self, predicted: Decimal) -> Decimal:
        """How far a reading may lie from the prediction: the wider of the two tolerances."""
        share = predicted * (self.spread_percent or Decimal(0)) / 100
        return max(share, self.spread_least or Decimal(0))
