"""Where a job stands with its work: stages planned, begun, signed off."""

from collections.abc import Sequence

from django.urls import reverse

from config.access import MANAGER, TECHNICIAN
from jobs.intake.models import Job
from jobs.intake.spine import Action, Now, Standing, register
from jobs.stages.models import Stage

State = Stage.State
BEFORE_AWARD = (Job.State.ENQUIRY, Job.State.QUOTED)


def work_standings(jobs: Sequence[Job]) -> dict[int, Standing]:
    rows: dict[int, list[Stage]] = {job.pk: [] for job in jobs}
    found = Stage.objects.filter(unit__job__in=jobs).select_related("unit")
    for stage in found.order_by("unit", "position"):
        rows[stage.unit.job_id].append(stage)
    return {job.pk: _work(job, rows[job.pk]) for job in jobs}


def _work(job: Job, stages: list[Stage]) -> Standing:
    if not stages:
        now = Now.LATER if job.state in BEFORE_AWARD else Now.OPEN
        url = reverse("jobs:job_stages", args=[job.number])
        action = Action(words="Plan the stages", url=url, roles=(MANAGER,))
        return Standing(now=now, action=None if now == Now.LATER else action)
    signed = sum(stage.state == State.SIGNED for stage in stages)
    detail = f"{signed} of {len(stages)} stages signed off"
    if signed == len(stages):
        return Standing(now=Now.DONE, detail=detail)
    unfinished = [one for one in stages if one.state in (State.WORKING, State.WAITING)]
    if not unfinished:
        return Standing(now=Now.WAITING, detail=detail, waiting_for="an inspector's signature")
    begun = [one for one in unfinished if one.state == State.WORKING]
    words = "Go on with" if begun else "Start"
    return Standing(now=Now.OPEN, detail=detail, action=_act(words, job, (begun or unfinished)[0]))


def _act(words: str, job: Job, stage: Stage) -> Action:
    return Action(
        words=f"{words} {stage} on {stage.unit.number}",
        url=reverse("jobs:stage_detail", args=[job.number, stage.unit.number, stage.code]),
        roles=(TECHNICIAN,),
    )


register("work", work_standings)
