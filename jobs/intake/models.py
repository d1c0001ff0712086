"""What was promised to whom: agencies, jobs, units, requirements, furnished items, arrival."""

from django.conf import settings
from django.db import models
from django.db.models import F, Q


class Agency(models.Model):
    """The customer."""

    name = models.CharField(max_length=160, unique=True)
    place = models.CharField(max_length=120, blank=True)
    bill_to = models.TextField(blank=True)
    exempt = models.BooleanField("Tax exempt", default=False)
    certificate_number = models.CharField(max_length=60, blank=True)
    certificate_state = models.CharField(max_length=60, blank=True)
    certificate_expires_on = models.DateField(null=True, blank=True)
    # {"colours": {"front": ["red", "white"], ...}, "tones": ["wail", ...]}
    legal_profile = models.JSONField(default=dict, blank=True)
    legal_source = models.CharField(max_length=200, blank=True)
    legal_checked_on = models.DateField(null=True, blank=True)
    version = models.PositiveIntegerField(default=0)

    class Meta:
        ordering = ["name"]
        verbose_name_plural = "agencies"

    def __str__(self) -> str:
        return self.name


class Contact(models.Model):
    agency = models.ForeignKey(Agency, on_delete=models.CASCADE, related_name="contacts")
    name = models.CharField(max_length=120)
    role = models.CharField(max_length=80, blank=True)
    email = models.EmailField(blank=True)
    phone = models.CharField(max_length=40, blank=True)
    may_approve = models.BooleanField("May approve money", default=False)
    limit_cents = models.PositiveBigIntegerField(null=True, blank=True)
    version = models.PositiveIntegerField(default=0)

    class Meta:
        ordering = ["agency", "name"]

    def __str__(self) -> str:
        return self.name


class Job(models.Model):
    """One contract: one build specification for one or more units."""

    class State(models.TextChoices):
        ENQUIRY = "enquiry", "Enquiry"
        QUOTED = "quoted", "Quoted"
        APPROVED = "approved", "Approved"
        BUILDING = "building", "In work"
        RELEASED = "released", "Released"
        DELIVERED = "delivered", "Delivered"
        CANCELLED = "cancelled", "Cancelled"

    number = models.CharField(max_length=20, unique=True)
    agency = models.ForeignKey(Agency, on_delete=models.PROTECT, related_name="jobs")
    title = models.CharField(max_length=160)
    vehicle = models.CharField(max_length=160, blank=True)
    state = models.CharField(max_length=10, choices=State.choices, default=State.ENQUIRY)
    promised_on = models.DateField(null=True, blank=True)
    enquired_on = models.DateField(null=True, blank=True)
    # Names of the dated rule set and of the tables used (jobs/electrical/rule_sets).
    rule_set = models.CharField(max_length=40, default="common-practice")
    # The earlier job whose build this one started from.
    copied_from = models.ForeignKey(
        "self", null=True, blank=True, on_delete=models.SET_NULL, related_name="+"
    )
    note = models.TextField(blank=True)
    version = models.PositiveIntegerField(default=0)
    created_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        ordering = ["-id"]
        indexes = [models.Index(fields=["state", "promised_on", "id"], name="jobs_job_board")]

    def __str__(self) -> str:
        return self.number


class Unit(models.Model):
    """One vehicle of a job, with its ratings and how it arrived."""

    job = models.ForeignKey(Job, on_delete=models.CASCADE, related_name="units")
    number = models.CharField("Unit number", max_length=30)
    vin = models.CharField("VIN", max_length=17, blank=True)
    # The reason somebody gave for keeping a VIN whose check digit is wrong.
    vin_reason = models.CharField(max_length=200, blank=True)
    wheelbase_mm = models.DecimalField(max_digits=9, decimal_places=2, null=True, blank=True)
    gvwr_g = models.DecimalField("GVWR", max_digits=12, decimal_places=3, null=True, blank=True)
    gawr_front_g = models.DecimalField(max_digits=12, decimal_places=3, null=True, blank=True)
    gawr_rear_g = models.DecimalField(max_digits=12, decimal_places=3, null=True, blank=True)
    received_front_g = models.DecimalField(max_digits=12, decimal_places=3, null=True, blank=True)
    received_rear_g = models.DecimalField(max_digits=12, decimal_places=3, null=True, blank=True)
    roof_limit_g = models.DecimalField(max_digits=12, decimal_places=3, null=True, blank=True)
    track_mm = models.DecimalField(max_digits=9, decimal_places=2, null=True, blank=True)
    seats = models.PositiveSmallIntegerField("Seating positions", null=True, blank=True)
    used = models.BooleanField("Sold before: keeps its labels", default=False)
    # Scale ticket of the finished vehicle, empty.
    scale_front_g = models.DecimalField(max_digits=12, decimal_places=3, null=True, blank=True)
    scale_rear_g = models.DecimalField(max_digits=12, decimal_places=3, null=True, blank=True)
    alternator_rating_ma = models.PositiveIntegerField(null=True, blank=True)
    alternator_hot_idle_ma = models.PositiveIntegerField(null=True, blank=True)
    alternator_hot_high_idle_ma = models.PositiveIntegerField(null=True, blank=True)
    battery_mah = models.PositiveIntegerField(null=True, blank=True)
    keyoff_baseline_ua = models.PositiveIntegerField(null=True, blank=True)
    # Arrival
    arrived_at = models.DateTimeField(null=True, blank=True)
    accepted_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    handed_over_by = models.CharField(max_length=120, blank=True)
    odometer_mi = models.PositiveIntegerField(null=True, blank=True)
    keys = models.PositiveSmallIntegerField(null=True, blank=True)
    fuel_percent = models.PositiveSmallIntegerField(null=True, blank=True)
    condition = models.TextField("Condition on arrival", blank=True)
    version = models.PositiveIntegerField(default=0)

    class Meta:
        ordering = ["job", "id"]
        constraints = [
            models.UniqueConstraint(fields=["job", "number"], name="jobs_unit_number"),
            models.UniqueConstraint(
                fields=["job", "vin"], condition=~Q(vin=""), name="jobs_unit_vin_once_per_job"
            ),
            models.CheckConstraint(
                condition=Q(fuel_percent__isnull=True) | Q(fuel_percent__lte=100),
                name="jobs_unit_fuel_at_most_100",
            ),
            models.CheckConstraint(
                condition=Q(alternator_hot_idle_ma__isnull=True)
                | Q(alternator_rating_ma__isnull=True)
                | Q(alternator_hot_idle_ma__lte=F("alternator_rating_ma")),
                name="jobs_unit_idle_not_above_rating",
            ),
        ]

    def __str__(self) -> str:
        return self.number


