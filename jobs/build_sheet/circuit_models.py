"""What feeds what: supplies, feeds, nodes, circuits and the loads on them."""

from decimal import Decimal

from django.core.validators import MinValueValidator
from django.db import models
from django.db.models import Q

from jobs.build_sheet.line_models import BuildLine
from jobs.intake.models import Job


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
    peukert = models.DecimalField(max_digits=4, decimal_places=2, default=Decimal("1.10"))
    usable_percent = models.PositiveSmallIntegerField(default=50)
    # Rest voltage at which a low-voltage disconnect opens.
    cutoff_mv = models.PositiveIntegerField(null=True, blank=True)

    class Meta:
        ordering = ["ref"]
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
    sheathed = models.BooleanField("In a sheath or conduit", default=False)
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
    panel_limit_ma = models.PositiveIntegerField(null=True, blank=True)
    cranking = models.BooleanField("Carries the starter's current", default=False)
    panel_place = models.CharField(max_length=80, blank=True)
    version = models.PositiveIntegerField(default=0)

    class Meta:
        ordering = ["ref"]
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
        ordering = ["ref"]
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
    contact_limit_ma = models.PositiveIntegerField(null=True, blank=True)
    # Nodes whose logic this circuit feeds.
    powers = models.ManyToManyField(Node, blank=True, related_name="powered_by")
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
        ordering = ["ref"]
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
        ordering = ["id"]
        constraints = [
            models.UniqueConstraint(
                fields=["circuit", "line", "function"], name="jobs_circuitload_once"
            ),
        ]

    def __str__(self) -> str:
        return f"{self.quantity} x {self.line}"
