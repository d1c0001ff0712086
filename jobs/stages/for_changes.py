"""What change orders mean for work on a stage: some keep it waiting, hours go only to approved."""

from jobs.quoting.models import ChangeOrder
from jobs.stages.models import Stage

State = ChangeOrder.State


def _of_job(stage: Stage, *states: str) -> list[ChangeOrder]:
    return list(ChangeOrder.objects.filter(job_id=stage.unit.job_id, state__in=states))


def changes_to_work_on(stage: Stage) -> list[ChangeOrder]:
    """Changes of the job that are approved, or wait for it; the others are of no use in the bay."""
    return _of_job(stage, State.DRAFT, State.OFFERED, State.APPROVED)


def waiting_for_answers(stage: Stage) -> list[str]:
    """Changes that the stage waits for, each as a sentence."""
    return [
        f"{change} is not approved: {change.title}."
        for change in _of_job(stage, State.DRAFT, State.OFFERED)
        if stage.code in change.holds_stages
    ]


def why_no_hours(change: ChangeOrder) -> str:
    """Why no hours can be booked for a change; empty when they can. Whatever it costs."""
    change.refresh_from_db()
    if change.state == State.APPROVED:
        return ""
    return (
        f"{change} is “{change.get_state_display().lower()}”; hours can be booked for it once "
        "it is approved."
    )
