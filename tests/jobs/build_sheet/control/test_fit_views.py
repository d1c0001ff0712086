"""Outputs on channels, inputs on pins, and the exported table."""

import csv
import io
import json

import pytest
from django.urls import reverse

from tests.factories import make_job
from tests.jobs.build_sheet.control.rows import keep, keep_demo
from tests.jobs.controls.small import small_data

pytestmark = pytest.mark.django_db


def url(name, kept, *more):
    return reverse(f"jobs:{name}", args=[kept.job.number, kept.version, *more])


def with_node(load_ma=5000, **node):
    data = small_data()
    data["outputs"][0] |= {"load_ma": load_ma}
    channels = [{"name": "1", "limit_ma": 10_000}, {"name": "2", "limit_ma": 10_000}]
    data["nodes"] = [
        {"name": "N1", "label": "front node", "channels": channels, "inputs": ["I1", "I2"]} | node
    ]
    data["wires"] = [{"name": "MAST", "place": "N1.1"}, {"name": "PB", "place": "N1.I1"}]
    return data


def test_the_page_shows_channels_pins_and_what_is_spare(client, technician):
    client.force_login(technician)
    page = client.get(url("logic_fit", keep(with_node()))).content.decode()
    assert "1 of 2" in page and "spare" in page
    assert "unknown, noticed" in page  # the park brake's wire is monitored
    assert "Siren has no channel." in page
    assert "Stowed contact has no input pin." in page


def test_a_load_above_its_channel_is_a_misfit(client, technician):
    client.force_login(technician)
    page = client.get(url("logic_fit", keep(with_node(load_ma=8500)))).content.decode()
    assert "Misfit" in page and "8.5 A, at most 8 A" in page


def test_the_demo_fits(client, technician):
    client.force_login(technician)
    page = client.get(url("logic_fit", keep_demo())).content.decode()
    assert "Every output has a channel within its limits" in page and "Misfit" not in page


def test_both_files_carry_version_and_digest_and_the_same_rows(client, technician):
    kept = keep_demo()
    client.force_login(technician)
    sheet = client.get(url("logic_table", kept, "csv"))
    rows = list(csv.reader(io.StringIO(sheet.content.decode("utf-8-sig"))))
    data = json.loads(client.get(url("logic_table", kept, "json")).content)
    assert rows[0] == ["version", "1.3", "sha256", kept.sha256]
    assert (data["version"], data["sha256"]) == ("1.3", kept.sha256)
    assert [dict(zip(rows[1], row, strict=True)) for row in rows[2:]] == [
        {key: str(value) for key, value in row.items()} for row in data["rows"]
    ]
    assert len(data["rows"]) == len(kept.logic["wires"])
    assert "attachment" in sheet["Content-Disposition"]


def test_a_label_never_runs_in_a_spreadsheet(client, technician):
    data = with_node()
    data["outputs"][0]["label"] = "=1+1"
    client.force_login(technician)
    text = client.get(url("logic_table", keep(data), "csv")).content.decode()
    assert "'=1+1" in text and ",=1+1" not in text


@pytest.mark.parametrize("ending", ["xlsx", "exe", "CSV"])
def test_another_kind_of_file_is_not_found(client, technician, ending):
    client.force_login(technician)
    assert client.get(url("logic_table", keep({}), ending)).status_code == 404


def test_the_table_exists_only_where_there_is_a_version_and_is_only_read(client, technician):
    kept = keep({})
    client.force_login(technician)
    path = reverse("jobs:logic_table", args=[make_job().number, kept.version, "csv"])
    assert client.get(path).status_code == 404
    assert client.post(url("logic_table", kept, "csv")).status_code == 405
