"""Saying what satisfies a requirement, and asking the questions of an intake list."""

from collections.abc import Iterable
from typing import Any

from django.db import transaction

from jobs.audit.record import display_name, record
from jobs.coverage.models import RequirementLink
from jobs.coverage.templates import SOURCE
from jobs.intake.models import Job, Requirement
from jobs.intake.requirements.actions import add_requirement


@transaction.atomic
def link_requirement(*, requirement: Requirement, kind: str, ref: str, by: Any) -> None:
    """Twice the same link is one."""
    link, new = RequirementLink.objects.get_or_create(
        requirement=requirement, kind=kind, ref=ref, defaults={"added_by": display_name(by)}
    )
    if new:
        _tell(link, by, "linked", f"{requirement} is satisfied by {link}.")


@transaction.atomic
def unlink_requirement(*, link: RequirementLink, by: Any) -> None:
    _tell(link, by, "unlinked", f"{link.requirement} is no longer satisfied by {link}.")
    link.delete()


@transaction.atomic
def ask_questions(*, job: Job, questions: Iterable[dict[str, Any]], by: Any) -> int:
    """Add those questions that the job does not have yet, as open requirements."""
    Job.objects.select_for_update().get(pk=job.pk)
    held = set(job.requirements.values_list("text", flat=True))
    new = [one for one in questions if one["text"] not in held]
    for one in new:
        values = {
            "text": one["text"], "source": SOURCE, "must": one["must"],
            "drives_design": one["drives_design"], "note": one["group"],
            "status": Requirement.Status.OPEN,
        }  # fmt: skip
        add_requirement(job=job, values=values, by=by)
    return len(new)


def _tell(link: RequirementLink, by: Any, verb: str, sentence: str) -> None:
    job = link.requirement.job.number
    record(by=by, verb=verb, subject=link, job=job, sentence=sentence)
