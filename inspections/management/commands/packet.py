"""Make a unit's delivery packet: python manage.py packet JOB [--unit U] [--out DIR]."""

import shutil
from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand, CommandError, CommandParser

from inspections.demo.queue import work_off
from inspections.handover.actions import build_packet
from inspections.handover.freezing import freeze
from jobs.documents.files import document_path
from jobs.models import Document, Unit


class Command(BaseCommand):
    help = "Build the packet as the data stand, wait for it, and say where it is."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("job", help="job number")
        parser.add_argument("--unit", help="unit number; needed when the job has several")
        parser.add_argument("--out", help="folder to copy the PDF into")

    def handle(self, *args: Any, **options: Any) -> None:
        units = Unit.objects.filter(job__number=options["job"]).select_related("job", "release")
        if options["unit"]:
            units = units.filter(number=options["unit"])
        if len(units) != 1:
            raise CommandError(
                f"Job {options['job']} has {len(units)} matching units; name one with --unit."
            )
        packet = build_packet(unit=units[0], by="packet command")
        work_off()
        packet.document.refresh_from_db()
        if packet.document.state != Document.State.DONE:
            raise CommandError(f"{packet.document.get_state_display()}: {packet.document.error}")
        freeze(packet)
        path = document_path(packet.document.file_sha256)
        if options["out"]:
            folder = Path(options["out"])
            folder.mkdir(parents=True, exist_ok=True)
            path = Path(shutil.copy(path, folder / packet.document.file_name))
        self.stdout.write(f"{packet.document.page_count} sheets: {path}")
