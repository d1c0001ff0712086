"""Where the steps of this slice stand: enquiry, checked in, requirements, agency-owned items."""

from collections.abc import Sequence

from django.db.models import Count, Q
from django.urls import reverse

from config.access import DESIGNER, INSPECTOR, MANAGER, TECHNICIAN
from jobs.intake.models import FurnishedItem, Job, Requirement, Unit
from jobs.intake.spine import Action, Now, Standing, register

AFTER_AWARD = (Job.State.APPROVED, Job.State.BUILDING, Job.State.RELEASED, Job.State.DELIVERED)
MOST_NAMED = 5


def counted(number: int, one: str, many: str = "") -> str:
    return f"{number} {one if number == 1 else many or one + 's'}"


def enquiry_standings(jobs: Sequence[Job]) -> dict[int, Standing]:
    with_units = set(
        Unit.objects.filter(job__in=jobs).order_by().values_list("job_id", flat=True).distinct()
    )
    return {job.pk: _enquiry(job, job.pk in with_units) for job in jobs}


def _enquiry(job: Job, has_units: bool) -> Standing:
    if not has_units:
        return Standing(
            now=Now.OPEN,
            detail="No unit yet",
            action=Action(
                words="Add the first unit",
                url=reverse("jobs:unit_new", args=[job.number]),
                roles=(MANAGER,),
            ),
        )
    if job.promised_on is None:
        return Standing(
            now=Now.OPEN,
            detail="No promised date yet",
            action=Action(
                words="Enter the promised date",
                url=reverse("jobs:job_edit", args=[job.number]),
                roles=(MANAGER,),
            ),
        )
    return Standing(now=Now.DONE)


def arrival_standings(jobs: Sequence[Job]) -> dict[int, Standing]:
    rows: dict[int, list[Unit]] = {job.pk: [] for job in jobs}
    for unit in Unit.objects.filter(job__in=jobs).only("job_id", "number", "arrived_at"):
        rows[unit.job_id].append(unit)
    return {job.pk: _arrival(job, rows[job.pk]) for job in jobs}


def _arrival(job: Job, units: list[Unit]) -> Standing:
    if not units:
        return Standing(now=Now.LATER)
    missing = [unit for unit in units if unit.arrived_at is None]
    here = f"{len(units) - len(missing)} of {counted(len(units), 'unit')}"
    if not missing:
        return Standing(now=Now.DONE, detail=here)
    if job.state not in AFTER_AWARD:
        return Standing(now=Now.LATER, detail=here)
    return Standing(
        now=Now.WAITING,
        waiting_for="the vehicle" if len(units) == 1 else "vehicles",
        detail=here,
        blockers=tuple(
            f"Unit {unit.number} has not been checked in." for unit in missing[:MOST_NAMED]
        ),
        action=Action(
            words=f"Check in unit {missing[0].number}",
            url=reverse("jobs:unit_arrival", args=[job.number, missing[0].number]),
            roles=(TECHNICIAN, INSPECTOR, MANAGER),
        ),
    )


def requirement_standings(jobs: Sequence[Job]) -> dict[int, Standing]:
    open_, assumed = Q(status=Requirement.Status.OPEN), Q(status=Requirement.Status.ASSUMED)
    counts = (
        Requirement.objects.filter(job__in=jobs)
        .order_by()
        .values("job_id")
        .annotate(
            all=Count("pk"),
            open=Count("pk", filter=open_),
            assumed=Count("pk", filter=assumed),
            unsafe=Count("pk", filter=(open_ | assumed) & Q(drives_design=True)),
        )
    )
    by_job = {row["job_id"]: row for row in counts}
    return {job.pk: _requirements(job, by_job.get(job.pk)) for job in jobs}


def _requirements(job: Job, count: dict[str, int] | None) -> Standing:
    url = reverse("jobs:requirement_list", args=[job.number])
    if not count:
        action = Action(
            words="Write down what the agency needs", url=url, roles=(MANAGER, DESIGNER)
        )
        return Standing(now=Now.OPEN, detail="None written down", action=action)
    unsettled = count["open"] + count["assumed"]
    if not unsettled:
        return Standing(now=Now.DONE, detail=counted(count["all"], "requirement"))
    unsafe = count["unsafe"]
    words = counted(
        unsafe, "open or assumed requirement feeds", "open or assumed requirements feed"
    )
    return Standing(
        now=Now.OPEN,
        detail=f"{count['open']} open, {count['assumed']} assumed of {count['all']}",
        blockers=(f"{words} a calculation. Settle before the design is released.",)
        if unsafe
        else (),
        action=Action(
            words=f"Settle {counted(unsettled, 'requirement')}",
            url=url,
            roles=(MANAGER, DESIGNER),
        ),
    )


def furnished_standings(jobs: Sequence[Job]) -> dict[int, Standing]:
    by_pk = {job.pk: job for job in jobs}
    rows: dict[int, list[FurnishedItem]] = {}
    for item in FurnishedItem.objects.filter(job__in=jobs):
        rows.setdefault(item.job_id, []).append(item)
    return {pk: _furnished(by_pk[pk], items) for pk, items in rows.items()}


def _furnished(job: Job, items: list[FurnishedItem]) -> Standing:
    missing = [item for item in items if not item.is_here]
    here = f"{len(items) - len(missing)} of {counted(len(items), 'agency item')} here"
    if not missing:
        return Standing(now=Now.DONE, detail=here)
    return Standing(
        now=Now.WAITING,
        waiting_for="the agency",
        detail=here,
        blockers=tuple(
            f"{item.description} has not arrived; stage {item.needed_for_stage} waits for it."
            for item in missing
            if item.needed_for_stage
        )[:MOST_NAMED],
        action=Action(
            words=f"Receive {counted(len(missing), 'agency item')}",
            url=reverse("jobs:furnished_list", args=[job.number]),
            roles=(TECHNICIAN, INSPECTOR, MANAGER),
        ),
    )


register("enquiry", enquiry_standings)
register("arrival", arrival_standings)
register("requirements", requirement_standings)
register("parts", furnished_standings)
