"""What was kept on release stays, whatever the job's design becomes for further units."""

import pytest

from inspections.as_built.current import AsBuilt
from inspections.as_built.snapshot import keep_as_released, released
from inspections.handover.contents import gather
from inspections.models import AsReleased
from inspections.service.actions import change_as_built, open_case
from inspections.service.search import find
from jobs.models import BuildLine, Circuit, Feed, Unit
from tests.factories import VIN, make_line, make_unit, make_wired_job
from tests.inspections.handover.test_actions import released as with_release

pytestmark = pytest.mark.django_db


@pytest.fixture
def unit(shop):
    unit = make_unit(job=make_wired_job(), number="SR-4", vin=VIN)
    keep_as_released(unit)
    return unit


def test_before_release_the_design_is_shown_as_it_stands(shop):
    unit = make_unit(job=make_wired_job(), number="SR-5")
    assert released(unit) is None
    assert AsBuilt(unit).words == "Not released yet: the design as it stands today"
    Circuit.objects.update(awg="16")
    assert AsBuilt(unit).circuit("A-01").awg == "16"


def test_later_changes_of_the_design_do_not_reach_a_released_vehicle(unit):
    before = AsBuilt(unit)
    volts = before.case
    Circuit.objects.update(awg="16", designation="Other heads")
    Feed.objects.update(panel_place="Elsewhere")
    BuildLine.objects.update(access="Moved")
    Circuit.objects.create(
        job=unit.job,
        feed=Feed.objects.get(),
        ref="A-02",
        designation="New",
        device_kind="fuse_blade",
    )
    now = AsBuilt(Unit.objects.get(pk=unit.pk))
    (circuit,) = now.circuits
    assert (circuit.awg, circuit.designation) == ("12", "Grille heads")
    assert circuit.feed.panel_place == "Left rear panel"
    assert circuit.feed.supply.name == "Main battery"
    (load,) = circuit.loads.all()
    assert (load.quantity, load.line.access) == (4, "")
    assert load.line.part.part.code
    assert now.case.design == volts.design
    assert [hit.circuit.ref for hit in find(now, "grille")] == ["A-01"]
    assert find(now, "new") == []


def test_a_circuit_that_the_design_lost_is_still_on_the_vehicle(unit):
    Circuit.objects.all().delete()
    (circuit,) = AsBuilt(unit).circuits
    assert circuit.ref == "A-01"
    assert [load.line.part.description for load in circuit.loads.all()]


def test_recorded_deviations_lie_over_what_was_kept(unit, technician):
    case = open_case(unit=unit, by=technician, symptom="Dim", on="2026-01-02")
    circuit = unit.job.circuits.get()
    change_as_built(
        case=case, circuit=circuit, what="awg", value="16", reason="Damaged", by=technician
    )
    Circuit.objects.update(awg="8")
    now = AsBuilt(unit)
    assert now.circuit("A-01").awg == "16"
    assert now.changes[0].before == "12"  # what was on the vehicle, not what the design says now


def test_the_revision_is_named_in_words(unit, inspector, technician):
    unit = with_release(unit, inspector)
    assert AsBuilt(unit).words.startswith("As released ")
    case = open_case(unit=unit, by=technician, symptom="Dim", on="2026-01-02")
    change = {"what": "colour", "value": "red", "reason": "R", "by": technician}
    change_as_built(case=case, circuit=unit.job.circuits.get(), **change)
    words = AsBuilt(unit).words
    assert words.startswith("As-built revision 1 of ")
    assert words.endswith(", with what changed since")


def test_release_keeps_the_wiring(unit):
    make_line(job=unit.job, ref="L77")
    other = make_unit(job=unit.job, number="SR-9")
    keep_as_released(other)
    kept = AsReleased.objects.get(unit=other)
    assert "L77" in str(kept.data["rows"])
    assert kept.data["design"]["circuits"][0]["ref"] == "A-01"


def test_a_later_packet_of_a_released_vehicle_does_not_follow_the_design(unit):
    before = AsBuilt(unit).review()
    Circuit.objects.update(awg="16", designation="Other heads")
    Feed.objects.update(name="Other feed")
    after = AsBuilt(unit).review()
    assert after.design == before.design
    assert [row.item.designation for row in after.circuits] == ["Grille heads"]
    assert [row.item.name for row in after.feeds] == ["Warning"]
    assert after.circuits[0].path_drop_v == before.circuits[0].path_drop_v
    printed = str(gather(unit, revision=2).sections)
    assert "Grille heads" in printed
    assert "Other feed" not in printed
