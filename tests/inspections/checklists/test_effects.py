import pytest
from django.utils import timezone

from inspections.checklists.generate import generate_checks
from inspections.models import Release
from jobs.changes.actions import apply_change, set_edits
from jobs.models import ChangeOrder
from jobs.quoting.changes import draft_change
from jobs.quoting.errors import QuoteError
from tests.factories import make_approved_quote, make_unit, make_working_unit

pytestmark = pytest.mark.django_db
MORE = [{"op": "quantity", "ref": "L01", "from": 4, "to": 6}]


@pytest.fixture
def released(manager, inspector):
    unit = make_working_unit(by=manager)
    make_approved_quote(by=manager, job=unit.job, tax="none")
    generate_checks(unit=unit, by=manager)
    Release.objects.create(
        unit=unit, released_by=inspector, released_at=timezone.now(), chain_sequence=0,
        chain_head="", statement="",
    )  # fmt: skip
    return unit


@pytest.fixture
def change(released, manager):
    change = draft_change(job=released.job, title="Two more", reason="customer", by=manager)
    set_edits(change=change, version=change.version, edits=MORE, by=manager)
    ChangeOrder.objects.filter(pk=change.pk).update(state="approved")
    change.refresh_from_db()
    return change


def test_a_change_after_the_last_release_is_refused_whole(released, change, manager):
    with pytest.raises(QuoteError, match="Every unit of the job is released"):
        apply_change(change=change, by=manager)
    assert released.job.lines.get(ref="L01").quantity == 4
    change.refresh_from_db()
    assert change.applied_at is None


def test_a_change_goes_to_the_units_still_in_the_shop(released, change, manager):
    before = list(released.checks.values_list("key", "expected_text"))
    make_unit(job=released.job, number="SR-9")
    apply_change(change=change, by=manager)
    assert released.job.lines.get(ref="L01").quantity == 6
    assert list(released.checks.values_list("key", "expected_text")) == before
