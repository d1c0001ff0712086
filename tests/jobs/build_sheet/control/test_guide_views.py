"""The control guide as page and print."""

import pytest
from django.urls import reverse

from jobs.build_sheet.control.guide import request_guide, sections_of
from jobs.documents.tasks import drain_documents
from jobs.models import Document
from tests.factories import make_job
from tests.jobs.build_sheet.control.rows import keep, keep_demo
from tests.papers import page_texts, pdf_of

pytestmark = pytest.mark.django_db


def url(name, kept):
    return reverse(f"jobs:{name}", args=[kept.job.number, kept.version])


def test_the_guide_says_what_controls_do_alarms_and_lock_outs(client, technician):
    client.force_login(technician)
    page = client.get(url("logic_guide", keep_demo())).content.decode()
    assert "Positions 0, 1, 2, 3" in page
    assert "Look overhead, press once" in page
    assert "stop and lower the mast" in page
    assert "A raised mast on the move, or into lines, kills." in page
    assert "not released: do not hand it out" in page


def test_the_guide_is_printed_on_request_and_once(client, technician):
    kept = keep_demo()
    client.force_login(technician)
    assert client.get(url("guide_status", kept)).status_code == 404
    assert client.get(url("guide_pdf", kept)).status_code == 404
    for _ in range(2):
        assert client.post(url("guide_print", kept)).url == url("guide_status", kept)
    assert Document.objects.filter(kind="guide").count() == 1
    assert client.get(url("guide_status", kept)).status_code == 200
    assert client.get(url("guide_pdf", kept)).status_code == 404  # not made yet


@pytest.mark.slow
def test_the_printed_guide_reads_as_the_page_does(shop):
    kept = keep_demo()
    document = request_guide(kept)
    drain_documents()
    document.refresh_from_db()
    assert document.state == Document.State.DONE, document.error
    text = " ".join(" ".join(page_texts(pdf_of(document))).split())
    assert "Buttons and positions" in text and "Mast up button" in text
    assert "Alarms and what to do" in text and "stop and lower the mast" in text
    assert "DRAFT" in text.upper()
    assert kept.sha256 in text.replace(" ", "")


def test_sections_without_content_are_left_out(shop):
    assert [each["key"] for each in sections_of(keep({}))] == ["controls"]


@pytest.mark.parametrize(
    ("name", "method"), [("guide_print", "post"), ("guide_status", "get"), ("guide_pdf", "get")]
)
def test_prints_exist_only_where_there_is_a_version(client, technician, name, method):
    kept = keep({})
    client.force_login(technician)
    path = reverse(f"jobs:{name}", args=[make_job().number, kept.version])
    assert getattr(client, method)(path).status_code == 404
    wrong = client.get if method == "post" else client.delete
    assert wrong(url(name, kept)).status_code == 405
