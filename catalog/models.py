"""What parts are: datasheet facts, integers with the unit in the name, each revision immutable.

A part keeps its code for ever; what is known about it lives in revisions. Designs and quotes point
at a revision, so a corrected datasheet never changes a job that was designed before it.
"""

from django.core.validators import MinValueValidator
from django.db import models
from django.db.models import F, Q

from catalog.protection import CONDUCTOR_SIZES, DeviceKind


class PartKind(models.TextChoices):
    WARNING = "warning", "Warning light"
    SCENE = "scene", "Scene and work light"
    AUDIO = "audio", "Siren and audio"
    CONTROL = "control", "Control and sensing"
    POWER = "power", "Power and protection"
    RADIO = "radio", "Radio and antenna"
    IT = "it", "Computer and camera"
    INTERIOR = "interior", "Interior and storage"
    EXTERIOR = "exterior", "Exterior"
    CLIMATE = "climate", "Heating and ventilation"
    SUBLET = "sublet", "Sublet work"


class Ownership(models.TextChoices):
    SHOP = "shop", "Shop supplies"
    AGENCY = "agency", "Agency furnishes"
    SUBLET = "sublet", "Sublet"


class CheckGroup(models.TextChoices):
    """Which usual checks a part asks for on a finished unit."""

    NONE = "", "No checks of its own"
    WARNING = "warning", "Warning lights"
    SCENE = "scene", "Scene lights"
    SIREN = "siren", "Siren"
    MAST = "mast", "Mast"
    DOOR = "door", "Door and hatch switches"
    RADIO = "radio", "Radios and antennas"
    COMPUTER = "computer", "Computer and router"
    MAINS = "mains", "120 V wiring"
    SHORE = "shore", "Shore power"
    BATTERY = "battery", "Batteries and charging"


class Part(models.Model):
    code = models.CharField(max_length=40, unique=True)
    kind = models.CharField(max_length=20, choices=PartKind.choices)
    retired = models.BooleanField(default=False)
    retired_at = models.DateTimeField(null=True, blank=True, editable=False)
    retired_by = models.CharField(max_length=150, blank=True, editable=False)
    replaced_by = models.ForeignKey(
        "self", null=True, blank=True, on_delete=models.PROTECT, related_name="replaces"
    )
    current = models.OneToOneField(
        "PartRevision",
        null=True,
        editable=False,
        on_delete=models.PROTECT,
        related_name="current_of",
    )

    class Meta:
        ordering = ["code"]
        constraints = [
            models.CheckConstraint(
                condition=Q(replaced_by__isnull=True) | ~Q(replaced_by=F("id")),
                name="catalog_part_not_replaced_by_itself",
            ),
            models.CheckConstraint(
                condition=Q(retired_at__isnull=True, retired_by="")
                | (Q(retired_at__isnull=False) & ~Q(retired_by="")),
                name="catalog_part_both_retired_at_and_retired_by",
            ),
        ]

    def __str__(self) -> str:
        return self.code


