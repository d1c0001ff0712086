import pytest
from pytest_django.asserts import assertNumQueries

from catalog.models import Ownership
from jobs.build_sheet.design import design_of
from jobs.electrical.design import Owner
from tests.factories import make_job, make_part, make_unit, make_wired_job

pytestmark = pytest.mark.django_db


def test_design_of_turns_stored_units_into_si():
    design = design_of(make_wired_job())
    (circuit,) = design.circuits
    assert circuit.device_a == 10.0
    assert circuit.length_m == pytest.approx(3.048)
    assert design.feeds[0].source_distance_m == pytest.approx(0.2)
    assert design.supplies[0].nominal_v == 13.2


def test_design_of_takes_currents_per_piece_and_quantity_apart():
    (load,) = design_of(make_wired_job()).circuits[0].loads
    assert (load.quantity, load.average_a, load.peak_a) == (4, 0.9, 1.8)


def test_design_of_takes_the_worst_colour_of_a_function():
    job = make_wired_job()
    part = make_part(
        draws=[
            {"average_ma": 900, "peak_ma": 1_800, "colour": "red"},
            {"average_ma": 1_100, "peak_ma": 1_500, "colour": "white"},
        ]
    )
    job.lines.update(part=part.current)
    (load,) = design_of(job).circuits[0].loads
    assert (load.average_a, load.peak_a) == (1.1, 1.8)


def test_design_of_takes_no_known_colour_for_an_unknown_one():
    job = make_wired_job()
    part = make_part(
        draws=[
            {"average_ma": 900, "peak_ma": 1_800, "colour": "red"},
            {"average_ma": None, "peak_ma": None, "colour": "white"},
        ]
    )
    job.lines.update(part=part.current)
    (load,) = design_of(job).circuits[0].loads
    assert (load.average_a, load.peak_a) == (None, None)


def test_design_of_takes_the_load_model_that_is_hardest_on_the_supply():
    job = make_wired_job()
    part = make_part(
        draws=[
            {"average_ma": 900, "peak_ma": 1_800, "colour": "red", "load_model": "resistance"},
            {"average_ma": 900, "peak_ma": 1_800, "colour": "white", "load_model": "power"},
        ]
    )
    job.lines.update(part=part.current)
    (load,) = design_of(job).circuits[0].loads
    assert load.model == "power"


def test_design_of_keeps_missing_ratings_missing():
    job = make_wired_job(device_ma=None, length_mm=None, awg="")
    (circuit,) = design_of(job).circuits
    assert (circuit.device_a, circuit.length_m, circuit.awg) == (None, None, None)


def test_design_of_reads_the_ratings_of_the_unit():
    job = make_wired_job()
    unit = make_unit(job=job, alternator_hot_idle_ma=120_000, keyoff_baseline_ua=28_000)
    ratings = design_of(job, unit=unit).unit
    assert ratings.alternator_hot_idle_a == 120.0
    assert ratings.keyoff_baseline_a == pytest.approx(0.028)


def test_design_of_an_empty_job_is_empty():
    assert design_of(make_job()).circuits == ()


def test_design_of_asks_as_many_queries_for_many_circuits_as_for_one():
    job = make_wired_job()
    feed = job.feeds.get()
    first = job.circuits.get()
    for number in range(2, 40):
        first.pk, first.ref, first.feed = None, f"A-{number:02d}", feed
        first.save()
    with assertNumQueries(18):
        assert len(design_of(job).circuits) == 39


def test_design_of_says_who_brings_each_load():
    job = make_wired_job()
    for value in Ownership.values:
        job.lines.update(ownership=value)
        [load] = design_of(job).circuits[0].loads
        assert load.owner is Owner(value)
    job.lines.update(ownership="")
    assert design_of(job).circuits[0].loads[0].owner is None
