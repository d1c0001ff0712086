"""Which checks prove which requirement, for the page that lists the gaps."""

from collections import defaultdict

from inspections.checklists.models import Check
from jobs.coverage.standing import CHECKS
from jobs.models import Job


def checks_by_requirement(job: Job) -> dict[int, list[str]]:
    """References of checks in use, by the requirement they prove."""
    links = Check.requirements.through.objects.filter(
        requirement__job=job, check__retired=False
    ).values_list("requirement_id", "check__ref")
    found: dict[int, list[str]] = defaultdict(list)
    for requirement, ref in links.order_by("check__ref").distinct():
        found[requirement].append(ref)
    return found


CHECKS.append(checks_by_requirement)
