from io import BytesIO

import pikepdf
import pytest

from inspections.demo.queue import work_off
from inspections.handover import maker_sections
from inspections.handover.actions import build_packet
from inspections.handover.contents import gather
from inspections.handover.maker_sections import maker_documents
from inspections.manuals.actions import add_manual, remove_manual
from jobs.documents.attached import attached_path
from jobs.documents.files import document_path
from jobs.models import Document
from tests.factories import make_part, make_working_unit
from tests.inspections.manuals.test_views import pdf
from tests.pictures import upload

pytestmark = pytest.mark.django_db


@pytest.fixture
def unit(manager):
    return make_working_unit(by=manager, number="SR-4")


@pytest.fixture
def manual(unit, manager):
    part = unit.job.lines.get().part.part
    return add_manual(
        part=part, kind="use", title="How to use", file=upload("a.pdf", pdf()), by=manager
    )


def test_without_documents_there_is_no_section(unit, manager):
    add_manual(part=make_part(), kind="use", title="Other", file=upload("a.pdf", pdf()), by=manager)
    assert maker_documents(unit) == (None, [])


def test_documents_of_fitted_parts_are_listed_and_attached(unit, manual, manager):
    section, files = maker_documents(unit)
    (row,) = section["data"]["rows"]
    assert (row["title"], row["file"], row["lines"]) == ("How to use", manual.file_name, "L01")
    assert [one["sha256"] for one in files] == [manual.sha256]
    listed = gather(unit, revision=1).sections[-1]["data"]["files"]
    assert {"name": manual.file_name, "what": f"{manual.part.code}: How to use"} in listed
    remove_manual(manual=manual, by=manager)
    assert maker_documents(unit) == (None, [])


def test_what_is_too_large_to_go_along_is_said(unit, manual, monkeypatch):
    monkeypatch.setattr(maker_sections, "MOST_BYTES", 10)
    section, files = maker_documents(unit)
    assert files == []
    assert "ask the shop" in section["data"]["rows"][0]["file"]


@pytest.mark.slow
def test_the_packet_carries_the_very_file(unit, manual, manager):
    packet = build_packet(unit=unit, by=manager)
    work_off()
    document = Document.objects.get(pk=packet.document_id)
    with pikepdf.open(document_path(document.file_sha256)) as made:
        assert made.attachments[manual.file_name].get_file().read_bytes() == pdf_of(manual)


@pytest.mark.slow
def test_a_packet_whose_attachment_was_changed_fails_and_names_it(unit, manual, manager):
    path = attached_path(manual.sha256)
    path.chmod(0o644)
    path.write_bytes(b"%PDF-other")
    packet = build_packet(unit=unit, by=manager)
    work_off()
    document = Document.objects.get(pk=packet.document_id)
    assert document.state == "failed"
    assert manual.file_name in document.error
    assert "was changed on disk" in document.error


def pdf_of(manual):
    data = attached_path(manual.sha256).read_bytes()
    assert pikepdf.open(BytesIO(data)).pages
    return data
