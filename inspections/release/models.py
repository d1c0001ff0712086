"""The inspector's release of a finished unit."""

from django.conf import settings
from django.db import models

from jobs.models import Unit


class Release(models.Model):
    """May leave. Holds the head of the unit's evidence chain at the moment of signing."""

    unit = models.OneToOneField(Unit, on_delete=models.PROTECT, related_name="release")
    released_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+"
    )
    released_at = models.DateTimeField()
    chain_sequence = models.PositiveIntegerField()
    chain_head = models.CharField(max_length=64)
    statement = models.TextField()
    exceptions = models.JSONField(default=list)
    took_part = models.BooleanField(default=False)

    def __str__(self) -> str:
        return f"release of {self.unit}"
