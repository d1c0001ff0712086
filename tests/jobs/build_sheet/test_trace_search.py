import pytest

from jobs.build_sheet.trace_search import search
from jobs.models import Node
from tests.factories import make_job, make_line, make_wired_job

pytestmark = pytest.mark.django_db


def found(job, typed):
    return [(hit.kind, hit.ref) for hit in search(job, typed)]


@pytest.fixture
def job():
    job = make_wired_job(label="W-17")
    make_line(job=job, ref="L77")
    Node.objects.create(job=job, ref="N1", feed=job.feeds.get(), place="Behind the console")
    return job


def test_search_for_nothing_lists_everything_that_carries_current(job):
    assert found(job, "") == [
        ("circuit", "A-01"), ("load", "L01"), ("feed", "A"), ("node", "N1"), ("supply", "MAIN"),
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("typed", "first"),
    [
        ("a-01", ("circuit", "A-01")), ("GRILLE head", ("circuit", "A-01")),
        ("w-17", ("circuit", "A-01")), ("l01 front", ("load", "L01")),
        ("console", ("node", "N1")), ("left rear", ("feed", "A")), ("main battery", ("feed", "A")),
        ("supply main", ("supply", "MAIN")),
    ],
)  # fmt: skip
def test_search_finds_by_reference_designation_label_part_and_place(job, typed, first):
    assert found(job, typed)[0] == first


def test_search_wants_every_word(job):
    assert found(job, "grille console") == []


def test_search_of_an_empty_job_finds_nothing():
    assert found(make_job(), "") == []
