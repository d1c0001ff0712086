import json

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.urls import reverse

from inspections.demo.rows import read
from jobs.models import ControlLogic
from tests.factories import make_job

pytestmark = pytest.mark.django_db


def send(client, job, content, version="1.0"):
    file = SimpleUploadedFile("logic.json", content, content_type="application/json")
    data = {"version": version, "note": "First", "file": file}
    return client.post(reverse("jobs:logic_add", args=[job.number]), data)


def test_logic_list_without_logic_says_what_to_do(client, designer):
    client.force_login(designer)
    page = client.get(reverse("jobs:logic_list", args=[make_job().number])).content.decode()
    assert "No control logic yet" in page


def test_logic_add_keeps_a_version_and_shows_its_proofs(client, designer):
    job = make_job()
    client.force_login(designer)
    response = send(client, job, json.dumps(read("logic_v1_2")).encode())
    page = client.get(response["Location"]).content.decode()
    assert "Refuted" in page
    assert "Mast up only when parked" in page


@pytest.mark.parametrize(
    ("content", "words"),
    [
        (b"", "empty"),
        (b"not json", "is not JSON"),
        (b"\xff\xfe\x00", "is not JSON"),
        (b"[" * 100_000, "is not JSON"),
        (b"{}", "logic"),
        (b'{"version": "1", "title": "\\u0000"}', "is no text"),
        (b'{"version": "1", "title": "\\ud800"}', "is no text"),
        (b"x" * (2 * 1024 * 1024 + 1), "at most 2 MB"),
    ],
)
def test_logic_add_answers_a_bad_file_with_a_sentence(client, designer, content, words):
    client.force_login(designer)
    response = send(client, make_job(), content)
    assert response.status_code in (302, 422)
    if words != "logic":
        assert response.status_code == 422
        assert words in response.content.decode()
        assert not ControlLogic.objects.exists()


def test_logic_add_is_for_designers(client, manager):
    client.force_login(manager)
    assert client.get(reverse("jobs:logic_add", args=[make_job().number])).status_code == 403


def test_logic_detail_of_an_unknown_version_is_not_found(client, designer):
    client.force_login(designer)
    path = reverse("jobs:logic_detail", args=[make_job().number, "9"])
    assert client.get(path).status_code == 404


def test_a_refuted_interlock_leads_to_its_counterexample(client, designer):
    job = make_job()
    client.force_login(designer)
    response = send(client, job, json.dumps(read("logic_v1_2")).encode())
    for name in ("logic_detail", "logic_sheet"):
        path = reverse(f"jobs:{name}", args=[job.number, response["Location"].split("/")[-2]])
        page = client.get(path).content.decode()
        assert "simulator/?example=I1" in page and "?example=I3" not in page
        assert "Lamp heads" in page and "Control guide" in page
