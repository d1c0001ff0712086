"""What is fitted where: build lines at their places, serial numbers, crew and gear."""

from decimal import Decimal

from django.core.validators import MinValueValidator
from django.db import models
from django.db.models import Q

from catalog.models import Ownership, PartRevision
from jobs.intake.models import Job


class Zone(models.TextChoices):
    FRONT = "front", "Front"
    ENGINE = "engine", "Engine bay"
    CAB = "cab", "Cab"
    LEFT = "left", "Left side"
    RIGHT = "right", "Right side"
    SIDES = "sides", "Both sides"
    AROUND = "around", "All round"
    BODY = "body", "Inside body"
    ROOF = "roof", "Roof"
    REAR = "rear", "Rear"
    UNDER = "under", "Underbody"


class Section(models.TextChoices):
    """Quote and build-sheet sections in build order."""

    WARNING = "warning", "Warning lights"
    AUDIO = "audio", "Siren and audio"
    CONTROL = "control", "Control system"
    POWER = "power", "Power and distribution"
    RADIO = "radio", "Radio"
    IT = "it", "Computer and cameras"
    INTERIOR = "interior", "Interior and storage"
    EXTERIOR = "exterior", "Exterior"
    SCENE = "scene", "Scene lights and mast"
    CLIMATE = "climate", "Heating and ventilation"
    SUBLET = "sublet", "Graphics and sublet"


class BuildLine(models.Model):
    """A part at a place on the vehicle."""

    job = models.ForeignKey(Job, on_delete=models.CASCADE, related_name="lines")
    ref = models.CharField(max_length=10)
    part = models.ForeignKey(PartRevision, on_delete=models.PROTECT, related_name="build_lines")
    quantity = models.PositiveSmallIntegerField(default=1, validators=[MinValueValidator(1)])
    section = models.CharField(max_length=10, choices=Section.choices)
    zone = models.CharField(max_length=8, choices=Zone.choices)
    # Aft of the front axle, right of the centre line, above the ground.
    x_mm = models.DecimalField(max_digits=9, decimal_places=2, null=True, blank=True)
    y_mm = models.DecimalField(max_digits=9, decimal_places=2, null=True, blank=True)
    z_mm = models.DecimalField(max_digits=9, decimal_places=2, null=True, blank=True)
    stage = models.CharField("Fitted in stage", max_length=10, blank=True)
    ownership = models.CharField(max_length=10, choices=Ownership.choices, default=Ownership.SHOP)
    access = models.CharField("How to reach it", max_length=200, blank=True)
    # Besides the hours of the part; a prepared harness may take some off.
    added_minutes = models.IntegerField("Hours added, whole line", default=0)
    note = models.CharField(max_length=200, blank=True)
    version = models.PositiveIntegerField(default=0)

    class Meta:
        ordering = ["ref"]
        constraints = [
            models.UniqueConstraint(fields=["job", "ref"], name="jobs_buildline_ref"),
            models.CheckConstraint(
                condition=Q(quantity__gte=1), name="jobs_buildline_quantity_positive"
            ),
        ]

    def __str__(self) -> str:
        return self.ref

    @property
    def minutes(self) -> int:
        """Labour of the whole line."""
        return max(0, self.quantity * self.part.labour_minutes + self.added_minutes)

    @property
    def mass(self) -> Decimal | None:
        """Weight of the whole line [g]."""
        return None if self.part.mass_g is None else self.quantity * self.part.mass_g


class UnitDifference(models.Model):
    """What one unit of a fleet has otherwise than the build sheet says.

    With `pieces` the unit gets that many of the line, 0 meaning that it is not fitted there. The
    sheet carries the most that any unit has, so that weights and currents stay on the safe side.
    """

    unit = models.ForeignKey("jobs.Unit", on_delete=models.CASCADE, related_name="differences")
    line = models.ForeignKey(
        BuildLine, null=True, blank=True, on_delete=models.CASCADE, related_name="differences"
    )
    pieces = models.PositiveSmallIntegerField("Pieces on this unit", null=True, blank=True)
    text = models.CharField("What is different", max_length=300, blank=True)
    added_by = models.CharField(max_length=150)
    added_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        ordering = ["unit", "id"]
        constraints = [
            models.UniqueConstraint(
                fields=["unit", "line"],
                condition=Q(pieces__isnull=False),
                name="jobs_unitdifference_once",
            ),
            models.CheckConstraint(
                condition=Q(pieces__isnull=True) | Q(line__isnull=False),
                name="jobs_unitdifference_pieces_of_a_line",
            ),
        ]

    def __str__(self) -> str:
        return ": ".join(filter(None, [self.line.ref if self.line else "", self.words]))

    @property
    def words(self) -> str:
        return ", ".join(filter(None, [self._pieces_words, self.text]))

    @property
    def _pieces_words(self) -> str:
        if self.pieces is None or self.line is None:
            return ""
        return f"{self.pieces} instead of {self.line.quantity}" if self.pieces else "not fitted"


class Serial(models.Model):
    """The serial number of one fitted piece on one unit."""

    unit = models.ForeignKey("jobs.Unit", on_delete=models.CASCADE, related_name="serials")
    line = models.ForeignKey(BuildLine, on_delete=models.PROTECT, related_name="serials")
    serial = models.CharField(max_length=120)

    class Meta:
        ordering = ["line_id", "serial"]
        constraints = [
            models.UniqueConstraint(fields=["unit", "line", "serial"], name="jobs_serial_once"),
        ]

    def __str__(self) -> str:
        return self.serial


class Payload(models.Model):
    """Crew and gear that the finished vehicle carries."""

    job = models.ForeignKey(Job, on_delete=models.CASCADE, related_name="payload")
    description = models.CharField(max_length=120)
    quantity = models.PositiveSmallIntegerField(default=1)
    mass_g = models.DecimalField(max_digits=12, decimal_places=3)
    x_mm = models.DecimalField(max_digits=9, decimal_places=2)

    class Meta:
        ordering = ["id"]

    def __str__(self) -> str:
        return self.description
