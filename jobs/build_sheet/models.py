"""What is built: parts at places, circuits that feed them, modes that use them."""

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
    note = models.CharField(max_length=200, blank=True)
    version = models.PositiveIntegerField(default=0)

    class Meta:
        ordering = ["job", "ref"]
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
        return self.quantity * self.part.labour_minutes

    @property
    def mass(self) -> Decimal | None:
        """Weight of the whole line [g]."""
        return None if self.part.mass_g is None else self.quantity * self.part.mass_g


class Serial(models.Model):
    """The serial number of one fitted piece on one unit."""

    unit = models.ForeignKey("jobs.Unit", on_delete=models.CASCADE, related_name="serials")
    line = models.ForeignKey(BuildLine, on_delete=models.PROTECT, related_name="serials")
    serial = models.CharField(max_length=120)

    class Meta:
        ordering = ["line", "serial"]
        constraints = [
            models.UniqueConstraint(fields=["unit", "line", "serial"], name="jobs_serial_once"),
        ]

    def __str__(self) -> str:
        return self.serial


class Supply(models.Model):
    class Kind(models.TextChoices):
        BATTERY = "battery", "Battery"
        ALTERNATOR = "alternator", "Alternator"
        INVERTER = "inverter", "Inverter"
        SHORE = "shore", "Shore inlet"

    job = models.ForeignKey(Job, on_delete=models.CASCADE, related_name="supplies")
    ref = models.CharField(max_length=10)
    name = models.CharField(max_length=80)
    kind = models.CharField(max_length=10, choices=Kind.choices)
    nominal_mv = models.PositiveIntegerField(validators=[MinValueValidator(1)])
    # Voltage at this supply while circuits are measured under load.
    test_mv = models.PositiveIntegerField(null=True, blank=True)
    internal_resistance_uohm = models.PositiveIntegerField(default=0)
    capacity_mah = models.PositiveIntegerField(null=True, blank=True)
    rating_ma = models.PositiveIntegerField(null=True, blank=True)

    class Meta:
        ordering = ["job", "ref"]
        constraints = [
            models.UniqueConstraint(fields=["job", "ref"], name="jobs_supply_ref"),
        ]

    def __str__(self) -> str:
        return self.name


class DeviceKind(models.TextChoices):
    FUSE_BLADE = "fuse_blade", "Blade fuse"
    FUSE_BOLT = "fuse_bolt", "Bolt-down fuse"
    BREAKER_AUTO = "breaker_auto", "Breaker, automatic reset (type I)"
    BREAKER_MODIFIED = "breaker_modified", "Breaker, modified reset (type II)"
    BREAKER_MANUAL = "breaker_manual", "Breaker, manual reset (type III)"
    ELECTRONIC = "electronic", "Electronic trip in a node"


class ReturnPath(models.TextChoices):
    WIRE = "wire", "Return wire, same size"
    BODY = "body", "Vehicle body"


class Conductor(models.Model):
    """What feeds and circuits have in common: a protected conductor run."""

    device_kind = models.CharField(max_length=16, choices=DeviceKind.choices)
    device_ma = models.PositiveIntegerField("Device rating", null=True, blank=True)
    awg = models.CharField("Conductor size", max_length=4, blank=True)
    insulation_c = models.PositiveSmallIntegerField("Insulation rating", default=125)
    length_mm = models.DecimalField(
        "One-way length",
        max_digits=9,
        decimal_places=2,
        null=True,
        blank=True,
        validators=[MinValueValidator(Decimal("0.01"))],
    )
    return_path = models.CharField(
        max_length=4, choices=ReturnPath.choices, default=ReturnPath.WIRE
    )
    engine_space = models.BooleanField(default=False)
    bundle_count = models.PositiveSmallIntegerField("Conductors in the bundle", default=1)
    colour = models.CharField(max_length=20, blank=True)

    class Meta:
        abstract = True


class Feed(Conductor):
    """A main conductor from a supply to a distribution point."""

    job = models.ForeignKey(Job, on_delete=models.CASCADE, related_name="feeds")
    ref = models.CharField(max_length=10)
    name = models.CharField(max_length=80)
    supply = models.ForeignKey(Supply, on_delete=models.PROTECT, related_name="feeds")
    # Set for a link between two supplies; then a device stands at both ends.
    second_supply = models.ForeignKey(
        Supply, null=True, blank=True, on_delete=models.PROTECT, related_name="linked_feeds"
    )
    source_distance_mm = models.DecimalField(
        "Conductor from supply to device", max_digits=9, decimal_places=2, null=True, blank=True
    )
    panel_place = models.CharField(max_length=80, blank=True)
    version = models.PositiveIntegerField(default=0)

    class Meta:
        ordering = ["job", "ref"]
        constraints = [
            models.UniqueConstraint(fields=["job", "ref"], name="jobs_feed_ref"),
            models.CheckConstraint(
                condition=Q(length_mm__isnull=True) | Q(length_mm__gt=0),
                name="jobs_feed_length_positive",
            ),
        ]

    def __str__(self) -> str:
        return self.ref


class Node(models.Model):
    """An input/output module on a feed."""

    job = models.ForeignKey(Job, on_delete=models.CASCADE, related_name="nodes")
    ref = models.CharField(max_length=10)
    feed = models.ForeignKey(Feed, on_delete=models.PROTECT, related_name="nodes")
    line = models.ForeignKey(
        BuildLine, null=True, blank=True, on_delete=models.PROTECT, related_name="nodes"
    )
    place = models.CharField(max_length=80, blank=True)
    module_limit_ma = models.PositiveIntegerField(null=True, blank=True)

    class Meta:
        ordering = ["job", "ref"]
        constraints = [models.UniqueConstraint(fields=["job", "ref"], name="jobs_node_ref")]

    def __str__(self) -> str:
        return self.ref


