from datetime import UTC, date, datetime

import pytest
from django.db import DatabaseError, transaction
from django.utils import timezone

from inspections.checklists.generate import generate_checks
from inspections.handover import actions
from inspections.handover.actions import HandoverError
from inspections.models import Acceptance, FrozenPacket, Packet, Release
from jobs.models import Document, Job, Unit
from tests.factories import make_working_unit
from tests.racing import race

pytestmark = pytest.mark.django_db


@pytest.fixture
def unit(manager):
    unit = make_working_unit(by=manager, number="SR-4", odometer_mi=12)
    generate_checks(unit=unit, by=manager)
    return unit


def released(unit, inspector):
    Release.objects.create(
        unit=unit, released_by=inspector, released_at=timezone.now(), chain_sequence=0,
        chain_head="", statement="",
    )  # fmt: skip
    return Unit.objects.get(pk=unit.pk)


def finished_packet(unit, inspector, manager):
    packet = actions.build_packet(unit=released(unit, inspector), by=manager)
    Document.objects.filter(pk=packet.document_id).update(state="done", page_count=3)
    return Packet.objects.get(pk=packet.pk)


def accept(packet, **fields):
    given = {"answer": "accepted", "name": "Edda Quill", "packet_sha256": packet.data_sha256}
    return actions.accept_unit(packet=packet, **{**given, **fields})


def test_build_packet_before_release_is_a_draft(unit, manager):
    packet = actions.build_packet(unit=unit, by=manager)
    assert packet.draft
    assert packet.document.frame["draft"]
    assert packet.document.state == "queued"


def test_build_packet_unchanged_is_the_same_packet(unit, manager):
    first = actions.build_packet(unit=unit, by=manager)
    assert actions.build_packet(unit=unit, by=manager).pk == first.pk


def test_build_packet_after_a_change_is_the_next_revision(unit, manager):
    actions.build_packet(unit=unit, by=manager)
    unit.job.circuits.update(designation="Grille and corner heads")
    assert actions.build_packet(unit=unit, by=manager).revision == 2


def test_build_packet_after_a_change_of_its_look_is_the_next_revision(unit, manager, inspector):
    """What was made stays; the customer may have accepted just that file."""
    first = finished_packet(unit, inspector, manager)
    Document.objects.update(fingerprint="0" * 64)  # as made with other templates
    unit = Unit.objects.get(pk=unit.pk)
    second = actions.build_packet(unit=unit, by=manager)
    assert (second.revision, second.data_sha256) == (2, first.data_sha256)
    assert second.document_id != first.document_id
    assert Packet.objects.get(pk=first.pk).document.context == first.document.context


def test_record_receipt_needs_a_released_unit(unit, manager):
    with pytest.raises(HandoverError, match="is not released"):
        actions.record_receipt(
            unit=unit, by=manager, received_by="Tobin Rask", odometer_mi=31, keys=2
        )


def test_record_receipt_refuses_an_odometer_that_ran_backwards(unit, manager, inspector):
    with pytest.raises(HandoverError, match="Odometer 5 mi is below the 12 mi on arrival"):
        actions.record_receipt(
            unit=released(unit, inspector), by=manager, received_by="T", odometer_mi=5, keys=2
        )


def test_record_receipt_is_not_acceptance(unit, manager, inspector):
    unit = released(unit, inspector)
    actions.record_receipt(unit=unit, by=manager, received_by="T", odometer_mi=31, keys=2)
    assert Job.objects.get(pk=unit.job_id).state != "delivered"
    with pytest.raises(HandoverError, match="already recorded"):
        actions.record_receipt(unit=unit, by=manager, received_by="T", odometer_mi=31, keys=2)


def test_accept_unit_delivers_the_job_and_lists_open_items(unit, manager, inspector):
    packet = finished_packet(unit, inspector, manager)
    acceptance = accept(packet, items=["Spare fuses missing"])
    assert acceptance.answer == "punch"
    assert unit.punch_items.get().text == "Spare fuses missing"
    assert Job.objects.get(pk=unit.job_id).state == "delivered"


def test_accept_unit_twice_says_who_accepted_already(unit, manager, inspector, settings):
    packet = finished_packet(unit, inspector, manager)
    accept(packet, at=datetime(2026, 3, 10, 3, 15, tzinfo=UTC))
    settings.TIME_ZONE = "America/Denver"  # the shop's clock, not Greenwich's
    with pytest.raises(HandoverError, match=r"Edda Quill already accepted .* 9 Mar 2026 at 21:15"):
        accept(packet, name="Somebody Else")
    assert Acceptance.objects.count() == 1


def test_accept_unit_of_another_packet_than_shown_is_refused(unit, manager, inspector):
    packet = finished_packet(unit, inspector, manager)
    with pytest.raises(HandoverError, match="changed since you opened it"):
        accept(packet, packet_sha256="0" * 64)


def test_accept_unit_on_a_draft_is_refused(unit, manager):
    packet = actions.build_packet(unit=unit, by=manager)
    with pytest.raises(HandoverError, match="is a draft"):
        accept(packet)


def test_accept_unit_rejection_needs_words_and_can_be_followed_by_acceptance(
    unit, manager, inspector
):
    packet = finished_packet(unit, inspector, manager)
    with pytest.raises(HandoverError, match="Say why you reject"):
        accept(packet, answer="rejected")
    accept(packet, answer="rejected", comment="Siren too quiet")
    assert Job.objects.get(pk=unit.job_id).state != "delivered"
    accept(packet)
    assert Acceptance.objects.count() == 2


def test_acceptance_cannot_be_changed_afterwards(unit, manager, inspector):
    acceptance = accept(finished_packet(unit, inspector, manager))
    acceptance.name = "Nobody"
    with pytest.raises(DatabaseError, match="append-only"), transaction.atomic():
        acceptance.save()


def test_record_training_and_close_item_leave_their_mark(unit, manager, inspector):
    training = actions.record_training(
        unit=unit, by=manager, name="Tobin Rask", topics="Mast", on=date(2026, 6, 9)
    )
    assert training.trainer == "Mona Ash"
    accept(finished_packet(unit, inspector, manager), items=["Fuses"])
    actions.close_item(item=unit.punch_items.get(), by=manager)
    assert unit.punch_items.get().closed_on == timezone.localdate()


def test_two_clicks_on_a_rejection_are_one(unit, manager, inspector):
    packet = finished_packet(unit, inspector, manager)
    first, second = (accept(packet, answer="rejected", comment="Siren too quiet") for _ in "ab")
    assert first == second
    accept(packet, answer="rejected", comment="And the mast leans")
    assert Acceptance.objects.count() == 2


def test_two_clicks_on_a_training_are_one(unit, manager):
    given = {"name": "Tobin Rask", "topics": "Mast", "on": date(2026, 6, 9)}
    first, second = (actions.record_training(unit=unit, by=manager, **given) for _ in "ab")
    assert first == second


@pytest.mark.slow
def test_of_two_who_accept_at_the_same_moment_one_does(
    append_only, shared_database, shop, manager, inspector
):
    unit = make_working_unit(by=manager, number="SR-4")
    packet = finished_packet(unit, inspector, manager)
    answers = race(
        lambda: accept(packet, name="Edda Quill"),
        lambda: accept(Packet.objects.get(pk=packet.pk), name="Tobin Rask"),
        refusals=HandoverError,
    )
    (refused,) = (one for one in answers if isinstance(one, HandoverError))
    assert "already accepted this unit" in str(refused)
    assert Acceptance.objects.count() == 1
    assert FrozenPacket.objects.count() == 1
