"""Versions of the control logic, what was worked out about them, and what was accepted of it."""

from django.db import models

from jobs.documents.models import Document
from jobs.intake.models import Job


class ControlLogic(models.Model):
    """One version of the control logic: signals, rules and interlocks as plain JSON.

    The shape is that of jobs/controls/logic.py; it is parsed, proved and turned into checks there.
    A draft is changed entry by entry; `edits` counts the changes, so that the second of two people
    is told. A released version never changes.
    """

    job = models.ForeignKey(Job, on_delete=models.CASCADE, related_name="logic_versions")
    version = models.CharField(max_length=10)
    logic = models.JSONField()
    sha256 = models.CharField(max_length=64)
    note = models.TextField(blank=True)
    based_on = models.CharField(max_length=10, blank=True)
    edits = models.PositiveIntegerField(default=0)
    made_by = models.CharField(max_length=150)
    made_at = models.DateTimeField(auto_now_add=True)
    released_by = models.CharField(max_length=150, blank=True)
    released_at = models.DateTimeField(null=True, blank=True)
    # The printed control guide, once somebody asked for it.
    guide = models.ForeignKey(
        Document, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )

    class Meta:
        ordering = ["id"]
        constraints = [
            models.UniqueConstraint(fields=["job", "version"], name="jobs_controllogic_version"),
            models.CheckConstraint(
                condition=models.Q(released_at__isnull=True, released_by="")
                | (models.Q(released_at__isnull=False) & ~models.Q(released_by="")),
                name="jobs_controllogic_both_released_at_and_released_by",
            ),
        ]

    def __str__(self) -> str:
        return f"logic {self.version}"

    @property
    def is_released(self) -> bool:
        return self.released_at is not None


class LogicWork(models.Model):
    """What was worked out about one logic, kept under its SHA-256: the same text, the same answer.

    `found` grows while it is worked out, so that a worker that stopped goes on where it was.
    """

    class Kind(models.TextChoices):
        PROOFS = "proofs", "Proofs"
        FAULTS = "faults", "Single faults"
        HEADS = "heads", "Lamp heads"
        STEPS = "steps", "Test steps"

    class State(models.TextChoices):
        QUEUED = "queued", "Waiting for the worker"
        RUNNING = "running", "Being worked out"
        DONE = "done", "Ready"
        FAILED = "failed", "Failed"

    sha256 = models.CharField(max_length=64)
    kind = models.CharField(max_length=6, choices=Kind.choices)
    state = models.CharField(max_length=7, choices=State.choices, default=State.QUEUED)
    logic = models.JSONField()
    found = models.JSONField(default=list)
    done = models.PositiveIntegerField(default=0)
    total = models.PositiveIntegerField(default=0)
    attempts = models.PositiveSmallIntegerField(default=0)
    lease_until = models.DateTimeField(null=True, blank=True)
    error = models.CharField(max_length=300, blank=True)
    created_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        ordering = ["id"]
        constraints = [
            models.UniqueConstraint(fields=["sha256", "kind"], name="jobs_logicwork_once"),
        ]

    def __str__(self) -> str:
        return f"{self.get_kind_display()} of logic {self.sha256[:12]}"

    @property
    def is_waiting(self) -> bool:
        return self.state in (self.State.QUEUED, self.State.RUNNING)


class AcceptedRisk(models.Model):
    """A refuted interlock or an uncovered fault that a named person accepted in writing.

    It counts for every version in which the same thing is found of the same rules: `fingerprint`.
    """

    job = models.ForeignKey(Job, on_delete=models.CASCADE, related_name="accepted_risks")
    fingerprint = models.CharField(max_length=64)
    version = models.CharField(max_length=10)
    interlock = models.CharField(max_length=100)
    what = models.CharField(max_length=300)
    reason = models.TextField()
    accepted_by = models.CharField(max_length=150)
    accepted_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        ordering = ["id"]
        constraints = [
            models.UniqueConstraint(fields=["job", "fingerprint"], name="jobs_acceptedrisk_once"),
        ]

    def __str__(self) -> str:
        return f"{self.interlock}: {self.what}"
