"""The finished vehicle as it is: its label, places to find again, where things came from."""

import secrets

from django.db import models
from django.db.models import Q

from jobs.build_sheet.models import Zone
from jobs.models import BuildLine, Circuit, Document, Photo, Unit

# Crockford's base 32: no letter that is taken for a digit. Twelve of them hold 60 random bits.
CODE_LETTERS = "0123456789ABCDEFGHJKMNPQRSTVWXYZ"
CODE_LENGTH = 12


def new_code() -> str:
    return "".join(secrets.choice(CODE_LETTERS) for _ in range(CODE_LENGTH))


class Label(models.Model):
    """The code on the vehicle. It says nothing about the vehicle and opens only after sign-in."""

    unit = models.OneToOneField(Unit, on_delete=models.PROTECT, related_name="label")
    code = models.CharField(max_length=CODE_LENGTH, unique=True, default=new_code)
    made_at = models.DateTimeField(auto_now_add=True)

    def __str__(self) -> str:
        return self.code


class Place(models.Model):
    """Something to find again on the finished vehicle, with its circuits and its photos."""

    class Kind(models.TextChoices):
        GROUND = "ground", "Ground point"
        CONNECTOR = "connector", "Connector"
        ROUTE = "route", "Cable route"
        PART = "part", "Fitted part"

    unit = models.ForeignKey(Unit, on_delete=models.CASCADE, related_name="places")
    kind = models.CharField(max_length=10, choices=Kind.choices)
    ref = models.CharField("Designation", max_length=10)
    name = models.CharField(max_length=120)
    zone = models.CharField(max_length=8, choices=Zone.choices)
    where = models.CharField("Where, and how to reach it", max_length=200)
    hidden = models.BooleanField("Behind trim or panels now", default=False)
    circuits = models.ManyToManyField(Circuit, blank=True, related_name="places")
    note = models.CharField(max_length=200, blank=True)
    version = models.PositiveIntegerField(default=0)

    class Meta:
        ordering = ["unit", "kind", "ref"]
        constraints = [
            models.UniqueConstraint(fields=["unit", "ref"], name="inspections_place_ref"),
        ]

    def __str__(self) -> str:
        return f"{self.ref} {self.name}"


class Pin(models.Model):
    """One cavity of a connector."""

    place = models.ForeignKey(Place, on_delete=models.CASCADE, related_name="pins")
    number = models.CharField("Pin", max_length=6)
    circuit = models.ForeignKey(
        Circuit, null=True, blank=True, on_delete=models.PROTECT, related_name="pins"
    )
    function = models.CharField(max_length=80)
    conductor = models.CharField("Conductor, colour", max_length=40, blank=True)

    class Meta:
        ordering = ["place", "id"]
        constraints = [
            models.UniqueConstraint(fields=["place", "number"], name="inspections_pin_number"),
        ]

    def __str__(self) -> str:
        return f"{self.place.ref}.{self.number}"


class PlacePhoto(models.Model):
    """How a place looked, often before trim closed over it."""

    place = models.ForeignKey(Place, on_delete=models.CASCADE, related_name="photos")
    photo = models.ForeignKey(Photo, on_delete=models.PROTECT, related_name="+")
    caption = models.CharField("What it shows", max_length=160)
    for_customer = models.BooleanField("Show on the customer's page", default=False)
    taken_by = models.CharField(max_length=150)
    taken_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        ordering = ["place", "id"]
        constraints = [
            models.UniqueConstraint(fields=["place", "photo"], name="inspections_placephoto_once"),
        ]

    def __str__(self) -> str:
        return self.caption


class Origin(models.Model):
    """Where something on the unit came from, so that a fault elsewhere finds every unit it hit."""

    class Kind(models.TextChoices):
        LOT = "lot", "Lot of a part"
        CRIMP = "crimp", "Crimp tool and day"
        HARNESS = "harness", "Harness revision"
        LOGIC = "logic", "Logic version loaded"

    unit = models.ForeignKey(Unit, on_delete=models.CASCADE, related_name="origins")
    kind = models.CharField(max_length=8, choices=Kind.choices)
    line = models.ForeignKey(
        BuildLine, null=True, blank=True, on_delete=models.PROTECT, related_name="origins"
    )
    value = models.CharField("Lot, tool, revision or version", max_length=60, db_index=True)
    on = models.DateField("Day")
    note = models.CharField("What or where", max_length=200, blank=True)
    recorded_by = models.CharField(max_length=150)
    recorded_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        ordering = ["unit", "on", "id"]
        constraints = [
            models.CheckConstraint(
                condition=~Q(kind="lot") | Q(line__isnull=False),
                name="inspections_origin_lot_names_a_line",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.get_kind_display()} {self.value}"


class AsReleased(models.Model):
    """The wiring of a unit on the day of its release. Append-only by database trigger.

    Further units of the job may change the design afterwards; this vehicle stays as it was built.
    """

    unit = models.OneToOneField(Unit, on_delete=models.PROTECT, related_name="as_released")
    # {"rows", "design"}, see snapshot.py.
    data = models.JSONField()
    design_revision = models.PositiveSmallIntegerField(null=True)
    kept_at = models.DateTimeField(auto_now_add=True)

    def __str__(self) -> str:
        return f"{self.unit} as released"


class AsBuiltRevision(models.Model):
    """What changed on the vehicle since it was released: each revision adds its changes."""

    unit = models.ForeignKey(Unit, on_delete=models.PROTECT, related_name="as_built_revisions")
    number = models.PositiveSmallIntegerField()
    # [{"about": "A-02", "what": "device", "before": "15", "after": "20"}]
    changes = models.JSONField()
    reason = models.CharField(max_length=300)
    made_by = models.CharField(max_length=150)
    made_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        ordering = ["unit", "number"]
        constraints = [
            models.UniqueConstraint(
                fields=["unit", "number"], name="inspections_asbuiltrevision_number"
            ),
        ]

    def __str__(self) -> str:
        return f"as-built revision {self.number}"


class Sheet(models.Model):
    """The newest printing of a small document: labels, legends, pick and stage sheets."""

    unit = models.ForeignKey(Unit, on_delete=models.CASCADE, related_name="sheets")
    key = models.CharField(max_length=30)
    document = models.ForeignKey(Document, on_delete=models.PROTECT, related_name="+")
    asked_by = models.CharField(max_length=150)

    class Meta:
        ordering = ["unit", "key"]
        constraints = [
            models.UniqueConstraint(fields=["unit", "key"], name="inspections_sheet_key"),
        ]

    def __str__(self) -> str:
        return f"{self.key} of {self.unit}"
