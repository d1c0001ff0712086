"""Run the main job on the demo and print its summary: python manage.py demo_job."""

import time
from typing import Any

from django.core.management.base import BaseCommand, CommandError

from inspections.demo.main_job import run


class Command(BaseCommand):
    help = "Load the demo, check, price, build, prove, pack; exit 1 on anything unexpected."

    def handle(self, *args: Any, **options: Any) -> None:
        started = time.monotonic()
        wrong = 0
        for line in run():
            wrong += not line.ok
            mark = "  " if line.ok else "! "
            self.stdout.write(f"{mark}{line.heading:10} {line.text}")
        self.stdout.write(f"  Time       {time.monotonic() - started:.1f} s")
        if wrong:
            raise CommandError(f"{wrong} results are not as expected.")
