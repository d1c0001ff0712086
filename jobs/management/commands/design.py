"""Print a job's design findings: python manage.py design JOB [--json]."""

import json
from dataclasses import asdict
from typing import Any

from django.core.management.base import BaseCommand, CommandError, CommandParser

from jobs.build_sheet.review import review
from jobs.electrical.design_json import to_json
from jobs.electrical.rule_sets.catalog import rule_set_name
from jobs.findings import Severity
from jobs.intake.models import Job


class Command(BaseCommand):
    help = "Check a job's design and print its findings."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("job", help="job number")
        parser.add_argument("--json", action="store_true", help="stable field names for scripts")

    def handle(self, *args: Any, **options: Any) -> None:
        job = Job.objects.filter(number=options["job"]).first()
        if job is None:
            raise CommandError(f"There is no job {options['job']}.")
        found = review(job)
        if options["json"]:
            findings = [asdict(f) | {"severity": str(f.severity)} for f in found.findings]
            data = {"job": job.number, "design": to_json(found.design), "findings": findings}
            self.stdout.write(json.dumps(data, indent=1, ensure_ascii=False))
            return
        for each in found.problems:
            finding = each.finding
            accepted = f" [accepted by {each.accepted.accepted_by}]" if each.accepted else ""
            self.stdout.write(
                f"{finding.severity:12} {finding.called:14} {finding.message}{accepted}"
            )
        counts = ", ".join(f"{count} {severity}" for severity, count in found.counts.items())
        self.stdout.write(f"{job.number}: {counts} (rule set {rule_set_name(job.rule_set)}).")
        if any(f.severity == Severity.UNDETERMINED for f in found.findings):
            self.stdout.write("Undetermined means that data are missing; it is never a pass.")
