"""After delivery: what was wrong, what was found, which parts went in and out, and the end."""

from django.db import models
from django.db.models import Q

from jobs.models import BuildLine, Circuit, FurnishedItem, Unit


class Case(models.Model):
    """One visit of a delivered unit: symptom, what was found, what was done, who pays."""

    class Cause(models.TextChoices):
        WORKMANSHIP = "workmanship", "Workmanship"
        PART = "part", "Part"
        DESIGN = "design", "Design"
        DAMAGE = "damage", "Damage"
        OTHER = "other", "Somebody else's work"
        WEAR = "wear", "Wear"

    class Claim(models.TextChoices):
        NONE = "none", "No claim"
        DUE = "due", "Claim to be made"
        SENT = "sent", "Sent to the supplier"
        CREDITED = "credited", "Credited"
        REFUSED = "refused", "Refused"

    unit = models.ForeignKey(Unit, on_delete=models.PROTECT, related_name="cases")
    number = models.PositiveSmallIntegerField()
    on = models.DateField("Day of the visit")
    odometer_mi = models.PositiveIntegerField("Odometer", null=True, blank=True)
    symptom = models.CharField(max_length=300)
    conditions = models.CharField("When it happens", max_length=300, blank=True)
    circuit = models.ForeignKey(
        Circuit, null=True, blank=True, on_delete=models.SET_NULL, related_name="cases"
    )
    found = models.TextField(blank=True)
    cause = models.CharField("Cause class", max_length=12, choices=Cause.choices, blank=True)
    done = models.TextField("What was done", blank=True)
    minutes = models.PositiveIntegerField("Hours of work", default=0)
    travel_minutes = models.PositiveIntegerField("Hours of travel", default=0)
    claim = models.CharField(max_length=8, choices=Claim.choices, default=Claim.NONE)
    claim_note = models.CharField("Claim number or remark", max_length=200, blank=True)
    opened_by = models.CharField(max_length=150)
    opened_at = models.DateTimeField(auto_now_add=True)
    closed_by = models.CharField(max_length=150, blank=True)
    closed_at = models.DateTimeField(null=True, blank=True)
    version = models.PositiveIntegerField(default=0)

    class Meta:
        ordering = ["unit", "-number"]
        constraints = [
            models.UniqueConstraint(fields=["unit", "number"], name="inspections_case_number"),
            models.CheckConstraint(
                condition=Q(closed_at__isnull=True, closed_by="")
                | (Q(closed_at__isnull=False) & ~Q(closed_by="")),
                name="inspections_case_both_closed_at_and_closed_by",
            ),
        ]

    def __str__(self) -> str:
        return f"Case {self.number}"


class PartSwap(models.Model):
    """A part that came out, and what went in instead."""

    case = models.ForeignKey(Case, on_delete=models.CASCADE, related_name="swaps")
    line = models.ForeignKey(BuildLine, on_delete=models.PROTECT, related_name="swaps")
    quantity = models.PositiveSmallIntegerField(default=1)
    serial_out = models.CharField("Serial number out", max_length=120, blank=True)
    serial_in = models.CharField("Serial number in", max_length=120, blank=True)
    note = models.CharField(max_length=200, blank=True)
    by = models.CharField(max_length=150)
    at = models.DateTimeField(auto_now_add=True)

    class Meta:
        ordering = ["case", "id"]

    def __str__(self) -> str:
        return f"{self.line.ref}: {self.serial_out or '–'} out, {self.serial_in or '–'} in"


class Removal(models.Model):
    """The end of a unit's service: everything that was fitted comes out and goes somewhere."""

    unit = models.OneToOneField(Unit, on_delete=models.PROTECT, related_name="removal")
    reason = models.CharField("Why it is taken out of service", max_length=200)
    begun_by = models.CharField(max_length=150)
    begun_at = models.DateTimeField(auto_now_add=True)
    holes_closed = models.BooleanField("Every hole is plugged and watertight", default=False)
    finished_by = models.CharField(max_length=150, blank=True)
    finished_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=Q(finished_at__isnull=True, finished_by="")
                | (Q(finished_at__isnull=False) & ~Q(finished_by="")),
                name="inspections_removal_both_finished_at_and_finished_by",
            ),
        ]

    def __str__(self) -> str:
        return f"removal of {self.unit}"


class RemovalItem(models.Model):
    """One fitted thing and where it goes. What the agency furnished goes back to the agency."""

    class Outcome(models.TextChoices):
        OPEN = "", "Not removed yet"
        RETURNED = "returned", "Back to its owner"
        REUSE = "reuse", "Fit for use again"
        SCRAP = "scrap", "Scrap"
        STAYS = "stays", "Stays in the vehicle"

    removal = models.ForeignKey(Removal, on_delete=models.CASCADE, related_name="items")
    line = models.ForeignKey(
        BuildLine, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    furnished = models.ForeignKey(
        FurnishedItem, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    description = models.CharField(max_length=200)
    quantity = models.PositiveSmallIntegerField(default=1)
    serials = models.CharField(max_length=300, blank=True)
    agency_owned = models.BooleanField(default=False)
    outcome = models.CharField(max_length=8, choices=Outcome.choices, blank=True, default="")
    received_by = models.CharField("Received by", max_length=120, blank=True)
    note = models.CharField("Condition", max_length=200, blank=True)
    decided_by = models.CharField(max_length=150, blank=True)

    class Meta:
        ordering = ["removal", "-agency_owned", "id"]
        constraints = [
            models.CheckConstraint(
                condition=~Q(outcome="returned") | ~Q(received_by=""),
                name="inspections_removalitem_returned_to_somebody",
            ),
        ]

    def __str__(self) -> str:
        return self.description
