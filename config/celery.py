"""The Celery application. Tasks live in jobs/tasks.py and inspections/tasks.py."""

import os
from typing import Any

from celery import Celery
from celery.signals import beat_init, worker_init, worker_process_init

from config.embedded import die_with_parent

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "config.settings")

app = Celery("upfit")
app.config_from_object("django.conf:settings", namespace="CELERY")
app.autodiscover_tasks()


@worker_init.connect
@beat_init.connect
def follow_the_supervisor(**_: Any) -> None:
    os.environ["WORKER_PID"] = str(os.getpid())  # for the worker's children
    if supervisor := os.environ.get("SUPERVISED"):
        die_with_parent(int(supervisor))


@worker_process_init.connect
def follow_the_worker(**_: Any) -> None:
    die_with_parent(int(os.environ["WORKER_PID"]))
