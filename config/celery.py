"""The Celery application. Tasks live in jobs/tasks.py and inspections/tasks.py."""

import os

from celery import Celery

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "config.settings")

app = Celery("upfit")
app.config_from_object("django.conf:settings", namespace="CELERY")
app.autodiscover_tasks()
