"""Changes of the build sheet and its design. Guarded by version; every one writes history."""

import hashlib
import json
from dataclasses import asdict
from typing import Any

from django.contrib.auth.models import User
from django.db import models, transaction
from django.utils import timezone

from catalog.models import Part
from jobs.audit.record import display_name, record
from jobs.build_sheet.drafting.release import released_logic
from jobs.build_sheet.models import (
    AcceptedFinding,
    Circuit,
    DesignRevision,
    ModeDuty,
    OperatingMode,
)
from jobs.build_sheet.review import Review, review
from jobs.electrical.design_json import to_json
from jobs.electrical.rule_sets.catalog import rule_set_name
from jobs.intake.models import Job, Requirement

STALE = (
    "{} was changed by somebody else while you had it open. "
    "What you typed is kept below; compare it with the new values and save again."
)


class BuildSheetError(Exception):
    """Why a change is not possible, as a sentence."""


@transaction.atomic
def save_row(*, form: Any, by: User, seen_version: int | None = None) -> models.Model:
    """Save a valid form of a job's row. A row changed since it was opened is not overwritten."""
    row = form.instance
    new = row.pk is None
    if not new and seen_version is not None:
        changed = (
            type(row)
            .objects.filter(pk=row.pk, version=seen_version)
            .update(version=models.F("version") + 1)
        )
        if not changed:
            raise BuildSheetError(STALE.format(row))
        row.version = seen_version + 1
    saved = form.save()
    words = ", ".join(form.changed_data) or "nothing"
    record(
        by=by,
        verb="added" if new else "changed",
        subject=saved,
        job=row.job.number,
        sentence=f"{'Added' if new else 'Changed'} {_name(saved)}"
        + ("." if new else f": {words}."),
    )
    return saved


def _name(row: models.Model) -> str:
    return f"{row._meta.verbose_name} {row}"


@transaction.atomic
def remove_row(*, row: Any, by: User) -> None:
    """Delete a build-sheet row that nothing points at; the sentence says what does."""
    name, job, key = _name(row), row.job, row.pk
    try:
        with transaction.atomic():
            row.delete()
    except models.ProtectedError as error:
        users = sorted({str(each) for each in error.protected_objects})
        raise BuildSheetError(
            f"{name} is used by {', '.join(users[:5])}; take it off there first."
        ) from None
    row.pk = key  # the history names the row that was
    record(by=by, verb="removed", subject=row, job=job.number, sentence=f"Removed {name}.")


@transaction.atomic
def accept_finding(
    *, job: Job, rule: str, subject: str, reason: str, by: User, called: str = ""
) -> AcceptedFinding:
    """Accept a finding in writing. It stays visible with the name and the reason."""
    accepted, _ = AcceptedFinding.objects.update_or_create(
        job=job,
        rule=rule,
        subject=subject,
        defaults={"reason": reason, "accepted_by": display_name(by)},
    )
    record(
        by=by,
        verb="accepted",
        subject=accepted,
        job=job.number,
        sentence=f"Accepted {rule.replace('_', ' ')} of {called or subject}: {reason}",
    )
    return accepted


@transaction.atomic
def set_duties(*, mode: OperatingMode, duties: list[tuple[Circuit, int]], by: User) -> None:
    """Say which circuits are on in a mode, each with its share in thousandths."""
    mode.duties.all().delete()
    ModeDuty.objects.bulk_create(
        ModeDuty(mode=mode, circuit=circuit, permille=permille) for circuit, permille in duties
    )
    record(
        by=by,
        verb="changed",
        subject=mode,
        job=mode.job.number,
        sentence=f"Changed the duty of mode {mode.name}.",
    )


@transaction.atomic
def take_revision(*, job: Job, part: Part, by: User) -> int:
    """Put the part's current revision on every line of the job that has an older one."""
    lines = job.lines.filter(part__part=part).exclude(part=part.current)
    refs = list(lines.values_list("ref", flat=True))
    count = lines.update(part=part.current, version=models.F("version") + 1)
    if count:
        record(
            by=by,
            verb="changed",
            subject=job,
            job=job.number,
            sentence=f"Took {part.current} onto {', '.join(refs)}.",
        )
    return count


@transaction.atomic
def choose_rule_set(*, job: Job, key: str, by: User) -> None:
    """Judge the job's design by another rule set from now on. Kept revisions stay as they are."""
    old, job.rule_set = job.rule_set, key
    if not Job.objects.filter(pk=job.pk).exclude(rule_set=key).update(rule_set=key):
        return
    record(
        by=by,
        verb="changed",
        subject=job,
        job=job.number,
        sentence=f"Changed the rule set from {rule_set_name(old)} to {rule_set_name(key)}.",
    )


def release_blockers(job: Job, found: Review) -> list[str]:
    """Everything that keeps the design from release, as sentences."""
    blocked = [f"{each.finding.called}: {each.finding.message}" for each in found.blocking]
    unsettled = job.requirements.filter(
        drives_design=True, status__in=[Requirement.Status.OPEN, Requirement.Status.ASSUMED]
    )
    blocked += [
        f"Requirement RQ{row.number} is {row.get_status_display().lower()} and feeds a calculation."
        for row in unsettled
    ]
    if not job.circuits.exists():
        blocked.append("There is no circuit yet.")
    if job.logic_versions.exists() and released_logic(job) is None:
        blocked.append("No version of the control logic is released yet.")
    return blocked


@transaction.atomic
def freeze_design(
    *, job: Job, by: User | str, note: str, found: Review | None = None
) -> DesignRevision:
    """Keep the design as it stands, with its findings, as the next revision."""
    Job.objects.select_for_update().get(pk=job.pk)
    found = found or review(job)
    last = job.design_revisions.order_by("number").last()
    design = to_json(found.design)
    revision = DesignRevision.objects.create(
        job=job,
        number=last.number + 1 if last else 1,
        note=note,
        made_by=display_name(by),
        design=design,
        findings=[_plain(each.finding) for each in found.judged],
        digest=digest_of(design),
    )
    record(
        by=by,
        verb="froze",
        subject=revision,
        job=job.number,
        sentence=f"Design revision {revision.number} kept: {note}",
    )
    return revision


def digest_of(design: dict[str, Any]) -> str:
    text = json.dumps(design, sort_keys=True, separators=(",", ":"), ensure_ascii=False)
    return hashlib.sha256(text.encode()).hexdigest()


def _plain(finding: Any) -> dict[str, Any]:
    plain = asdict(finding)
    plain["severity"] = str(finding.severity)
    return plain


@transaction.atomic
def release_design(*, revision: DesignRevision, by: User) -> None:
    """A second person releases the newest revision, if it still is what the rows say."""
    job = revision.job
    found = review(job)
    if display_name(by) == revision.made_by:
        raise BuildSheetError(
            f"{revision.made_by} made this revision; a second person must release it."
        )
    if digest_of(to_json(found.design)) != revision.digest:
        raise BuildSheetError("The build sheet changed since this revision. Keep a new one first.")
    if blocked := release_blockers(job, found):
        raise BuildSheetError("Not released. " + " ".join(blocked[:6]))
    changed = DesignRevision.objects.filter(pk=revision.pk, released_at=None).update(
        released_by=display_name(by), released_at=timezone.now()
    )
    if not changed:
        raise BuildSheetError("This revision is already released.")
    record(
        by=by,
        verb="released",
        subject=revision,
        job=job.number,
        sentence=f"Released design revision {revision.number}.",
    )
