"""E-mail that went out, or could not. Links in it are secrets and are not kept."""

from django.db import models


class Notice(models.Model):
    class Kind(models.TextChoices):
        QUOTE = "quote_sent", "Quote sent"
        CHANGE = "change_sent", "Change order sent"
        ANSWER = "answered", "Answer of the agency"
        HOLD = "hold_refused", "Hold refused"
        PACKET = "packet_ready", "Packet ready"

    class State(models.TextChoices):
        WAITING = "waiting", "Being sent"
        SENT = "sent", "Sent"
        FAILED = "failed", "Not sent"

    kind = models.CharField(max_length=14, choices=Kind.choices)
    job = models.CharField(max_length=20, blank=True)
    to = models.CharField("To", max_length=600)
    subject = models.CharField(max_length=300)
    text = models.TextField()
    state = models.CharField(max_length=8, choices=State.choices, default=State.WAITING)
    error = models.CharField(max_length=300, blank=True)
    made_by = models.CharField(max_length=150, blank=True)
    at = models.DateTimeField(auto_now_add=True)

    class Meta:
        ordering = ["-id"]
        indexes = [models.Index(fields=["job", "-id"], name="jobs_notice_job")]

    def __str__(self) -> str:
        return self.subject