class Requirement(models.Model):
    """What the agency needs. An assumed value that feeds a calculation blocks design release."""

    class Status(models.TextChoices):
        OPEN = "open", "Open"
        ASSUMED = "assumed", "Assumed"
        CONFIRMED = "confirmed", "Confirmed"
        WAIVED = "waived", "Waived"

    job = models.ForeignKey(Job, on_delete=models.CASCADE, related_name="requirements")
    number = models.PositiveSmallIntegerField()
    text = models.TextField()
    source = models.CharField("Who said it, where", max_length=200)
    status = models.CharField(max_length=10, choices=Status.choices, default=Status.OPEN)
    must = models.BooleanField("Must have", default=True)
    drives_design = models.BooleanField("Feeds a calculation", default=False)
    settled_by = models.CharField("Confirmed or waived by", max_length=120, blank=True)
    settled_on = models.DateField(null=True, blank=True)
    note = models.TextField(blank=True)
    version = models.PositiveIntegerField(default=0)

    class Meta:
        ordering = ["job", "number"]
        constraints = [
            models.UniqueConstraint(fields=["job", "number"], name="jobs_requirement_number"),
            models.CheckConstraint(
                condition=Q(status__in=["open", "assumed"])
                | (~Q(settled_by="") & Q(settled_on__isnull=False)),
                name="jobs_requirement_settled_by_and_on",
            ),
        ]

    def __str__(self) -> str:
        return f"RQ{self.number}"


class FurnishedItem(models.Model):
    """Agency-owned equipment to fit. Until it has arrived (or is waived) it holds its stage."""

    job = models.ForeignKey(Job, on_delete=models.CASCADE, related_name="furnished_items")
    description = models.CharField(max_length=160)
    quantity = models.PositiveSmallIntegerField(default=1)
    serial = models.CharField(max_length=120, blank=True)
    condition = models.CharField(max_length=200, blank=True)
    cables_included = models.BooleanField(default=False)
    expected_on = models.DateField(null=True, blank=True)
    arrived_on = models.DateField(null=True, blank=True)
    received_by = models.CharField(max_length=120, blank=True)
    needed_for_stage = models.CharField("Holds stage", max_length=10, blank=True)
    waived_reason = models.CharField(max_length=200, blank=True)
    version = models.PositiveIntegerField(default=0)

    class Meta:
        ordering = ["job", "id"]
        constraints = [
            models.CheckConstraint(
                condition=Q(quantity__gte=1), name="jobs_furnisheditem_quantity_positive"
            ),
        ]

    def __str__(self) -> str:
        return self.description

    @property
    def is_here(self) -> bool:
        return self.arrived_on is not None or bool(self.waived_reason)


class CustomerLink(models.Model):
    """A link somebody without an account may open. Only the hash of its secret is stored."""

    class Purpose(models.TextChoices):
        QUOTE = "quote", "Approve a quote"
        CHANGE = "change", "Approve a change order"
        PACKET = "packet", "Receive the delivery packet"

    job = models.ForeignKey(Job, on_delete=models.CASCADE, related_name="links")
    purpose = models.CharField(max_length=10, choices=Purpose.choices)
    subject_id = models.PositiveBigIntegerField()
    token_sha256 = models.CharField(max_length=64, unique=True)
    sent_to = models.CharField(max_length=160, blank=True)
    created_at = models.DateTimeField(auto_now_add=True)
    created_by = models.CharField(max_length=150)
    expires_at = models.DateTimeField()
    revoked_at = models.DateTimeField(null=True, blank=True)
    last_used_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        ordering = ["-created_at"]

    def __str__(self) -> str:
        return f"{self.get_purpose_display()} for {self.sent_to}"
