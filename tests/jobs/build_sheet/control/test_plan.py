"""Heads and outputs on the zone plan: where their loads are."""

import pytest

from jobs.build_sheet.control.address import read
from jobs.build_sheet.control.plan import CONTROL_HEAD, places_of, plan_of
from jobs.build_sheet.control.simulation import play
from jobs.controls.codec import from_json
from jobs.models import Circuit, CircuitLoad, Node
from tests.factories import make_wired_job
from tests.jobs.controls.small import small_data

pytestmark = pytest.mark.django_db


@pytest.fixture
def job():
    job = make_wired_job()
    circuit = Circuit.objects.get()
    node = Node.objects.create(job=job, ref="N1", feed=circuit.feed, place="Behind the console")
    Circuit.objects.update(node=node, channel="1")
    job.lines.update(x_mm=2000, y_mm=-300)
    assert CircuitLoad.objects.exists()
    return job


def logic_with(place="N1.1"):
    data = small_data()
    channel = {"name": "1", "limit_ma": 10_000}
    data["nodes"] = [{"name": "N1", "label": "front node", "channels": [channel]}]
    data["wires"] = [{"name": "MAST", "place": place}]
    return from_json(data)


def test_an_output_lies_where_the_load_on_its_channel_is(job):
    assert places_of(job, logic_with()) == {"MAST": (2000.0, -300.0)}


def test_a_channel_without_a_circuit_has_no_place(job):
    Circuit.objects.update(channel="2")
    assert places_of(job, logic_with()) == {}


def test_what_is_on_without_a_place_is_listed_and_alarms_are_at_the_control_head(job):
    Circuit.objects.update(channel="2")
    logic = logic_with()
    shown = play(logic, read(logic, {"at": "UP:on"}))
    picture, unplaced = plan_of(job, logic, shown)
    assert [row.name for row in unplaced] == ["MAST"]
    assert "Mast alarm: off" in [text.words for text in picture.texts]
    assert "0 of 0 lamp heads lit" in picture.words
    assert CONTROL_HEAD[0] > 0


def test_the_drawing_says_what_is_on(job):
    logic = logic_with()
    picture, unplaced = plan_of(job, logic, play(logic, read(logic, {"at": "UP:on"})))
    assert unplaced == []
    assert "Mast up: on" in [text.words for text in picture.texts]


def test_places_are_read_in_one_query(job, django_assert_num_queries):
    with django_assert_num_queries(1):
        places_of(job, logic_with())
