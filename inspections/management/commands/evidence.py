"""Prove the stored evidence: python manage.py evidence --verify."""

from typing import Any

from django.core.management.base import BaseCommand, CommandError, CommandParser

from inspections.evidence.verify import verify_all
from inspections.handover.freezing import verify_packets
from inspections.models import FrozenPacket, Result
from jobs.models import Photo


class Command(BaseCommand):
    help = "Recompute every unit's result chain, every photo's hash and every released packet."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("--verify", action="store_true", required=True)

    def handle(self, *args: Any, **options: Any) -> None:
        broken = [*verify_all(), *verify_packets()]
        for sentence in broken:
            self.stdout.write(f"BROKEN {sentence}")
        counted = (
            f"{Result.objects.count()} entries, {Photo.objects.count()} photos and "
            f"{FrozenPacket.objects.count()} released packets"
        )
        if broken:
            raise CommandError(f"{len(broken)} problems in {counted}.")
        self.stdout.write(f"Proved: {counted}.")
