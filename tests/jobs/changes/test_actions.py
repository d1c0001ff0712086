import pytest

from inspections.checklists.generate import generate_checks
from inspections.models import Check
from jobs.changes.actions import apply_change, raise_change, set_edits
from jobs.models import AuditEvent, ChangeOrder, ChangeWork, Stage
from jobs.quoting.changes import decide_change, draft_change, offer_change
from jobs.quoting.errors import QuoteError, StaleError
from jobs.stages.actions import StageError, blockers, start_work
from tests.factories import make_approved_quote, make_working_unit

pytestmark = pytest.mark.django_db
MORE = [{"op": "quantity", "ref": "L01", "from": 4, "to": 6}]


@pytest.fixture
def unit(manager):
    unit = make_working_unit(by=manager)
    make_approved_quote(by=manager, job=unit.job, tax="none")
    return unit


@pytest.fixture
def change(unit, manager):
    return draft_change(job=unit.job, title="Two more heads", reason="customer", by=manager)


def approve(change, by):
    change.refresh_from_db()
    offer_change(change=change, version=change.version, by=by)
    decide_change(change=change, answer="approved", name="Edda Quill", digest=change.digest)
    change.refresh_from_db()


def test_the_price_follows_from_the_build_sheet(change, manager):
    set_edits(change=change, version=change.version, edits=MORE, by=manager)
    change.refresh_from_db()
    kinds = [(line["kind"], line["quantity"]) for line in change.lines]
    assert kinds[0] == ("part", "2.00")
    assert change.amount_cents == 2 * 14_800 + 17_700 + 888
    assert "Labour +1.50 h." in change.effect["sentences"]


def test_of_two_editors_the_second_is_told(change, manager):
    set_edits(change=change, version=change.version, edits=MORE, by=manager)
    with pytest.raises(StaleError):
        set_edits(change=change, version=0, edits=[], by=manager)
    change.refresh_from_db()
    assert change.edits == MORE


def test_an_unapproved_change_cannot_be_applied_nor_worked_on(unit, change, manager, technician):
    set_edits(change=change, version=change.version, edits=MORE, by=manager)
    with pytest.raises(QuoteError, match="not approved"):
        apply_change(change=change, by=manager)
    stage = unit.stages.order_by("position").first()
    with pytest.raises(StageError, match="once it is approved"):
        start_work(stage=stage, by=technician, change=change)
    assert not stage.events.exists()


def test_hours_for_an_approved_change_are_its_own(unit, change, manager, technician):
    approve(change, manager)
    event = start_work(stage=unit.stages.order_by("position").first(), by=technician, change=change)
    assert ChangeWork.objects.get(change=change).event == event


def test_approved_edits_go_onto_the_sheet_once_with_stages_and_checks(unit, change, manager):
    generate_checks(unit=unit, by=manager)
    before = {check.key: check.version for check in Check.objects.filter(unit=unit)}
    set_edits(change=change, version=change.version, edits=MORE, by=manager)
    approve(change, manager)
    apply_change(change=change, by=manager)
    line = unit.job.lines.get(ref="L01")
    assert (line.quantity, line.loads.get().quantity) == (6, 6)
    assert Stage.objects.get(unit=unit, code="S6").planned_minutes == 6 * 45
    again = [c.key for c in Check.objects.filter(unit=unit) if c.version > before.get(c.key, 99)]
    assert again
    with pytest.raises(QuoteError, match="already"):
        apply_change(change=change, by=manager)
    assert unit.job.lines.get(ref="L01").quantity == 6


def test_edits_that_no_longer_fit_are_not_half_done(unit, change, manager):
    edits = [*MORE, {"op": "remove", "ref": "L01"}, {"op": "quantity", "ref": "L01", "to": 1}]
    with pytest.raises(QuoteError, match="any more"):
        set_edits(change=change, version=change.version, edits=edits, by=manager)
    change.refresh_from_db()
    assert change.edits == []


def test_a_change_without_cost_is_recorded_too(change, manager):
    approve(change, manager)
    apply_change(change=change, by=manager)
    assert change.amount_cents == 0
    assert AuditEvent.objects.filter(verb="applied", job=change.job.number).exists()


def test_a_change_raised_in_the_bay_may_hold_its_stage(unit, technician):
    stage = unit.stages.order_by("position").first()
    change = raise_change(
        stage=stage, title="Harness chafed", reason="discovery", note="", hold=True, by=technician
    )
    assert change.state == ChangeOrder.State.DRAFT
    assert "Harness chafed" in " ".join(blockers(stage))
    with pytest.raises(StageError, match="CO-01 is not approved"):
        start_work(stage=stage, by=technician)


def test_a_change_whose_effect_moved_on_is_not_offered(change, manager):
    set_edits(change=change, version=change.version, edits=MORE, by=manager)
    change.job.lines.update(quantity=5)
    change.refresh_from_db()
    with pytest.raises(QuoteError, match="moved on"):
        offer_change(change=change, version=change.version, by=manager)
    change.refresh_from_db()
    set_edits(change=change, version=change.version, edits=MORE, by=manager)
    change.refresh_from_db()
    assert offer_change(change=change, version=change.version, by=manager).state == "offered"
