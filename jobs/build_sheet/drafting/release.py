"""Acceptance in writing and release of a version of the control logic."""

from collections.abc import Collection

from django.contrib.auth.models import User
from django.db import transaction
from django.utils import timezone

from jobs.audit.record import display_name, record
from jobs.build_sheet.drafting.document import DraftError
from jobs.build_sheet.drafting.gate import Gate, Risk, gate_of
from jobs.build_sheet.drafting.working_out import FOREVER
from jobs.build_sheet.models import AcceptedRisk, ControlLogic
from jobs.intake.models import Job

ALREADY = "Logic {} is already released."


@transaction.atomic
def accept_risks(
    *, kept: ControlLogic, gate: Gate, chosen: Collection[str], reason: str, by: User
) -> list[Risk]:
    """Accept chosen risks in writing, each under the accepting person's name with the reason."""
    risks = [risk for risk in gate.open_risks if risk.fingerprint in chosen]
    if not risks:
        raise DraftError("Tick what is accepted; what was ticked is accepted already or is gone.")
    for risk in risks:
        accepted, new = AcceptedRisk.objects.get_or_create(
            job=kept.job,
            fingerprint=risk.fingerprint,
            defaults={
                "version": kept.version,
                "interlock": risk.interlock,
                "what": risk.what[:300],
                "reason": reason,
                "accepted_by": display_name(by),
            },
        )
        if new:
            record(
                by=by,
                verb="accepted",
                subject=accepted,
                job=kept.job.number,
                sentence=f"Accepted for logic {kept.version}, {risk.interlock}: "
                f"{risk.what}. Reason: {reason}",
            )
    return risks


@transaction.atomic
def release_logic(*, kept: ControlLogic, by: User, gate: Gate | None = None) -> ControlLogic:
    """Release a version: proved, or every exception accepted by name. It never changes again.

    The caller brings the units' checks up to it; see inspections/release/logic_views.py.
    """
    gate = gate or gate_of(kept, seconds=FOREVER)
    if blocked := gate.blockers:
        raise DraftError(f"Logic {kept.version} is not released. {' '.join(blocked)}")
    Job.objects.select_for_update().get(pk=kept.job_id)
    changed = ControlLogic.objects.filter(
        pk=kept.pk, edits=kept.edits, sha256=kept.sha256, released_at=None
    ).update(released_at=timezone.now(), released_by=display_name(by))
    if not changed:
        now = ControlLogic.objects.filter(pk=kept.pk).first()
        again = ALREADY if now and now.is_released else "Logic {} was changed meanwhile."
        raise DraftError(again.format(kept.version), stale=True)
    kept.refresh_from_db()
    risks = gate.accepted_risks
    record(
        by=by,
        verb="released",
        subject=kept,
        job=kept.job.number,
        sentence=f"Released control logic {kept.version}, SHA-256 {kept.sha256[:12]}, "
        f"with {len(risks)} accepted exceptions.",
    )
    return kept


def released_logic(job: Job) -> ControlLogic | None:
    """The newest released version: what is loaded into the vehicles."""
    return job.logic_versions.exclude(released_at=None).order_by("released_at", "id").last()
