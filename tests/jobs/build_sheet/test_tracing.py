import pytest

from jobs.build_sheet.design import design_of
from jobs.build_sheet.tracing import LOAD_TEST, path_of, place_of
from jobs.electrical.case import Case
from jobs.models import Circuit, ModeDuty, Node, OperatingMode
from tests.factories import make_line, make_wired_job

pytestmark = pytest.mark.django_db


def path(job):
    return path_of(Case(design_of(job)), Circuit.objects.get(job=job))


def readings(found, key):
    column = [one.key for one in found.conditions].index(key)
    return [point.readings[column].words for point in found.points]


@pytest.fixture
def job():
    job = make_wired_job(colour="pink")
    mode = OperatingMode.objects.create(job=job, key="respond", name="Respond", source="idle")
    ModeDuty.objects.create(mode=mode, circuit=job.circuits.get())
    OperatingMode.objects.create(job=job, key="parked", name="Parked", source="battery", position=1)
    return job


def test_path_goes_from_the_battery_through_both_devices_to_the_load(job):
    points = path(job).points
    assert [point.short for point in points] == [
        "Supply", "Feed device", "Panel", "Circuit device", "Load",
    ]  # fmt: skip
    assert points[1].device == "50 A, breaker, manual reset (type III)"
    assert points[1].place == "7.87 in of conductor from the supply"
    assert (points[2].place, points[2].conductor) == ("Left rear panel", "6 AWG, 16 ft")
    assert points[4].conductor == "12 AWG pink, 10 ft"
    assert points[4].label == "A-01 L01"


def test_path_predicts_the_voltage_of_each_mode_and_of_the_load_test(job):
    found = path(job)
    assert readings(found, "respond")[0] == "13.20 V"
    supply, _, panel, _, load = [point.readings[0].volts for point in found.points]
    assert supply > panel > load
    # 13.8 V less 0.35 V, the same as the check of the load test expects.
    assert readings(found, LOAD_TEST)[0] == "13.80 V"
    assert readings(found, LOAD_TEST)[-1] == "13.45 V"


def test_path_of_a_switched_circuit_says_off_behind_its_channel(job):
    node = Node.objects.create(job=job, ref="N1", feed=job.feeds.get(), place="Behind the console")
    Circuit.objects.update(node=node, channel="4")
    found = path(job)
    assert found.points[3].name == "Node N1, channel 4"
    assert found.points[3].place == "Behind the console"
    assert readings(found, "parked") == ["13.20 V", "13.20 V", "13.20 V", "off", "off"]
    assert found.levels(found.conditions[1]) == []


def test_path_of_a_circuit_without_a_switch_keeps_its_voltage_when_nothing_runs(job):
    assert readings(path(job), "parked")[-1] == "13.20 V"


def test_path_with_missing_data_says_not_known(job):
    Circuit.objects.update(length_mm=None)
    found = path(job)
    assert readings(found, "respond")[-1] == "not known"
    assert found.points[-1].conductor == "12 AWG pink, no length"
    assert found.levels(found.conditions[0]) == []


def test_path_without_a_calculation_still_shows_the_places(job):
    found = path_of(None, Circuit.objects.get(job=job))
    assert found.points[2].place == "Left rear panel"
    assert {reading.words for point in found.points for reading in point.readings} == {"not known"}
    assert found.may_lose_v is None


def test_path_of_a_circuit_on_the_feeds_own_wire_has_no_panel(job):
    Circuit.objects.update(whole_feed=True)
    assert [point.short for point in path(job).points] == ["Supply", "Feed device", "Load"]


def test_path_of_a_circuit_without_loads_ends_at_its_designation(job):
    Circuit.objects.get().loads.all().delete()
    assert path(job).points[-1].name == "Grille heads"


def test_levels_feed_the_picture_from_supply_to_load(job):
    found = path(job)
    volts = [level.volts for level in found.levels(found.conditions[0])]
    assert volts == sorted(volts, reverse=True)
    assert found.may_lose_v == pytest.approx(13.2 * 0.1)


def test_place_of_does_not_say_the_zone_twice(job):
    line = make_line(job=job, ref="L09", zone="roof", access="Roof, leading edge")
    assert place_of(line) == "Roof, leading edge"
    line.access = "behind the trim"
    assert place_of(line) == "Roof, behind the trim"
