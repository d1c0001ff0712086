"""E-mail that waits, went out, or could not. A secret link is kept only until it is sent."""

from django.db import models


class Notice(models.Model):
    class Kind(models.TextChoices):
        QUOTE = "quote_sent", "Quote sent"
        CHANGE = "change_sent", "Change order sent"
        ANSWER = "answered", "Answer of the agency"
        HOLD = "hold_refused", "Hold refused"
        PACKET = "packet_ready", "Packet ready"

    class State(models.TextChoices):
        WAITING = "waiting", "Queued"
        SENT = "sent", "Sent"
        FAILED = "failed", "Not sent"

    kind = models.CharField(max_length=14, choices=Kind.choices)
    job = models.CharField(max_length=20, blank=True)
    to = models.CharField("To", max_length=600)
    subject = models.CharField(max_length=300)
    text = models.TextField()
    # Takes the place of HIDDEN in the text when it is sent, and is forgotten then.
    link = models.CharField(max_length=300, blank=True)
    state = models.CharField(max_length=8, choices=State.choices, default=State.WAITING)
    # Why the last try failed, also while another is to come.
    error = models.CharField(max_length=300, blank=True)
    tries = models.PositiveSmallIntegerField(default=0)
    # Empty: at once.
    due_at = models.DateTimeField("Next try", null=True, blank=True)
    lease_until = models.DateTimeField(null=True, blank=True)
    sent_at = models.DateTimeField(null=True, blank=True)
    made_by = models.CharField(max_length=150, blank=True)
    at = models.DateTimeField(auto_now_add=True)

    class Meta:
        ordering = ["-id"]
        indexes = [
            models.Index(fields=["job", "-id"], name="jobs_notice_job"),
            models.Index(fields=["state", "due_at"], name="jobs_notice_due"),
        ]

    def __str__(self) -> str:
        return self.subject
