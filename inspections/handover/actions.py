"""Packets, receipt, training and acceptance. Receipt and acceptance are two different words."""

from collections.abc import Sequence
from datetime import date, datetime
from typing import Any

from django.contrib.auth.models import User
from django.db import IntegrityError, transaction
from django.utils import timezone

from inspections.handover.contents import PacketContents, gather
from inspections.handover.facts import state_word
from inspections.handover.freezing import freeze
from inspections.handover.models import Acceptance, Packet, PunchItem, Receipt, Training
from jobs.audit.record import display_name, record
from jobs.documents.actions import is_same, request_document
from jobs.documents.frame import frame
from jobs.models import Document, Job, Shop, Unit
from jobs.quoting.words import day_words

Answer = Acceptance.Answer


class HandoverError(Exception):
    """Why a step is not possible, as a sentence."""


def build_packet(*, unit: Unit, by: User | str) -> Packet:
    """The unit's packet as the rows stand. Nothing changed since the last one: that one.

    Draft until the unit is released. What was made stays as it is for ever: changed data and
    changed templates give the next revision. Gathering happens before the transaction.
    """
    last = unit.packets.select_related("document").first()
    revision = last.revision if last else 1
    contents = gather(unit, revision=revision)
    if last is not None:
        if is_same(last.document, **_printed(unit, revision, contents)):
            return last
        revision += 1
        contents = gather(unit, revision=revision)
    with transaction.atomic():
        document = request_document(**_printed(unit, revision, contents))
        try:
            with transaction.atomic():
                packet = Packet.objects.create(
                    unit=unit,
                    revision=revision,
                    draft=not hasattr(unit, "release"),
                    data_sha256=contents.sha256,
                    document=document,
                    made_by=display_name(by),
                )
        except IntegrityError:  # a double click: the first one made it
            return unit.packets.get(revision=revision)
        _tell(unit, by, "built", f"Delivery packet revision {revision} asked for.")
    return packet


def _printed(unit: Unit, revision: int, contents: PacketContents) -> dict[str, Any]:
    """What request_document() is asked for."""
    shop = Shop.objects.get(pk=1)
    number = unit.job.number
    return {
        "kind": "packet",
        "title": f"Delivery packet {unit.number}, revision {revision}",
        "file_name": f"packet-{number}-{unit.number}-r{revision}.pdf",
        "sections": contents.sections,
        "frame": frame(
            page_size=shop.page_size,
            mark=f"Job {number} · Unit {unit.number} · VIN {unit.vin[-8:] or '–'} · r{revision}",
            state=state_word(unit),
            draft=not hasattr(unit, "release"),
        ),
        "attachments": contents.attachments,
    }


def _tell(unit: Unit, by: Any, verb: str, sentence: str) -> None:
    record(by=by, verb=verb, subject=unit, job=unit.job.number, sentence=sentence)


@transaction.atomic
def record_receipt(
    *,
    unit: Unit,
    by: User,
    received_by: str,
    odometer_mi: int,
    keys: int,
    condition: str = "",
    received_at: datetime | None = None,
) -> Receipt:
    """Somebody took the vehicle away. Only a released unit may leave."""
    if not hasattr(unit, "release"):
        raise HandoverError(f"Unit {unit.number} is not released; it may not leave yet.")
    if unit.odometer_mi is not None and odometer_mi < unit.odometer_mi:
        raise HandoverError(
            f"Odometer {odometer_mi} mi is below the {unit.odometer_mi} mi on arrival."
        )
    try:
        with transaction.atomic():
            receipt = Receipt.objects.create(
                unit=unit,
                received_by=received_by,
                received_at=received_at or timezone.now(),
                odometer_mi=odometer_mi,
                keys=keys,
                condition=condition,
                handed_over_by=display_name(by),
            )
    except IntegrityError:
        raise HandoverError(f"The receipt of {unit.number} is already recorded.") from None
    _tell(unit, by, "received", f"Unit {unit.number} received by {received_by}. Not accepted yet.")
    return receipt


@transaction.atomic
def record_training(*, unit: Unit, by: User, name: str, topics: str, on: date) -> Training:
    unit = Unit.objects.select_for_update().select_related("job").get(pk=unit.pk)
    training, made = Training.objects.get_or_create(
        unit=unit, name=name, topics=topics, on=on, defaults={"trainer": display_name(by)}
    )
    if not made:  # the second of two clicks
        return training
    _tell(unit, by, "trained", f"{name} trained on {unit.number}: {topics}.")
    return training


