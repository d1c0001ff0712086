"""What went wrong and how it was put right, re-checked by somebody else."""

from django.conf import settings
from django.db import models
from django.db.models import Q

from inspections.checklists.models import Check, Result
from jobs.models import Unit


class Defect(models.Model):
    class State(models.TextChoices):
        OPEN = "open", "Open"
        REWORKED = "reworked", "Ready for re-check"
        CLOSED = "closed", "Closed"
        CONCESSION = "concession", "Accepted as is"

    class Cause(models.TextChoices):
        WORKMANSHIP = "workmanship", "Workmanship"
        PART = "part", "Part"
        DESIGN = "design", "Design"
        DAMAGE = "damage", "Damage"
        OTHER_PARTY = "other_party", "Other party's work"
        WEAR = "wear", "Wear"

    class Disposition(models.TextChoices):
        REWORK = "rework", "Rework"
        REPLACE = "replace", "Replace"
        USE_AS_IS = "use_as_is", "Use as is (customer concession)"
        SCRAP = "scrap", "Scrap"
        NO_DEFECT = "no_defect", "No defect: another result stands"

    unit = models.ForeignKey(Unit, on_delete=models.PROTECT, related_name="defects")
    number = models.PositiveSmallIntegerField()
    check_item = models.ForeignKey(Check, on_delete=models.PROTECT, related_name="defects")
    result = models.OneToOneField(Result, on_delete=models.PROTECT, related_name="defect")
    state = models.CharField(max_length=10, choices=State.choices, default=State.OPEN)
    found = models.TextField()
    cause = models.CharField(max_length=12, choices=Cause.choices, blank=True)
    cause_text = models.TextField("What caused it", blank=True)
    containment = models.TextField("What else was touched, and what was done about it", blank=True)
    # Checks on this and other units that were ordered again because of it.
    contained = models.ManyToManyField(Check, blank=True, related_name="contained_by")
    # How often the item failed; from the second time on an office manager looks first.
    failures = models.PositiveSmallIntegerField(default=1)
    escalated = models.BooleanField(default=False)
    disposition = models.CharField(max_length=10, choices=Disposition.choices, blank=True)
    rework_text = models.TextField("What was done", blank=True)
    reworked_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    reworked_at = models.DateTimeField(null=True, blank=True)
    # Everything disturbed by the rework; each of these checks is opened again.
    retest = models.ManyToManyField(Check, blank=True, related_name="retest_for")
    closed_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    closed_at = models.DateTimeField(null=True, blank=True)
    closing_result = models.ForeignKey(
        Result, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    # A sole trader re-checked their own rework, on another day; every document says so.
    closed_alone = models.BooleanField(default=False)
    concession_by = models.CharField("Customer who accepted it", max_length=120, blank=True)
    created_at = models.DateTimeField(auto_now_add=True)
    version = models.PositiveIntegerField(default=0)

    class Meta:
        ordering = ["unit", "number"]
        constraints = [
            models.UniqueConstraint(fields=["unit", "number"], name="inspections_defect_number"),
            models.CheckConstraint(
                condition=Q(reworked_at__isnull=True, reworked_by__isnull=True)
                | Q(reworked_at__isnull=False, reworked_by__isnull=False),
                name="inspections_defect_both_reworked_at_and_reworked_by",
            ),
            models.CheckConstraint(
                condition=Q(closed_at__isnull=True, closed_by__isnull=True)
                | Q(closed_at__isnull=False, closed_by__isnull=False),
                name="inspections_defect_both_closed_at_and_closed_by",
            ),
            # Independence at its lowest level: the reworker never closes the defect.
            models.CheckConstraint(
                condition=Q(closed_alone=True)
                | Q(closed_by__isnull=True)
                | Q(reworked_by__isnull=True)
                | ~Q(closed_by=models.F("reworked_by")),
                name="inspections_defect_closed_by_someone_else",
            ),
        ]

    def __str__(self) -> str:
        return f"NCR-{self.number:02d}"
