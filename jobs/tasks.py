"""Celery finds tasks here; they live in their slices."""
