from datetime import date

import pytest

from inspections.as_built.current import AsBuilt, ChangeError
from inspections.models import Acceptance, Packet
from inspections.service.actions import (
    ServiceError,
    change_as_built,
    close_case,
    cover_of,
    open_case,
    swap_part,
    write_case,
)
from jobs.models import AuditEvent, Serial
from tests.factories import make_unit, make_wired_job
from tests.papers import ask

pytestmark = pytest.mark.django_db


@pytest.fixture
def case(shop, technician):
    unit = make_unit(job=make_wired_job(), number="SR-4")
    Serial.objects.create(unit=unit, line=unit.job.lines.get(), serial="GR-1")
    return open_case(unit=unit, by=technician, symptom="Heads stay dark", on=date(2026, 3, 1))


def line(case):
    return case.unit.job.lines.get()


def test_cases_are_counted_by_unit(case, technician):
    second = open_case(unit=case.unit, by=technician, symptom="Again", on=date(2026, 3, 2))
    assert (case.number, second.number) == (1, 2)


def test_swap_part_moves_the_serial_number_and_the_as_built_revision(case, technician):
    swap_part(case=case, line=line(case), serial_out="GR-1", serial_in="GR-2", by=technician)
    assert [row.serial for row in case.unit.serials.all()] == ["GR-2"]
    built = AsBuilt(case.unit)
    assert built.number == 1
    change = built.changes_of("L01")[0]
    assert (change.was, change.now) == ("GR-1", "GR-2")


def test_history_says_a_swap_in_words(case, technician):
    line = case.unit.job.lines.first()
    Serial.objects.create(unit=case.unit, line=line, serial="SA-1")
    swap_part(case=case, line=line, serial_out="SA-1", serial_in="SA-2", by=technician)
    told = AuditEvent.objects.get(sentence__startswith="As-built revision").sentence
    assert f"{line.ref}: serial number was SA-1, now SA-2." in told


def test_swap_part_of_a_serial_number_that_is_not_fitted_changes_nothing(case, technician):
    with pytest.raises(ServiceError, match="GR-9 is not on L01 of SR-4; on record there: GR-1"):
        swap_part(case=case, line=line(case), serial_out="GR-9", serial_in="X", by=technician)
    assert case.swaps.count() == 0
    assert [row.serial for row in case.unit.serials.all()] == ["GR-1"]


@pytest.mark.parametrize(
    ("what", "value", "words"),
    [
        ("device", "0", "above 0 and at most 600 A"),
        ("device", "NaN", "above 0"),
        ("device", "ten", "must be a number of A"),
        ("length", "301", "at most 300 ft"),
        ("awg", "7½", "it must be one of"),
        ("label", "x" * 21, "21 letters; at most 20"),
        ("device", "10", "has 10 there already"),
    ],
)
def test_change_as_built_names_value_and_limit(case, technician, what, value, words):
    circuit = case.unit.job.circuits.get()
    with pytest.raises(ChangeError, match=words):
        change_as_built(
            case=case, circuit=circuit, what=what, value=value, reason="R", by=technician
        )
    assert case.unit.as_built_revisions.count() == 0


def test_write_case_over_somebody_elses_text_is_refused(case, technician):
    write_case(case=case, version=0, values={"found": "Fuse open"}, by=technician)
    with pytest.raises(ServiceError, match="changed or closed by somebody else"):
        write_case(case=case, version=0, values={"found": "Other"}, by=technician)
    case.refresh_from_db()
    assert case.found == "Fuse open"


def test_close_case_wants_found_done_and_cause_and_closes_once(case, technician):
    with pytest.raises(ServiceError, match="write down found, done, cause first"):
        close_case(case=case, by=technician)
    values = {"found": "F", "done": "D", "cause": "wear"}
    write_case(case=case, version=0, values=values, by=technician)
    assert close_case(case=case, by=technician).closed_by == "Tess Cedar"
    with pytest.raises(ServiceError, match="is closed"):
        close_case(case=case, by=technician)
    with pytest.raises(ServiceError, match="is closed; open a new one"):
        swap_part(case=case, line=line(case), by=technician)


def test_every_step_is_in_the_history(case, technician):
    swap_part(case=case, line=line(case), serial_out="GR-1", by=technician)
    told = AuditEvent.objects.filter(job=case.unit.job.number).values_list("sentence", flat=True)
    assert any("Case 1 of SR-4: Heads stay dark" in words for words in told)
    assert any("GR-1 out" in words for words in told)


@pytest.mark.parametrize(
    ("visit", "covered"), [(date(2027, 2, 28), True), (date(2027, 3, 1), False)]
)
def test_cover_of_counts_months_from_acceptance(case, visit, covered):
    part = line(case)
    part.part.warranty_months = 12
    packet = Packet.objects.create(
        unit=case.unit, revision=1, draft=False, data_sha256="0" * 64, document=ask(), made_by="M"
    )
    Acceptance.objects.create(
        unit=case.unit, packet=packet, answer="accepted", name="E", packet_sha256="0" * 64,
        at="2026-02-28T12:00Z",
    )  # fmt: skip
    case.on = visit
    assert cover_of(case, part) == (covered, date(2027, 2, 28))


def test_cover_of_before_acceptance_is_not_known(case):
    assert cover_of(case, line(case)) == (None, None)
