"""Celery finds tasks here; they live in their slices."""

from jobs.documents.tasks import drain_documents, sweep_documents
from jobs.photos.tasks import drain_photos, sweep_photos

__all__ = ["drain_documents", "drain_photos", "sweep_documents", "sweep_photos"]