@transaction.atomic
def sign_training(*, training: Training, name: str) -> None:
    """The trained person says so, by name, once."""
    signed = Training.objects.filter(pk=training.pk, signed_at=None).update(
        signed_by=name.strip(), signed_at=timezone.now()
    )
    if not signed:
        raise HandoverError(f"The training of {training.name} is signed already.")
    sentence = f"{name.strip()} signed the training of {training.name}: {training.topics}."
    _tell(training.unit, name.strip(), "signed", sentence)


def acceptance_blockers(packet: Packet) -> list[str]:
    """Why the customer cannot accept on this packet yet, as sentences."""
    found = []
    if packet.draft:
        found.append("This packet is a draft; the unit is not released yet.")
    if packet.document.state != Document.State.DONE:
        found.append("The packet is still being made.")
    newest = packet.unit.packets.first()
    if newest is not None and newest.pk != packet.pk:
        found.append(f"A newer packet, revision {newest.revision}, replaced this one.")
    unsafe = packet.unit.punch_items.filter(safety=True, closed_on=None)
    found += [f"A safety item is open: {item.text}." for item in unsafe]
    return found


@transaction.atomic
def accept_unit(
    *,
    packet: Packet,
    answer: str,
    name: str,
    packet_sha256: str,
    comment: str = "",
    items: Sequence[str] = (),
    ip: str | None = None,
    recorded_by: str = "",
    at: datetime | None = None,
) -> Acceptance:
    """The authorised customer's word, bound to the packet that was shown. Said once."""
    unit = Unit.objects.select_for_update().select_related("job").get(pk=packet.unit_id)
    given = unit.acceptances.exclude(answer=Answer.REJECTED).first()
    if given is not None:
        at = timezone.localtime(given.at)
        raise HandoverError(
            f"{given.name} already accepted this unit on {at:%-d %b %Y} at {at:%H:%M}."
        )
    if blocked := acceptance_blockers(packet):
        raise HandoverError(" ".join(blocked))
    if packet_sha256 != packet.data_sha256:
        raise HandoverError("The packet changed since you opened it. Look at it again.")
    freeze(packet)  # what is answered on is kept before the answer
    if answer == Answer.ACCEPTED and items:
        answer = Answer.PUNCH_LIST
    if answer == Answer.REJECTED and not comment.strip():
        raise HandoverError("Say why you reject the unit, so that the shop can put it right.")
    last = unit.acceptances.last()
    said = (packet.pk, answer, name.strip(), comment.strip())
    if last and (last.packet_id, last.answer, last.name, last.comment) == said:
        return last  # the second of two clicks on a rejection
    acceptance = Acceptance.objects.create(
        unit=unit,
        packet=packet,
        answer=answer,
        name=name.strip(),
        comment=comment.strip(),
        packet_sha256=packet_sha256,
        at=at or timezone.now(),
        ip=ip,
        recorded_by=recorded_by,
    )
    PunchItem.objects.bulk_create(PunchItem(unit=unit, text=text) for text in items)
    waiting = Unit.objects.filter(job=unit.job).exclude(
        acceptances__answer__in=["accepted", "punch"]
    )
    if answer != Answer.REJECTED and not waiting.exists():
        Job.objects.filter(pk=unit.job_id).exclude(state=Job.State.CANCELLED).update(
            state=Job.State.DELIVERED
        )
    word = acceptance.get_answer_display().lower()
    _tell(unit, name, answer, f"Unit {unit.number} {word} by {name}.")
    return acceptance


@transaction.atomic
def write_item(*, unit: Unit, by: User, item: PunchItem | None = None, **fields: Any) -> None:
    """A new open item, or who does one until when. What is done is not changed any more."""
    if item is None:
        item = PunchItem.objects.create(unit=unit, **fields)
    elif not PunchItem.objects.filter(pk=item.pk, closed_on=None).update(**fields):
        raise HandoverError(f"This item is done already: {item.text}.")
    until = f"until {day_words(fields['due_on'])}" if fields["due_on"] else ""
    safety = " It bars acceptance." if fields["safety"] else ""
    about = "; ".join(filter(None, [fields["text"], fields["owner"], until]))
    _tell(unit, by, "listed", f"Open item of {unit.number}: {about}.{safety}")


@transaction.atomic
def close_item(*, item: PunchItem, by: User) -> None:
    closed = PunchItem.objects.filter(pk=item.pk, closed_on=None).update(
        closed_on=timezone.localdate()
    )
    if closed:
        _tell(item.unit, by, "closed", f"Open item done: {item.text}.")
