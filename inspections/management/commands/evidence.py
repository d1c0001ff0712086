"""Prove the stored evidence: python manage.py evidence --verify."""

from typing import Any

from django.core.management.base import BaseCommand, CommandError, CommandParser

from inspections.evidence.verify import verify_all
from inspections.models import Result
from jobs.models import Photo


class Command(BaseCommand):
    help = "Recompute every unit's result chain and every photo's hash."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("--verify", action="store_true", required=True)

    def handle(self, *args: Any, **options: Any) -> None:
        broken = verify_all()
        for sentence in broken:
            self.stdout.write(f"BROKEN {sentence}")
        counted = f"{Result.objects.count()} entries and {Photo.objects.count()} photos"
        if broken:
            raise CommandError(f"{len(broken)} problems in {counted}.")
        self.stdout.write(f"Proved: {counted}.")
