"""What tablets sent: one row per event, so that sending again gets the first answer again."""

from django.conf import settings
from django.db import models
from django.db.models import Q


class DeviceEvent(models.Model):
    """One tap, note or timer move as the tablet stored it, and what the server answered.

    The row is the receipt. What the event did (a result, booked minutes) lives in its own table,
    written in the same transaction.
    """

    class Kind(models.TextChoices):
        RESULT = "result", "Result"
        VOID = "void", "Taken back"
        NOTE = "note", "Note"
        WORK_START = "work_start", "Timer started"
        WORK_STOP = "work_stop", "Timer stopped"
        SET_ASIDE = "set_aside", "Set aside"

    class Answer(models.TextChoices):
        WAITING = "waiting", "Waits for its photos"
        ACCEPTED = "accepted", "Recorded"
        CONFLICT = "conflict", "Recorded, needs a decision"
        LATE = "late", "Recorded as late evidence"
        REFUSED = "refused", "Not recorded"
        ASIDE = "aside", "Set aside"

    client_id = models.UUIDField(unique=True)
    device = models.UUIDField()
    # Running number on the device: the order in which one person did things.
    number = models.PositiveBigIntegerField()
    person = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="device_events"
    )
    kind = models.CharField(max_length=10, choices=Kind.choices)
    # What it is about, as job/unit/check or job/unit/stage.
    subject = models.CharField(max_length=120)
    body = models.JSONField()
    body_sha256 = models.CharField(max_length=64)
    at_device = models.DateTimeField()
    # The device's clock minus ours when it was sent, so that its times can be read later.
    clock_ms = models.BigIntegerField(default=0)
    received_at = models.DateTimeField(auto_now_add=True)
    answer = models.CharField(max_length=10, choices=Answer.choices, default=Answer.WAITING)
    sentence = models.CharField(max_length=500, blank=True)
    set_aside_at = models.DateTimeField(null=True, blank=True)
    set_aside_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    set_aside_reason = models.CharField(max_length=200, blank=True)

    class Meta:
        ordering = ["device", "number"]
        indexes = [models.Index(fields=["person", "answer"], name="inspections_event_answer")]
        constraints = [
            models.CheckConstraint(
                condition=Q(set_aside_at__isnull=True, set_aside_by__isnull=True)
                | Q(set_aside_at__isnull=False, set_aside_by__isnull=False),
                name="inspections_event_both_set_aside_at_and_by",
            ),
        ]

    # What it was entered on, in words; kept with the result, not here.
    device_words = ""

    def __str__(self) -> str:
        return f"{self.subject} {self.get_kind_display()}"

    @property
    def settled(self) -> bool:
        """Whether sending it again can change anything."""
        return self.answer not in (self.Answer.WAITING, self.Answer.REFUSED)
