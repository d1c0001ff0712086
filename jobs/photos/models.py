"""Photos, stored once by content. The original is evidence; people look at a re-encoded copy."""

from django.conf import settings
from django.db import models


class Photo(models.Model):
    class Preview(models.TextChoices):
        QUEUED = "queued", "Preview is being made"
        READY = "ready", "Ready"
        FAILED = "failed", "No preview"

    sha256 = models.CharField(max_length=64, unique=True)
    size_bytes = models.PositiveBigIntegerField()
    media_type = models.CharField(max_length=40)
    width = models.PositiveIntegerField()
    height = models.PositiveIntegerField()
    original_name = models.CharField(max_length=255, blank=True)
    uploaded_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, on_delete=models.PROTECT, related_name="+"
    )
    uploaded_at = models.DateTimeField(auto_now_add=True)
    preview = models.CharField(max_length=8, choices=Preview.choices, default=Preview.QUEUED)
    # Of the large preview as written; what a document prints is checked against it.
    preview_sha256 = models.CharField(max_length=64, blank=True)
    preview_attempts = models.PositiveSmallIntegerField(default=0)
    lease_until = models.DateTimeField(null=True, blank=True)
    error = models.CharField(max_length=300, blank=True)

    def __str__(self) -> str:
        return f"photo {self.sha256[:12]}"
