import json

import pytest
from django.urls import reverse

from catalog.sheets import read_workbook
from tests.factories import make_wired_job

pytestmark = pytest.mark.django_db


def test_build_export_gives_json_and_a_workbook(client, technician):
    job = make_wired_job()
    client.force_login(technician)
    text = client.get(reverse("jobs:build_export", args=[job.number, "json"]))
    assert json.loads(text.content)["circuits"][0]["length_ft"] == 10
    book = client.get(reverse("jobs:build_export", args=[job.number, "xlsx"]))
    assert f'filename="{job.number}-build.xlsx"' in book["Content-Disposition"]
    rows = read_workbook("b", book.content)["circuits"]
    assert dict(zip(*rows, strict=True))["length_ft"] == "10"


def test_build_export_knows_no_other_ending(client, technician):
    client.force_login(technician)
    job = make_wired_job()
    assert client.get(reverse("jobs:build_export", args=[job.number, "exe"])).status_code == 404
    assert client.post(reverse("jobs:build_export", args=[job.number, "json"])).status_code == 405
