import pytest

from jobs.build_sheet.diagrams import feed_parts, single_line
from jobs.build_sheet.review import review
from jobs.models import Circuit, Node
from tests.factories import make_job, make_wired_job

pytestmark = pytest.mark.django_db


def test_feed_parts_say_what_the_schedule_says():
    job = make_wired_job(colour="pink")
    (feed,) = feed_parts(job, review(job))
    assert (feed.ref, feed.device, feed.wire, feed.length) == ("A", "50 A", "6 AWG", "16 ft")
    assert feed.supply.detail == "13.2 V, 95 Ah"
    (circuit,) = feed.circuits
    assert (circuit.wire, circuit.colour, circuit.under_wire) == ("12 AWG", "pink", "pink 10 ft")
    assert circuit.current == "3.6 A average, 7.2 A peak"
    assert circuit.loads == "4 × L01"


def test_feed_parts_say_what_is_missing_and_never_that_it_passes():
    job = make_wired_job(awg="", device_ma=None, length_mm=None)
    job.lines.get().part.draws.all().delete()
    ((circuit,),) = [feed.circuits for feed in feed_parts(job, review(job))]
    assert (circuit.device, circuit.wire, circuit.length) == ("no rating", "no size", "no length")
    assert circuit.current == "not known average, not known peak"
    assert circuit.state != "pass"


def test_feed_parts_name_the_node_and_channel_of_a_circuit():
    job = make_wired_job()
    node = Node.objects.create(job=job, ref="N1", feed=job.feeds.get(), place="Behind the console")
    Circuit.objects.update(node=node, channel="4")
    ((circuit,),) = [feed.circuits for feed in feed_parts(job, review(job))]
    assert (circuit.node, circuit.slot) == ("N1", "4")


def test_single_line_of_an_empty_job_is_empty():
    job = make_job()
    assert single_line(job, review(job)) == ([], [])


def test_single_line_draws_the_overview_and_each_feed():
    job = make_wired_job()
    overview, ((feed, sheets),) = single_line(job, review(job))
    assert len(overview) == len(sheets) == 1
    assert sheets[0].title == "Single line of feed A: Warning"
    assert feed.ref == "A"