class Circuit(Conductor):
    """One protected branch from a distribution point or node channel to its loads."""

    job = models.ForeignKey(Job, on_delete=models.CASCADE, related_name="circuits")
    ref = models.CharField(max_length=10)
    feed = models.ForeignKey(Feed, on_delete=models.PROTECT, related_name="circuits")
    designation = models.CharField(max_length=120)
    node = models.ForeignKey(
        Node, null=True, blank=True, on_delete=models.PROTECT, related_name="circuits"
    )
    channel = models.CharField("Channel or slot", max_length=20, blank=True)
    channel_limit_ma = models.PositiveIntegerField(null=True, blank=True)
    intermittent = models.BooleanField(default=False)
    # The circuit is its feed's own conductor and device, for example an inverter's cable.
    whole_feed = models.BooleanField("Uses the feed's own conductor", default=False)
    drop_limit_percent = models.DecimalField(max_digits=4, decimal_places=1, null=True, blank=True)
    # Current that passes through without a load of ours, for example a battery link.
    through_average_ma = models.PositiveIntegerField(default=0)
    through_peak_ma = models.PositiveIntegerField(default=0)
    label = models.CharField(max_length=20, blank=True)
    note = models.CharField(max_length=200, blank=True)
    version = models.PositiveIntegerField(default=0)

    class Meta:
        ordering = ["job", "ref"]
        constraints = [
            models.UniqueConstraint(fields=["job", "ref"], name="jobs_circuit_ref"),
            models.CheckConstraint(
                condition=Q(length_mm__isnull=True) | Q(length_mm__gt=0),
                name="jobs_circuit_length_positive",
            ),
        ]

    def __str__(self) -> str:
        return self.ref


class CircuitLoad(models.Model):
    """So many pieces of a build line hang on this circuit, using one function of the part."""

    circuit = models.ForeignKey(Circuit, on_delete=models.CASCADE, related_name="loads")
    line = models.ForeignKey(BuildLine, on_delete=models.PROTECT, related_name="loads")
    quantity = models.PositiveSmallIntegerField(default=1, validators=[MinValueValidator(1)])
    function = models.CharField(max_length=40, default="on")

    class Meta:
        ordering = ["circuit", "id"]
        constraints = [
            models.UniqueConstraint(
                fields=["circuit", "line", "function"], name="jobs_circuitload_once"
            ),
        ]

    def __str__(self) -> str:
        return f"{self.quantity} x {self.line}"


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

    class Meta:
        ordering = ["job", "position"]
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


class Payload(models.Model):
    """Crew and gear that the finished vehicle carries."""

    job = models.ForeignKey(Job, on_delete=models.CASCADE, related_name="payload")
    description = models.CharField(max_length=120)
    quantity = models.PositiveSmallIntegerField(default=1)
    mass_g = models.DecimalField(max_digits=12, decimal_places=3)
    x_mm = models.DecimalField(max_digits=9, decimal_places=2)

    class Meta:
        ordering = ["job", "id"]

    def __str__(self) -> str:
        return self.description


class DesignRevision(models.Model):
    """A frozen design with its findings: what was checked, against which rules, by whom."""

    job = models.ForeignKey(Job, on_delete=models.CASCADE, related_name="design_revisions")
    number = models.PositiveSmallIntegerField()
    note = models.TextField(blank=True)
    made_by = models.CharField(max_length=150)
    made_at = models.DateTimeField(auto_now_add=True)
    released_by = models.CharField(max_length=150, blank=True)
    released_at = models.DateTimeField(null=True, blank=True)
    design = models.JSONField()
    findings = models.JSONField()
    digest = models.CharField(max_length=64)

    class Meta:
        ordering = ["job", "number"]
        constraints = [
            models.UniqueConstraint(fields=["job", "number"], name="jobs_designrevision_number"),
            models.CheckConstraint(
                condition=models.Q(released_at__isnull=True, released_by="")
                | (models.Q(released_at__isnull=False) & ~models.Q(released_by="")),
                name="jobs_designrevision_both_released_at_and_released_by",
            ),
        ]

    def __str__(self) -> str:
        return f"design revision {self.number}"


class AcceptedFinding(models.Model):
    """A finding that a named person accepted in writing; it stays visible with the reason."""

    job = models.ForeignKey(Job, on_delete=models.CASCADE, related_name="accepted_findings")
    rule = models.CharField(max_length=60)
    subject = models.CharField(max_length=60)
    reason = models.TextField()
    accepted_by = models.CharField(max_length=150)
    accepted_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["job", "rule", "subject"], name="jobs_acceptedfinding_once"
            ),
        ]

    def __str__(self) -> str:
        return f"{self.rule} {self.subject}"


class ControlLogic(models.Model):
    """One version of the control logic: signals, rules and interlocks as plain JSON.

    The shape is that of jobs/controls/logic.py; it is parsed, proved and turned into checks there.
    """

    job = models.ForeignKey(Job, on_delete=models.CASCADE, related_name="logic_versions")
    version = models.CharField(max_length=10)
    logic = models.JSONField()
    sha256 = models.CharField(max_length=64)
    note = models.TextField(blank=True)
    made_by = models.CharField(max_length=150)
    made_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        ordering = ["job", "id"]
        constraints = [
            models.UniqueConstraint(fields=["job", "version"], name="jobs_controllogic_version"),
        ]

    def __str__(self) -> str:
        return f"logic {self.version}"
