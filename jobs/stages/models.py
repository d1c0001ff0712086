"""Steps of work on a unit: what comes before, what must be released, who works how long."""

from django.conf import settings
from django.db import models
from django.db.models import Q

from jobs.intake.models import Unit
from jobs.quoting.models import ChangeOrder


class Stage(models.Model):
    class State(models.TextChoices):
        WAITING = "waiting", "Not started"
        WORKING = "working", "In work"
        FINISHED = "finished", "Work finished"
        SIGNED = "signed", "Signed off"

    unit = models.ForeignKey(Unit, on_delete=models.CASCADE, related_name="stages")
    code = models.CharField(max_length=10)
    name = models.CharField(max_length=80)
    position = models.PositiveSmallIntegerField()
    state = models.CharField(max_length=10, choices=State.choices, default=State.WAITING)
    planned_minutes = models.PositiveIntegerField(default=0)
    planned_start = models.DateField(null=True, blank=True)
    planned_end = models.DateField(null=True, blank=True)
    prerequisites = models.ManyToManyField(
        "self", symmetrical=False, blank=True, related_name="next"
    )
    people = models.ManyToManyField(settings.AUTH_USER_MODEL, blank=True, related_name="stages")
    instructions = models.TextField(blank=True)
    cautions = models.JSONField(default=list, blank=True)
    # Number of the design revision that the work started from, or that was acknowledged since.
    drawing = models.PositiveSmallIntegerField(null=True, blank=True)
    signed_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    signed_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        ordering = ["unit", "position"]
        constraints = [
            models.UniqueConstraint(fields=["unit", "code"], name="jobs_stage_code"),
            models.CheckConstraint(
                condition=Q(signed_at__isnull=True, signed_by__isnull=True)
                | Q(signed_at__isnull=False, signed_by__isnull=False),
                name="jobs_stage_both_signed_at_and_signed_by",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.code} {self.name}"


class Hold(models.Model):
    """Stop until a named other person releases it. Guards the start of `stage`."""

    stage = models.ForeignKey(Stage, on_delete=models.CASCADE, related_name="holds")
    code = models.CharField(max_length=10)
    requirement = models.CharField(max_length=200)
    criterion = models.CharField(max_length=300)
    released_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    released_at = models.DateTimeField(null=True, blank=True)
    note = models.TextField(blank=True)
    # On later units of a fleet, released only once the first unit has left the shop.
    first_article = models.BooleanField(default=False)

    class Meta:
        ordering = ["stage", "code"]
        constraints = [
            models.UniqueConstraint(fields=["stage", "code"], name="jobs_hold_code"),
            models.CheckConstraint(
                condition=Q(released_at__isnull=True, released_by__isnull=True)
                | Q(released_at__isnull=False, released_by__isnull=False),
                name="jobs_hold_both_released_at_and_released_by",
            ),
        ]

    def __str__(self) -> str:
        return self.code


class WorkEvent(models.Model):
    """What happened on a stage. Append-only by database trigger."""

    class Kind(models.TextChoices):
        START = "start", "Started"
        STOP = "stop", "Stopped"
        FINISH = "finish", "Work finished"
        REOPEN = "reopen", "Opened again"
        REFUSE = "refuse", "Hold refused"
        RELEASE = "release", "Hold released"
        SIGN = "sign", "Signed off"
        NOTE = "note", "Note"

    stage = models.ForeignKey(Stage, on_delete=models.PROTECT, related_name="events")
    kind = models.CharField(max_length=10, choices=Kind.choices)
    person = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="work_events"
    )
    minutes = models.PositiveIntegerField("Minutes booked", default=0)
    note = models.TextField(blank=True)
    at = models.DateTimeField()
    received_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        ordering = ["stage", "at", "id"]

    def __str__(self) -> str:
        return f"{self.stage.code} {self.get_kind_display()}"


class ChangeWork(models.Model):
    """Work that was started for an approved change; its hours are the change's."""

    event = models.OneToOneField(WorkEvent, on_delete=models.PROTECT, related_name="for_change")
    change = models.ForeignKey(ChangeOrder, on_delete=models.PROTECT, related_name="work")

    class Meta:
        ordering = ["id"]

    def __str__(self) -> str:
        return f"{self.event} for {self.change}"


class StageTemplate(models.Model):
    """The shop's usual stages, from which a new unit gets its own."""

    code = models.CharField(max_length=10, unique=True)
    name = models.CharField(max_length=80)
    position = models.PositiveSmallIntegerField()
    prerequisites = models.JSONField(default=list)
    holds = models.JSONField(default=list)
    share_percent = models.PositiveSmallIntegerField(default=0)
    instructions = models.TextField(blank=True)
    cautions = models.JSONField(default=list, blank=True)

    class Meta:
        ordering = ["position"]

    def __str__(self) -> str:
        return f"{self.code} {self.name}"
