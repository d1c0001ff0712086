import pytest
from django.urls import reverse

from jobs.models import Serial
from tests.factories import (
    VIN,
    make_furnished_item,
    make_job,
    make_line,
    make_part,
    make_unit,
)

pytestmark = pytest.mark.django_db


def titles(client, text):
    page = client.get(reverse("jobs:search"), {"q": text})
    return {group.title: [row.name for row in group.rows] for group in page.context["groups"]}


def test_jobs_vins_parts_and_serials_are_found(client, technician):
    job = make_job(title="Shore rescue van")
    unit = make_unit(job=job, number="SR-77", vin=VIN)
    line = make_line(job=job, part=make_part(code="MAST-9", description="Telescoping mast"))
    Serial.objects.create(unit=unit, line=line, serial="SN-4711")
    make_furnished_item(job=job, serial="RT-4711")
    client.force_login(technician)
    assert titles(client, "shore")["Jobs"] == [job.number]
    assert titles(client, VIN[-6:])["Units and VINs"] == ["SR-77"]
    assert titles(client, "4711")["Serial numbers"] == ["SN-4711", "RT-4711"]
    assert titles(client, "mast")["Parts"] == ["MAST-9"]


def test_the_page_says_what_to_type(client, technician):
    client.force_login(technician)
    for text, says in (("", "Type a job"), ("a", "at least two"), ("zzzz", "Nothing fits")):
        page = client.get(reverse("jobs:search"), {"q": text}).content.decode()
        assert says in page
    assert client.get(reverse("jobs:search"), {"q": "x" * 200}).status_code == 422