class PartRevision(models.Model):
    """One datasheet state of a part. Never edited once another revision exists after it."""

    part = models.ForeignKey(Part, on_delete=models.PROTECT, related_name="revisions")
    number = models.PositiveSmallIntegerField()
    description = models.CharField(max_length=200)
    ownership = models.CharField(max_length=10, choices=Ownership.choices, default=Ownership.SHOP)
    list_price_cents = models.PositiveBigIntegerField(default=0)
    cost_cents = models.PositiveBigIntegerField(null=True, blank=True)
    price_date = models.DateField(null=True, blank=True)
    lead_days = models.PositiveSmallIntegerField(null=True, blank=True)
    labour_minutes = models.PositiveIntegerField(default=0)
    # Grams with milligram resolution: pounds from a datasheet survive the round trip.
    mass_g = models.DecimalField(
        max_digits=12, decimal_places=3, null=True, blank=True, validators=[MinValueValidator(0)]
    )
    supply_min_mv = models.PositiveIntegerField(null=True, blank=True)
    supply_max_mv = models.PositiveIntegerField(null=True, blank=True)
    warranty_months = models.PositiveSmallIntegerField(null=True, blank=True)
    serial_tracked = models.BooleanField(default=False)
    drop_class = models.CharField(
        max_length=12,
        choices=[("sensitive", "Sensitive (3 %)"), ("general", "General (10 %)")],
        default="general",
    )
    check_group = models.CharField(
        "Checks asked for", max_length=10, choices=CheckGroup.choices, blank=True
    )
    # A fuse or breaker; its rating is a limit of the part.
    device_kind = models.CharField(
        "Protects as", max_length=16, choices=DeviceKind.choices, blank=True
    )
    # Wire, sold by the foot: price and weight are those of one foot.
    conductor_awg = models.CharField(
        "Wire of size",
        max_length=4,
        choices=[(size, f"{size} AWG") for size in CONDUCTOR_SIZES],
        blank=True,
    )
    datasheet = models.CharField(max_length=200, blank=True)
    note = models.TextField(blank=True)
    reason = models.CharField("Why this revision", max_length=200, blank=True)
    created_at = models.DateTimeField(auto_now_add=True)
    created_by = models.CharField(max_length=150, blank=True)

    class Meta:
        ordering = ["part", "-number"]
        constraints = [
            models.UniqueConstraint(fields=["part", "number"], name="catalog_partrevision_number"),
            models.CheckConstraint(
                condition=Q(supply_min_mv__isnull=True)
                | Q(supply_max_mv__isnull=True)
                | Q(supply_min_mv__lte=F("supply_max_mv")),
                name="catalog_partrevision_supply_range",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.part.code} rev {self.number}"


class LoadModel(models.TextChoices):
    CURRENT = "current", "Constant current"
    POWER = "power", "Constant power"
    RESISTANCE = "resistance", "Resistive"


class CurrentDraw(models.Model):
    """One row of the current table: what a part draws for one function in one colour."""

    revision = models.ForeignKey(PartRevision, on_delete=models.CASCADE, related_name="draws")
    function = models.CharField(max_length=40, default="on")
    colour = models.CharField(max_length=20, blank=True)
    load_model = models.CharField(
        max_length=12, choices=LoadModel.choices, default=LoadModel.CURRENT
    )
    average_ma = models.PositiveIntegerField(null=True, blank=True)
    peak_ma = models.PositiveIntegerField(null=True, blank=True)
    standby_ua = models.PositiveIntegerField(null=True, blank=True)
    inrush_ma = models.PositiveIntegerField(null=True, blank=True)
    inrush_ms = models.PositiveIntegerField(null=True, blank=True)

    class Meta:
        ordering = ["revision", "function", "colour"]
        constraints = [
            models.UniqueConstraint(
                fields=["revision", "function", "colour"], name="catalog_currentdraw_once"
            ),
            models.CheckConstraint(
                condition=Q(peak_ma__isnull=True)
                | Q(average_ma__isnull=True)
                | Q(peak_ma__gte=F("average_ma")),
                name="catalog_currentdraw_peak_not_below_average",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.function} {self.colour}".strip()


class RatingLimit(models.Model):
    """A rating a part may not exceed: one channel, a group, the module, a panel, a contact."""

    class What(models.TextChoices):
        CHANNEL = "channel", "One output channel"
        GROUP = "group", "Group of channels"
        MODULE = "module", "Whole module"
        PANEL = "panel", "Panel or bus"
        CONTACT = "contact", "One contact"
        RATING = "rating", "Device rating"

    revision = models.ForeignKey(PartRevision, on_delete=models.CASCADE, related_name="limits")
    what = models.CharField(max_length=10, choices=What.choices)
    label = models.CharField(
        max_length=40, blank=True, help_text="Which channels, for example 1 to 4"
    )
    limit_ma = models.PositiveIntegerField()
    count = models.PositiveSmallIntegerField(default=1)

    class Meta:
        ordering = ["revision", "what", "label"]
        constraints = [
            models.UniqueConstraint(
                fields=["revision", "what", "label"], name="catalog_ratinglimit_once"
            ),
        ]

    def __str__(self) -> str:
        return f"{self.get_what_display()} {self.label}: {self.limit_ma} mA"


class PartImport(models.Model):
    """A sheet that was read without error: its bytes until somebody applies it, the tally after."""

    file_name = models.CharField(max_length=255)
    sha256 = models.CharField(max_length=64)
    size_bytes = models.PositiveIntegerField()
    content = models.BinaryField()
    uploaded_by = models.CharField(max_length=150)
    uploaded_at = models.DateTimeField(auto_now_add=True)
    applied_by = models.CharField(max_length=150, blank=True)
    applied_at = models.DateTimeField(null=True, blank=True)
    new_count = models.PositiveIntegerField(default=0)
    changed_count = models.PositiveIntegerField(default=0)
    unchanged_count = models.PositiveIntegerField(default=0)

    class Meta:
        ordering = ["-uploaded_at", "-id"]
        constraints = [
            models.CheckConstraint(
                condition=Q(applied_at__isnull=True, applied_by="")
                | (Q(applied_at__isnull=False) & ~Q(applied_by="")),
                name="catalog_partimport_applied_pair",
            ),
        ]

    def __str__(self) -> str:
        return self.file_name
