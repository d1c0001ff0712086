"""Where a job stands with its design: entered, checked and kept, released by a second person."""

from collections.abc import Sequence

from django.db.models import Count
from django.urls import reverse

from config.access import DESIGNER, MANAGER
from jobs.build_sheet.models import Circuit, DesignRevision
from jobs.intake.models import Job
from jobs.intake.spine import Action, Now, Standing, register

BEFORE_AWARD = (Job.State.ENQUIRY, Job.State.QUOTED)


def design_standings(jobs: Sequence[Job]) -> dict[int, Standing]:
    circuits = dict(
        Circuit.objects.filter(job__in=jobs)
        .order_by()
        .values_list("job")
        .annotate(count=Count("pk"))
    )
    newest: dict[int, DesignRevision] = {}
    released: dict[int, DesignRevision] = {}
    kept = DesignRevision.objects.filter(job__in=jobs).defer("design", "findings")
    for revision in kept.order_by("number"):
        newest[revision.job_id] = revision
        if revision.released_at:
            released[revision.job_id] = revision
    return {
        job.pk: _design(job, circuits.get(job.pk, 0), newest.get(job.pk), released.get(job.pk))
        for job in jobs
    }


def _design(
    job: Job, circuits: int, newest: DesignRevision | None, released: DesignRevision | None
) -> Standing:
    if released and released == newest:
        return Standing(now=Now.DONE, detail=f"Revision {released.number} released")
    now = Now.LATER if job.state in BEFORE_AWARD else Now.OPEN
    if newest:
        words = f"Release design revision {newest.number}"
        url = reverse("jobs:design_revision", args=[job.number, newest.number])
        detail = f"Revision {newest.number} kept, not released"
        return Standing(now=Now.OPEN, detail=detail, action=_act(words, url))
    if circuits:
        url = reverse("jobs:circuit_list", args=[job.number])
        detail = "1 circuit" if circuits == 1 else f"{circuits} circuits"
        return Standing(now=now, detail=detail, action=_act("Check and keep the design", url))
    url = reverse("jobs:build_sheet", args=[job.number])
    return Standing(now=now, action=_act("Enter the build sheet", url))


def _act(words: str, url: str) -> Action:
    return Action(words=words, url=url, roles=(DESIGNER, MANAGER))


register("designed", design_standings)
