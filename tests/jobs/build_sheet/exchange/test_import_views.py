import json

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.urls import reverse

from jobs.build_sheet.exchange.write import build_of, json_bytes, workbook
from jobs.models import AuditEvent, BuildImport, Circuit
from tests.factories import make_job, make_wired_job

pytestmark = pytest.mark.django_db


def url(job, name="build_import", *args):
    return reverse(f"jobs:{name}", args=[job.number, *args])


def send(client, job, build, write=json_bytes, name="build.json", **options):
    content = build if isinstance(build, bytes) else write(build)
    return client.post(url(job), {"file": SimpleUploadedFile(name, content)}, **options)


def with_length(job, feet):
    build = build_of(job)
    build["circuits"][0]["length_ft"] = feet
    return build


@pytest.mark.parametrize("write", [json_bytes, workbook])
def test_a_file_is_shown_as_a_dry_run_and_then_applied_once(client, designer, write):
    job = make_wired_job(awg="16")
    client.force_login(designer)
    page = send(client, job, with_length(job, 60), write, follow=True)
    words = page.content.decode()
    assert "Dry run of build.json" in words and "Nothing is changed yet" in words
    assert "length_ft" in words and "<strong>60</strong>" in words
    assert "Appears" in words and "lost to the load at peak" in words
    assert float(job.circuits.get().length_mm) == 3048.0
    kept = BuildImport.objects.get()
    apply = url(job, "build_import_apply", kept.pk)
    done = client.post(apply, {"digest": page.context["tried"].digest}, follow=True)
    assert "build.json is applied. Added nothing; changed 1 circuits" in done.content.decode()
    assert float(job.circuits.get().length_mm) == 18288.0
    assert AuditEvent.objects.filter(job=job.number, verb="imported").count() == 1
    again = client.post(apply, {"digest": page.context["tried"].digest}, follow=True)
    assert "is applied already" in again.content.decode()
    assert AuditEvent.objects.filter(job=job.number, verb="imported").count() == 1
    assert "changed 1 circuits" in client.get(url(job)).content.decode()


def test_a_build_that_moved_on_is_not_overwritten(client, designer):
    job = make_wired_job()
    client.force_login(designer)
    page = send(client, job, with_length(job, 60), follow=True)
    Circuit.objects.update(length_mm=2_000)
    kept = BuildImport.objects.get()
    apply = url(job, "build_import_apply", kept.pk)
    answer = client.post(apply, {"digest": page.context["tried"].digest}, follow=True)
    assert "The build was changed since this dry run" in answer.content.decode()
    kept.refresh_from_db()
    assert kept.applied_at is None
    assert float(job.circuits.get().length_mm) == 2_000


def test_an_equal_file_has_nothing_to_apply(client, designer):
    job = make_wired_job()
    client.force_login(designer)
    words = send(client, job, build_of(job), follow=True).content.decode()
    assert "There is nothing to apply" in words and "Apply this file" not in words


@pytest.mark.parametrize(
    ("column", "value", "words"),
    [
        ("length_ft", 0, "One-way length is 0 ft; it must be above 0"),
        ("length_ft", 400, "400 ft is above 200"),
        ("length_ft", -3, "it must be above 0"),
        ("device_a", -5, "-5 A is below 0"),
        ("awg", "11", "11 is not one of the available choices"),
        ("feed", "Z", "there is no feed Z"),
    ],
)
def test_a_wrong_cell_is_named_with_its_place_and_nothing_is_kept(
    client, designer, column, value, words
):
    job = make_wired_job()
    build = build_of(job)
    build["circuits"][0][column] = value
    client.force_login(designer)
    answer = send(client, job, build)
    assert answer.status_code == 422
    page = answer.content.decode()
    assert f"circuits[0].{column}" in page and words in page
    assert not BuildImport.objects.exists()
    assert float(job.circuits.get().length_mm) == 3048.0


def test_a_loop_without_source_and_a_duty_of_no_mode_are_refused(client, designer):
    """Two feeds in a ring with no supply between them; a duty in a mode that does not exist."""
    job = make_wired_job()
    build = build_of(job)
    ring = [{**build["feeds"][0], "ref": ref, "supply": None} for ref in ("X", "Y")]
    build |= {"feeds": [*build["feeds"], *ring]}
    build["duty"] = [{"mode": "night", "circuit": "A-01", "percent": 100}]
    client.force_login(designer)
    answer = send(client, job, build)
    page = answer.content.decode()
    assert answer.status_code == 422
    assert "feeds[1].supply" in page and "feeds[2].supply" in page
    assert "there is no operating mode night" in page


@pytest.mark.parametrize(
    ("content", "words"),
    [
        (b"", "The file is empty"),
        (b"%PDF-1.7", "is neither XLSX nor JSON"),
        (json.dumps({"format": "build", "version": 9}).encode(), "&quot;version&quot;: 1"),
        (b'{"format": "build", "version": 1, "circuits": [{"length_ft": NaN}]}', "NaN is not a"),
        (b"PK\x03\x04 not a workbook", "build.json"),
    ],
)
def test_what_is_no_build_file_is_refused_with_a_sentence(client, designer, content, words):
    client.force_login(designer)
    answer = send(client, make_wired_job(), content)
    assert answer.status_code == 422
    assert words in answer.content.decode()


def test_build_import_is_the_designers_and_knows_only_its_job(client, designer, technician):
    job, other = make_wired_job(), make_job()
    client.force_login(designer)
    send(client, job, with_length(job, 12))
    kept = BuildImport.objects.get()
    assert client.get(url(other, "build_import_check", kept.pk)).status_code == 404
    assert client.post(url(other, "build_import_apply", kept.pk)).status_code == 404
    assert client.get(url(job, "build_import_apply", kept.pk)).status_code == 405
    assert client.delete(url(job)).status_code == 405
    client.force_login(technician)
    assert client.get(url(job)).status_code == 403
    assert client.post(url(job, "build_import_apply", kept.pk)).status_code == 403
