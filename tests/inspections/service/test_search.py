import pytest

from inspections.as_built.current import AsBuilt
from inspections.service.actions import open_case
from inspections.service.search import find
from jobs.models import Circuit, CircuitLoad
from tests.factories import make_line, make_part, make_unit, make_wired_job

pytestmark = pytest.mark.django_db


@pytest.fixture
def unit(shop):
    job = make_wired_job()
    siren = make_line(
        job=job, ref="L15", part=make_part(kind="audio", description="Siren amplifier")
    )
    circuit = Circuit.objects.create(
        job=job, feed=job.feeds.get(), ref="A-09", designation="Siren amp", label="W-417",
        device_kind="fuse_blade", device_ma=25_000, awg="10", length_mm=2000,
    )  # fmt: skip
    CircuitLoad.objects.create(circuit=circuit, line=siren)
    return make_unit(job=job)


def refs(unit, typed):
    return [hit.circuit.ref for hit in find(AsBuilt(unit), typed)]


@pytest.mark.parametrize(
    ("typed", "first"),
    [
        ("siren", "A-09"),
        ("W-417", "A-09"),
        ("w417", "A-09"),
        ("a 09", "A-09"),
        ("L15", "A-09"),
        ("no sound from the horn", "A-09"),
        ("amplifier dead", "A-09"),
        ("grille", "A-01"),
        ("front lights not flashing", "A-01"),
        ("A01", "A-01"),
    ],
)
def test_find_leads_from_load_wire_number_or_symptom_to_the_circuit(unit, typed, first):
    assert refs(unit, typed)[0] == first


def test_find_without_words_is_everything_and_with_strange_ones_nothing(unit):
    assert refs(unit, "") == ["A-01", "A-09"]
    assert refs(unit, "zeppelin") == []
    assert refs(unit, "\0<script>") == []


def test_find_learns_from_earlier_visits(unit, technician):
    assert refs(unit, "gurgling") == []
    open_case(
        unit=unit, by=technician, symptom="Gurgling noise", on="2026-01-02",
        circuit=unit.job.circuits.get(ref="A-09"),
    )  # fmt: skip
    assert refs(unit, "gurgling") == ["A-09"]
