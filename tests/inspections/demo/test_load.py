"""The whole demo, loaded once: every figure that it is known for."""

import pytest
from django.core.management import call_command

from inspections.demo.load import SECOND, load_demo
from inspections.evidence.verify import verify_all
from inspections.models import Defect, Result
from jobs.models import AuditEvent, DesignRevision, Job, Notice, Quote, Unit

pytestmark = [pytest.mark.django_db, pytest.mark.slow]


def test_load_demo_tells_the_job_from_first_call_to_packet():
    job = load_demo()
    unit = Unit.objects.get(job=job)
    assert job.lines.count() == 65
    assert job.circuits.count() == 35
    totals = dict(job.quotes.values_list("revision", "total_cents"))
    assert totals == {"A": 7_254_775, "B": 7_816_151}
    assert job.changes.get().amount_cents == 19_513
    held = {order.number: order.held for order in job.purchase_orders.all()}
    assert held == {"77-3316": False, "77-3316-A": True}
    assert set(unit.checks.values_list("state", flat=True)) == {"pass"}
    assert set(Defect.objects.values_list("state", flat=True)) == {"closed"}
    assert unit.release.released_by.username == "wren"
    assert unit.packets.get().draft is False
    assert verify_all() == []
    assert set(Notice.objects.values_list("state", flat=True)) == {"sent"}
    _design_history_is_kept(job)
    _second_job_is_in_the_shop()
    _again_adds_nothing()


def _design_history_is_kept(job: Job) -> None:
    first, second = job.design_revisions.order_by("number")
    assert _drop_of_a02(first) == ("fail", 12.2)
    assert _drop_of_a02(second) == ("pass", 9.2)
    assert second.released_by == "Ari Stroud"


def _drop_of_a02(revision: DesignRevision) -> tuple[str, float]:
    wanted = ("voltage_drop", "A-02")
    found = next(f for f in revision.findings if (f["rule"], f["subject"]) == wanted)
    return found["severity"], round(found["measured"], 1)


def _second_job_is_in_the_shop() -> None:
    second = Job.objects.get(number=SECOND)
    assert second.state == "building"
    assert second.quotes.get().state == Quote.State.APPROVED


def _again_adds_nothing() -> None:
    before = (Job.objects.count(), Result.objects.count(), AuditEvent.objects.count())
    call_command("demo", verbosity=0)
    assert (Job.objects.count(), Result.objects.count(), AuditEvent.objects.count()) == before
