"""What is checked on a unit and what was found. Results are append-only events in a hash chain."""

import uuid
from decimal import Decimal
from typing import Any

from django.conf import settings
from django.db import models
from django.db.models import Q

from jobs.models import Circuit, Photo, Requirement, Stage, Unit

# Fields that, when they change, make a check a different question.
ASKS = ("title", "instruction", "expected_text", "low", "high", "unit_of_measure", "kind")


class Instrument(models.Model):
    """A meter or tool. Past its calibration date, its readings are not valid."""

    asset = models.CharField("Asset number", max_length=30, unique=True)
    name = models.CharField(max_length=80)
    calibration_due = models.DateField(null=True, blank=True)
    retired = models.BooleanField(default=False)

    class Meta:
        ordering = ["asset"]

    def __str__(self) -> str:
        return f"{self.asset} {self.name}"


class Check(models.Model):
    """One item to prove on a unit. Its expected value comes from the design."""

    class Kind(models.TextChoices):
        READING = "reading", "Reading"
        VISUAL = "visual", "Look and decide"
        FUNCTION = "function", "Operate and decide"

    class State(models.TextChoices):
        """A pure function of the check's events (state.py), kept on the row for lists."""

        OPEN = "open", "Not checked"
        PASS = "pass", "Pass"
        FAIL = "fail", "Fail"
        NOT_APPLICABLE = "na", "Does not apply"
        DECISION = "decision", "Needs decision"
        AGAIN = "again", "Check again"

    unit = models.ForeignKey(Unit, on_delete=models.CASCADE, related_name="checks")
    stage = models.ForeignKey(Stage, on_delete=models.PROTECT, related_name="checks")
    ref = models.CharField(max_length=20)
    # Names what the check was generated from, so that generating again updates instead of doubling.
    key = models.CharField(max_length=80)
    position = models.PositiveSmallIntegerField(default=0)
    title = models.CharField(max_length=160)
    area = models.CharField(max_length=40)
    instruction = models.TextField(blank=True)
    kind = models.CharField(max_length=10, choices=Kind.choices)
    unit_of_measure = models.CharField(max_length=12, blank=True)
    predicted = models.DecimalField(max_digits=12, decimal_places=3, null=True, blank=True)
    low = models.DecimalField(max_digits=12, decimal_places=3, null=True, blank=True)
    high = models.DecimalField(max_digits=12, decimal_places=3, null=True, blank=True)
    expected_text = models.CharField(max_length=200, blank=True)
    tolerance_source = models.CharField(max_length=200, blank=True)
    circuit = models.ForeignKey(
        Circuit, null=True, blank=True, on_delete=models.SET_NULL, related_name="checks"
    )
    # Code of the stage whose workers may not check this item.
    made_in = models.CharField(max_length=10, blank=True)
    requirements = models.ManyToManyField(Requirement, blank=True, related_name="checks")
    critical = models.BooleanField(default=True)
    photo_required = models.BooleanField(default=False)
    # Off for what is read from the thing itself, such as the rating printed on a fuse.
    instrument_needed = models.BooleanField(default=True)
    # What it was made from, and whether it stands for others that are not checked.
    template_code = models.CharField(max_length=20, blank=True)
    template_version = models.PositiveSmallIntegerField(default=0)
    sampled = models.BooleanField(default=False)
    coverage_reason = models.CharField(max_length=200, blank=True)
    # A test step of the control logic: what it shows, whatever version asks for it, and the check
    # that asked for the same before the logic was changed.
    about = models.CharField(max_length=80, blank=True)
    replaces = models.ForeignKey(
        "self", null=True, blank=True, on_delete=models.SET_NULL, related_name="replaced_by"
    )
    version = models.PositiveSmallIntegerField(default=1)
    # What earlier versions asked, by version number as text.
    former = models.JSONField(default=dict, blank=True)
    state = models.CharField(max_length=10, choices=State.choices, default=State.OPEN)
    retired = models.BooleanField(default=False)

    class Meta:
        ordering = ["unit", "position", "id"]
        constraints = [
            models.UniqueConstraint(fields=["unit", "ref"], name="inspections_check_ref"),
            models.UniqueConstraint(fields=["unit", "key"], name="inspections_check_key"),
            models.CheckConstraint(
                condition=Q(low__isnull=True) | Q(high__isnull=True) | Q(low__lte=models.F("high")),
                name="inspections_check_range",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.ref} {self.title}"

    def asked(self, version: int) -> dict[str, Any]:
        """The question as it stood at a version: its words and limits."""
        now = {name: getattr(self, name) for name in ASKS}
        kept: dict[str, Any] = self.former.get(str(version), {}) if version != self.version else {}
        limits = {
            name: Decimal(kept[name]) for name in ("low", "high") if kept.get(name) is not None
        }
        return now | kept | limits


class Result(models.Model):
    """One event on a check: append-only by trigger, linked to the unit's previous event."""

    class Kind(models.TextChoices):
        RESULT = "result", "Result"
        VOID = "void", "Taken back"
        REOPEN = "reopen", "Opened again"
        DECIDE = "decide", "Decided"
        NOTE = "note", "Note"

    class Verdict(models.TextChoices):
        PASS = "pass", "Pass"
        FAIL = "fail", "Fail"
        NOT_APPLICABLE = "na", "Does not apply"
        NONE = "", "None"

    client_id = models.UUIDField(unique=True, default=uuid.uuid4)
    check_item = models.ForeignKey(Check, on_delete=models.PROTECT, related_name="results")
    # Of the question that the person saw; the check itself may have moved on since.
    check_version = models.PositiveSmallIntegerField()
    # The newest sequence of this check that the person had on screen; older than another
    # person's result means that the two did not know of each other.
    base_sequence = models.PositiveIntegerField(default=0)
    kind = models.CharField(max_length=8, choices=Kind.choices)
    # What the person pressed, and what the value says; the stricter one is the verdict.
    pressed = models.CharField(max_length=8, choices=Verdict.choices, blank=True)
    verdict = models.CharField(max_length=8, choices=Verdict.choices, blank=True)
    value = models.DecimalField(max_digits=14, decimal_places=4, null=True, blank=True)
    value_typed = models.CharField(max_length=40, blank=True)
    reason = models.TextField(blank=True)
    instrument = models.ForeignKey(
        Instrument, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    conditions = models.CharField(max_length=200, blank=True)
    voids = models.ForeignKey(
        "self", null=True, blank=True, on_delete=models.PROTECT, related_name="voided_by"
    )
    # Of a decision: the result that stands; none means that the check is done again.
    keeps = models.ForeignKey(
        "self", null=True, blank=True, on_delete=models.PROTECT, related_name="kept_by"
    )
    # Came after the stage was signed or the unit released: counts only once somebody decides.
    late = models.BooleanField(default=False)
    person = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="results"
    )
    # The tablet or browser that it was entered on, in words.
    device = models.CharField(max_length=60, blank=True)
    at_device = models.DateTimeField()
    received_at = models.DateTimeField()
    payload_sha256 = models.CharField(max_length=64)
    # True where somebody checked work of a stage they took part in (sole trader only).
    took_part = models.BooleanField(default=False)
    # Chain per unit: sequence without gaps, each digest covers the one before.
    unit = models.ForeignKey(Unit, on_delete=models.PROTECT, related_name="results")
    sequence = models.PositiveIntegerField()
    previous_digest = models.CharField(max_length=64, blank=True)
    digest = models.CharField(max_length=64)

    class Meta:
        ordering = ["unit", "sequence"]
        constraints = [
            models.UniqueConstraint(
                fields=["unit", "sequence"], name="inspections_result_sequence"
            ),
        ]

    def __str__(self) -> str:
        return f"{self.check_item.ref} {self.kind} {self.verdict}"


class ResultPhoto(models.Model):
    """A photo that belongs to a result. Append-only by database trigger."""

    result = models.ForeignKey(Result, on_delete=models.PROTECT, related_name="photos")
    photo = models.ForeignKey(Photo, on_delete=models.PROTECT, related_name="+")

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["result", "photo"], name="inspections_resultphoto_once"
            ),
        ]

    def __str__(self) -> str:
        return f"photo of {self.result}"
