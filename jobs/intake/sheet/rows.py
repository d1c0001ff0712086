"""What the list of jobs shows: one row per job with its step, next action and first blocker."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from jobs.intake.models import Job
from jobs.intake.spine import Action, Step, blockers, current, next_action, spines

MOST_UNITS = 3


@dataclass(frozen=True, kw_only=True, slots=True)
class JobRow:
    job: Job
    units: str
    step: Step | None
    action: Action | None
    blocked_by: list[str]


def job_rows(jobs: Sequence[Job], roles: Iterable[str]) -> list[JobRow]:
    """Rows for jobs whose agency and units are loaded. Queries do not grow with the jobs."""
    roles, steps_of = frozenset(roles), spines(jobs)
    return [
        JobRow(
            job=job,
            units=unit_words([unit.number for unit in job.units.all()]),
            step=current(steps_of[job.pk]),
            action=next_action(steps_of[job.pk], roles),
            blocked_by=blockers(steps_of[job.pk]),
        )
        for job in jobs
    ]


def unit_words(numbers: Sequence[str]) -> str:
    """The first unit numbers and how many more there are."""
    more = len(numbers) - MOST_UNITS
    shown = ", ".join(numbers[:MOST_UNITS])
    return f"{shown} and {more} more" if more > 0 else shown
