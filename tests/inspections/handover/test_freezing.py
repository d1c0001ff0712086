"""A released packet is given as the same bytes for ever, whatever becomes of rows and documents."""

import pytest
from django.core.management import CommandError, call_command
from django.db import DatabaseError, transaction
from django.http import Http404
from django.urls import reverse

from inspections.demo.queue import work_off
from inspections.handover.actions import build_packet
from inspections.handover.freezing import freeze, packet_response, verify_packets
from inspections.models import FrozenPacket, Packet
from jobs.documents.files import document_path
from jobs.models import Document, Unit
from tests.factories import make_working_unit
from tests.inspections.handover.test_actions import finished_packet, released

pytestmark = pytest.mark.django_db


@pytest.fixture
def unit(manager):
    return make_working_unit(by=manager, number="SR-4")


def again(packet):
    return Packet.objects.select_related("document", "unit__job").get(pk=packet.pk)


def test_a_draft_is_never_frozen(unit, manager):
    packet = build_packet(unit=unit, by=manager)
    work_off()
    assert freeze(again(packet)) is None


@pytest.mark.slow
def test_a_released_packet_downloads_as_the_same_bytes(client, unit, manager, inspector):
    packet = build_packet(unit=released(unit, inspector), by=manager)
    work_off()
    client.force_login(manager)
    path = reverse("inspections:packet_file", args=[unit.job.number, unit.number, 1])
    first = b"".join(client.get(path).streaming_content)
    assert first[:5] == b"%PDF-"
    unit.job.circuits.update(designation="Something else")
    build_packet(unit=Unit.objects.get(pk=unit.pk), by=manager)
    # The document is made anew, with another look: the packet does not follow.
    Document.objects.filter(pk=packet.document_id).update(file_sha256="f" * 64, state="queued")
    assert b"".join(client.get(path).streaming_content) == first
    kept = FrozenPacket.objects.get(packet=packet)
    assert "Grille heads" in str(kept.data["sections"])
    assert "Something else" not in str(kept.data["sections"])
    assert list(verify_packets()) == []
    call_command("evidence", verify=True)


@pytest.mark.slow
def test_a_packet_whose_file_was_changed_is_not_given_and_is_named(unit, manager, inspector):
    packet = build_packet(unit=released(unit, inspector), by=manager)
    work_off()
    kept = freeze(again(packet))
    file = document_path(kept.file_sha256)
    file.chmod(0o644)
    file.write_bytes(file.read_bytes() + b" ")
    with pytest.raises(Http404, match="was changed on disk"):
        packet_response(again(packet))
    (sentence,) = verify_packets()
    assert sentence == "unit SR-4, packet revision 1: its file was changed on disk."
    file.unlink()
    with pytest.raises(Http404, match="is missing; restore it"):
        packet_response(again(packet))
    with pytest.raises(CommandError, match="1 problems in"):
        call_command("evidence", verify=True)


def test_the_digest_of_frozen_data_is_recomputed(unit, manager, inspector):
    packet = finished_packet(unit, inspector, manager)
    Packet.objects.filter(pk=packet.pk).update(data_sha256="0" * 64)
    freeze(packet)
    assert "unit SR-4, packet revision 1: its data were changed." in list(verify_packets())


def test_a_frozen_packet_cannot_be_changed(unit, manager, inspector):
    kept = freeze(finished_packet(unit, inspector, manager))
    assert freeze(kept.packet) == kept
    for attack in (kept.save, kept.delete):
        with pytest.raises(DatabaseError, match="append-only"), transaction.atomic():
            attack()
