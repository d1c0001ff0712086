"""Background work on e-mail. Messages carry no ids: the worker looks at the table."""

from celery import shared_task

from jobs.background.bell import ring
from jobs.notices.models import Notice
from jobs.notices.post import DRAIN, claim_notice, deliver, forget_links, waiting

PER_CALL = 5


@shared_task(name=DRAIN, ignore_result=True)
def drain_notices() -> None:
    """Send some e-mail that waits; ring again when more is left."""
    for _ in range(PER_CALL):
        notice = claim_notice()
        if notice is None:
            return
        deliver(notice)
    sweep_notices()


@shared_task(name="jobs.sweep_notices", ignore_result=True)
def sweep_notices() -> None:
    """Ring when e-mail waits: its next try has come, or nobody heard the bell."""
    if Notice.objects.filter(waiting()).exists():
        ring(DRAIN)
    forget_links()
