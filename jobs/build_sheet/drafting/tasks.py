"""Background work on control logic. Messages carry no ids: the worker looks at the table."""

from celery import shared_task

from jobs.background.bell import ring
from jobs.build_sheet.drafting.working_out import DRAIN, drain, waiting
from jobs.build_sheet.models import LogicWork


@shared_task(name=DRAIN, ignore_result=True)
def drain_logic() -> None:
    """Work on one waiting answer; ring again when more is left."""
    drain()


@shared_task(name="jobs.sweep_logic", ignore_result=True)
def sweep_logic() -> None:
    """Ring when work waits: for a bell nobody heard, or a worker that died."""
    if LogicWork.objects.filter(waiting()).exists():
        ring(DRAIN)
