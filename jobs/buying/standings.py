"""Where a job stands with its parts: what is short, what waits to be picked."""

from collections.abc import Sequence

from django.db.models import Q
from django.urls import reverse

from config.access import MANAGER, TECHNICIAN
from jobs.buying.models import Purchase, StockMove
from jobs.buying.needs import BUILT, open_needs, ordered_of, stock_of
from jobs.intake.models import Job
from jobs.intake.spine import Action, Now, Standing, register


def parts_standings(jobs: Sequence[Job]) -> dict[int, Standing]:
    """Nothing is said in a shop that does not keep its buying here.

    Whether other jobs want the same pieces is told on the pages of buying, not here.
    """
    built = [job for job in jobs if job.state in BUILT]
    if not built or not (StockMove.objects.exists() or Purchase.objects.exists()):
        return {}
    return _of_built(built)


def _of_built(jobs: list[Job]) -> dict[int, Standing]:
    needs = open_needs(Q(job__in=jobs))
    stock, ordered = stock_of(needs), ordered_of(needs)
    lacking: dict[str, list[bool]] = {job.number: [] for job in jobs}
    for part, wanted in needs.items():
        here, coming = stock.get(part, 0), ordered.get(part, 0)
        for need in wanted:
            lacking[need.job].append(need.pieces > here + coming)
    return {job.pk: _standing(job, lacking[job.number]) for job in jobs}


def _standing(job: Job, lacking: list[bool]) -> Standing:
    if not lacking:
        return Standing(now=Now.DONE, detail="every part is picked")
    url = reverse("jobs:job_buying", args=[job.number])
    short = sum(lacking)
    if short:
        return Standing(
            now=Now.OPEN,
            detail=f"{short} of {len(lacking)} lines have parts that are short",
            action=Action(words="Order what is short", url=url, roles=(MANAGER,)),
        )
    action = Action(words="Pick parts", url=url, roles=(TECHNICIAN, MANAGER))
    return Standing(now=Now.OPEN, detail=f"{len(lacking)} lines to pick", action=action)


register("parts", parts_standings)
