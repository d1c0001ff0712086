"""Who did what, when. Text labels and ids only: the history never blocks or follows live rows."""

from django.db import models


class AuditEvent(models.Model):
    """One line of history. Append-only by database trigger (migration append_only)."""

    at = models.DateTimeField(auto_now_add=True, db_index=True)
    who = models.CharField(max_length=150)
    verb = models.CharField(max_length=40)
    job = models.CharField(max_length=20, blank=True, db_index=True)
    subject_kind = models.CharField(max_length=40)
    subject_id = models.CharField(max_length=40)
    sentence = models.TextField()

    class Meta:
        ordering = ["-at", "-id"]

    def __str__(self) -> str:
        return self.sentence
