"""Import parts from a sheet: python manage.py import_catalog FILE [--dry-run]."""

from argparse import ArgumentParser, RawDescriptionHelpFormatter
from pathlib import Path
from typing import Any

from django.conf import settings
from django.core.management.base import BaseCommand, CommandError

from catalog.actions import apply_import, keep_import
from catalog.columns import COLUMNS
from catalog.plan import Plan, Step, plan_of
from catalog.sheet_files import megabytes
from catalog.sheets import SheetError


class Command(BaseCommand):
    help = "Import parts from a CSV or XLSX sheet. --dry-run only says what would change."

    def create_parser(self, *args: Any, **options: Any) -> ArgumentParser:
        options["formatter_class"] = RawDescriptionHelpFormatter
        options["epilog"] = "columns:\n" + "\n".join(
            f"  {column.name:<16} {column.label}. {column.note}" for column in COLUMNS
        )
        return super().create_parser(*args, **options)

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("file", type=Path)
        parser.add_argument("--dry-run", action="store_true", help="change nothing")
        parser.add_argument("--by", default="import_catalog", help="name in the history")

    def handle(self, *args: Any, **options: Any) -> None:
        path: Path = options["file"]
        content = _read(path)
        try:
            plan = plan_of(name=path.name, content=content)
        except SheetError as error:
            raise CommandError(str(error)) from None
        self._tell(plan)
        if plan.problems:
            count = len(plan.problems)
            cells = "1 wrong cell" if count == 1 else f"{count} wrong cells"
            raise CommandError(f"{cells}. Nothing was changed.")
        if options["dry_run"]:
            self.stdout.write("Dry run: nothing was changed.")
        elif plan.steps:
            by = options["by"]
            kept = keep_import(name=path.name, content=content, plan=plan, by=by)
            apply_import(kept=kept, digest=plan.digest, by=by)
            self.stdout.write(f"Applied {path.name}.")

    def _tell(self, plan: Plan) -> None:
        for note in plan.notes:
            self.stdout.write(note)
        for problem in plan.problems:
            self.stderr.write(str(problem))
        for step in plan.steps:
            self._tell_step(step)
        self.stdout.write(
            f"{plan.new} new, {plan.changed} changed, {plan.unchanged} unchanged; "
            f"{plan.untouched} other parts stay as they are."
        )

    def _tell_step(self, step: Step) -> None:
        self.stdout.write(f"{step.code} (row {step.row}): {'new' if step.is_new else 'changed'}")
        for change in step.changes:
            words = f"{change.old or 'added'} -> {change.new or 'removed'}"
            self.stdout.write(f"  {change.what}: {change.new if step.is_new else words}")


def _read(path: Path) -> bytes:
    try:
        size = path.stat().st_size
        most = settings.LARGEST_SHEET_BYTES
        if size > most:
            raise CommandError(
                f"{path.name} has {megabytes(size)}; at most {megabytes(most)} are read."
            )
        return path.read_bytes()
    except OSError as error:
        raise CommandError(f"{path} cannot be read: {error.strerror}.") from None
