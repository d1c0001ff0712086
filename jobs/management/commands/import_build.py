"""Bring a whole build onto a job: python manage.py import_build JOB FILE [--dry-run]."""

from argparse import ArgumentParser, RawDescriptionHelpFormatter
from pathlib import Path
from textwrap import fill
from typing import Any

from django.core.management.base import BaseCommand, CommandError
from django.db import transaction

from jobs.build_sheet.exchange.bring import bring
from jobs.build_sheet.exchange.read import BuildFileError, read_build
from jobs.build_sheet.exchange.tables import TABLES
from jobs.intake.models import Job
from jobs.intake.sheet.actions import start_job


class Command(BaseCommand):
    help = (
        "Make a job's build equal to a file, XLSX (a sheet per table) or JSON (a list per table). "
        "A table that the file lacks is left alone; --dry-run only says what would change."
    )

    def create_parser(self, *args: Any, **options: Any) -> ArgumentParser:
        options["formatter_class"] = RawDescriptionHelpFormatter
        told = [
            fill(f"{table.name}: {', '.join(table.columns.values())}", 96, subsequent_indent="    ")
            for table in TABLES
        ]
        options["epilog"] = "tables and their columns:\n" + "\n".join(f"  {each}" for each in told)
        return super().create_parser(*args, **options)

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("job", help='job number, or "new" with --agency')
        parser.add_argument("file", type=Path)
        parser.add_argument("--dry-run", action="store_true", help="change nothing")
        parser.add_argument("--agency", default="", help="start a new job for this agency")
        parser.add_argument("--title", default="Imported build", help="title of a new job")
        parser.add_argument("--by", default="import_build", help="name in the history")

    def handle(self, *args: Any, **options: Any) -> None:
        path: Path = options["file"]
        try:
            build = read_build(path.name, path.read_bytes())
        except OSError as error:
            raise CommandError(f"{path} cannot be read: {error.strerror}.") from None
        except BuildFileError as error:
            raise CommandError(str(error)) from None
        dry_run = options["dry_run"]
        with transaction.atomic():
            job = self._job(options)
            report = bring(
                job=job, build=build, by=options["by"], source=path.name, dry_run=dry_run
            )
            # A job started for this file goes with it.
            transaction.set_rollback(bool(report.problems) or dry_run)
        for problem in report.problems:
            self.stderr.write(str(problem))
        if report.problems:
            count = len(report.problems)
            words = "1 problem" if count == 1 else f"{count} problems"
            raise CommandError(f"{words}. Nothing was changed on job {job.number}.")
        self.stdout.write(f"{job.number}: {report.words}")
        if dry_run:
            self.stdout.write("Dry run: nothing was changed.")

    def _job(self, options: dict[str, Any]) -> Job:
        if options["job"] == "new" and options["agency"]:
            return start_job(
                agency=None,
                agency_name=options["agency"],
                title=options["title"],
                vehicle="",
                promised_on=None,
                copy_from=None,
                by=options["by"],
            )
        job = Job.objects.filter(number=options["job"]).first()
        if job is None:
            raise CommandError(
                f'There is no job {options["job"]}. Use "new --agency NAME" to start one.'
            )
        return job
