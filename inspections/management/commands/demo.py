"""Load the demo: python manage.py demo. Safe to repeat."""

from typing import Any

from django.core.management.base import BaseCommand

from inspections.demo.load import load_demo


class Command(BaseCommand):
    help = "Load the invented demo job into this shop (safe to repeat)."

    def handle(self, *args: Any, **options: Any) -> None:
        job = load_demo()
        self.stdout.write(f"Demo job {job.number} {job.title} is loaded.")
