"""An uploaded build file: its dry run with the findings it changes, then all of it or nothing."""

import hashlib
from dataclasses import dataclass
from typing import Any

from django.db import transaction
from django.utils import timezone

from jobs.audit.record import display_name
from jobs.build_sheet.actions import BuildSheetError
from jobs.build_sheet.effects import effect_of
from jobs.build_sheet.exchange.bring import bring
from jobs.build_sheet.exchange.read import BuildFile, read_build
from jobs.build_sheet.exchange.report import Report
from jobs.build_sheet.exchange.write import build_of, json_bytes
from jobs.build_sheet.models import BuildImport
from jobs.electrical.changes import Change
from jobs.intake.models import Job

STALE = "The build was changed since this dry run. Look at what the file changes now."


@dataclass(frozen=True, kw_only=True, slots=True)
class DryRun:
    """`digest` names the build as it stood: applying asks for the same."""

    report: Report
    changes: list[Change]
    digest: str


@transaction.atomic
def keep_upload(*, job: Job, name: str, content: bytes, by: Any) -> BuildImport:
    """Keep the file for its dry run. Earlier ones of this person that were not applied go."""
    person = display_name(by)
    job.build_imports.filter(applied_at=None, uploaded_by=person).delete()
    return BuildImport.objects.create(
        job=job, file_name=name[-120:], content=content, uploaded_by=person
    )


def build_in(kept: BuildImport) -> BuildFile:
    return read_build(kept.file_name, bytes(kept.content))


def try_build(*, job: Job, build: BuildFile, source: str, by: Any) -> DryRun:
    """What the file would change on the job, and which findings. Nothing is kept."""
    reports: list[Report] = []
    digest = digest_of_build(job)

    def carry() -> None:
        reports.append(bring(job=job, build=build, by=by, source=source))

    changes = effect_of(job, carry)
    job.refresh_from_db()
    return DryRun(report=reports[0], changes=changes, digest=digest)


def digest_of_build(job: Job) -> str:
    return hashlib.sha256(json_bytes(build_of(job))).hexdigest()


@transaction.atomic
def apply_upload(*, kept: BuildImport, digest: str, by: Any) -> Report:
    """Bring the file onto its job, once, and only onto the build that the dry run looked at."""
    job = Job.objects.select_for_update().get(pk=kept.job_id)
    claimed = BuildImport.objects.filter(pk=kept.pk, applied_at=None).update(
        applied_by=display_name(by), applied_at=timezone.now()
    )
    if not claimed:
        raise BuildSheetError(f"{kept.file_name} is applied already.")
    if digest != digest_of_build(job):
        raise BuildSheetError(STALE)
    report = bring(job=job, build=build_in(kept), by=by, source=kept.file_name)
    if report.problems:
        raise BuildSheetError(f"Nothing was changed. {report.problems[0]}")
    BuildImport.objects.filter(pk=kept.pk).update(done=report.words)
    return report
