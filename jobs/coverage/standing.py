"""Each requirement with what satisfies and proves it, and what is missing."""

from collections import defaultdict
from collections.abc import Callable, Mapping
from dataclasses import dataclass

from jobs.coverage.models import RequirementLink
from jobs.intake.models import Job, Requirement

# The room of the checks answers for a job: references of checks by requirement.
CHECKS: list[Callable[[Job], Mapping[int, list[str]]]] = []
Kind, Status = RequirementLink.Kind, Requirement.Status


@dataclass(frozen=True, kw_only=True, slots=True)
class Covered:
    requirement: Requirement
    links: list[RequirementLink]
    checks: list[str]
    # Links whose line, circuit or rule is not on the job any more.
    broken: list[RequirementLink]

    @property
    def gaps(self) -> list[str]:
        """What is missing, as words; nothing for what was waived."""
        if self.requirement.status == Status.WAIVED:
            return []
        found = []
        if self.requirement.status == Status.OPEN:
            found.append("open question")
        if len(self.links) == len(self.broken):
            found.append("nothing on the vehicle satisfies it")
        if not self.checks:
            found.append("no check proves it")
        found += [f"{link} is not on the job any more" for link in self.broken]
        return found


def existing(job: Job) -> dict[str, set[str]]:
    """References that a link may name."""
    logic = job.logic_versions.order_by("id").last()
    rules = logic.logic.get("rules", []) if logic else []
    return {
        Kind.LINE: set(job.lines.values_list("ref", flat=True)),
        Kind.CIRCUIT: set(job.circuits.values_list("ref", flat=True)),
        Kind.RULE: {str(rule["name"]) for rule in rules},
    }


def coverage(job: Job) -> list[Covered]:
    """All requirements of a job, those with gaps first, in a fixed number of queries."""
    there = existing(job)
    links: dict[int, list[RequirementLink]] = defaultdict(list)
    for link in RequirementLink.objects.filter(requirement__job=job):
        links[link.requirement_id].append(link)
    checks: dict[int, list[str]] = defaultdict(list)
    for reader in CHECKS:
        for key, refs in reader(job).items():
            checks[key] += refs
    rows = [
        Covered(
            requirement=row,
            links=links[row.pk],
            checks=checks[row.pk],
            broken=[link for link in links[row.pk] if link.ref not in there[link.kind]],
        )
        for row in job.requirements.order_by("number")
    ]
    return sorted(rows, key=lambda row: (not row.gaps, row.requirement.number))
