"""Prove a job's control logic: python manage.py prove JOB [--logic V] [--json]."""

import json
from dataclasses import asdict
from typing import Any

from django.core.management.base import BaseCommand, CommandError, CommandParser

from jobs.build_sheet.drafting.working_out import complete
from jobs.build_sheet.logic import proofs_of
from jobs.build_sheet.models import ControlLogic, LogicWork


class Command(BaseCommand):
    help = (
        "Judge every interlock of a job's control logic and list its test steps; "
        "exit 1 when an interlock does not hold."
    )

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("job", help="job number")
        parser.add_argument("--logic", help="logic version; the newest without it")
        parser.add_argument("--json", action="store_true", help="stable field names for scripts")

    def handle(self, *args: Any, **options: Any) -> None:
        versions = ControlLogic.objects.filter(job__number=options["job"])
        if options["logic"]:
            versions = versions.filter(version=options["logic"])
        kept = versions.order_by("id").last()
        if kept is None:
            raise CommandError(f"Job {options['job']} has no such control logic.")
        proofs = proofs_of(kept)
        steps = complete(kept, LogicWork.Kind.STEPS).found
        if options["json"]:
            data = {
                "version": kept.version,
                "sha256": kept.sha256,
                "released_by": kept.released_by,
                "proofs": list(map(asdict, proofs)),
                "steps": steps,
            }
            self.stdout.write(json.dumps(data, indent=1, ensure_ascii=False))
        else:
            for proof in proofs:
                self.stdout.write(f"{proof.word:10} {proof.name:12} {proof.label}")
                if proof.state != "pass":
                    self.stdout.write(f"           {proof.text}")
            for step in steps:
                self.stdout.write(f"Step {step['step']:<5} {step['start']}")
                doing = " ".join([*step["instruction"].splitlines(), *step["cautions"]])
                self.stdout.write(f"           {doing} Expect: {step['expected']}")
        broken = sum(proof.state != "pass" for proof in proofs)
        if broken:
            raise CommandError(f"{broken} of {len(proofs)} interlocks are not proved.")
