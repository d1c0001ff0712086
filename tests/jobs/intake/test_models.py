import pytest
from django.db import IntegrityError

from tests.factories import make_job, make_requirement, make_unit


def test_requirement_that_is_confirmed_names_who_and_when(db):
    with pytest.raises(IntegrityError, match="settled_by_and_on"):
        make_requirement(status="confirmed", settled_by="")


def test_unit_number_is_unique_within_its_job_only(db):
    unit = make_unit(number="SR-4")
    make_unit(number="SR-4")
    with pytest.raises(IntegrityError):
        make_unit(job=unit.job, number="SR-4")


def test_requirement_numbers_count_up_within_a_job(db):
    job = make_job()
    assert [make_requirement(job=job).number for _ in range(3)] == [1, 2, 3]
