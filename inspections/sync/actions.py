"""Taking in what tablets send: each event once, however often it is sent; one answer for each."""

from dataclasses import dataclass

from django.contrib.auth.models import User
from django.db import transaction

from inspections.checklists.chain import payload_sha256
from inspections.checklists.readings import CheckError
from inspections.sync.effects import EFFECTS, Waits
from inspections.sync.forms import EventForm
from inspections.sync.models import DeviceEvent
from jobs.models import Photo
from jobs.stages.actions import StageError

Answer = DeviceEvent.Answer
OTHER_CONTENT = "This entry was already sent with another content; the first one stays."


@dataclass(frozen=True, kw_only=True, slots=True)
class Receipt:
    """What the tablet is told about one event. `photos` are those the server still needs."""

    id: str
    answer: str
    sentence: str = ""
    photos: tuple[str, ...] = ()


def take_in(*, form: EventForm, by: User, clock_ms: int, device: str = "") -> Receipt:
    """Store one valid event and what it does; the same event again gets the first answer again."""
    if form.cleaned_data["person"] != by.pk:
        return Receipt(id=str(form.cleaned_data["id"]), answer="other")
    with transaction.atomic():
        return _take_in(form=form, by=by, clock_ms=clock_ms, device=device)


def _take_in(*, form: EventForm, by: User, clock_ms: int, device: str) -> Receipt:
    body = form.body()
    sha = payload_sha256(body)
    row, _ = DeviceEvent.objects.get_or_create(
        client_id=form.cleaned_data["id"],
        defaults={
            "device": form.cleaned_data["device"],
            "number": form.cleaned_data["number"],
            "person": by,
            "kind": form.cleaned_data["kind"],
            "subject": form.subject(),
            "body": body,
            "body_sha256": sha,
            "at_device": form.moment(),
            "clock_ms": clock_ms,
        },
    )
    row = DeviceEvent.objects.select_for_update().get(pk=row.pk)
    row.device_words = device
    if row.body_sha256 != sha or row.person_id != by.pk:
        return Receipt(id=body["id"], answer=Answer.REFUSED, sentence=OTHER_CONTENT)
    if row.settled:
        return Receipt(id=body["id"], answer=row.answer, sentence=row.sentence)
    photos = missing_photos(row)
    if photos or _earlier_waits(row):
        return Receipt(id=body["id"], answer=Answer.WAITING, photos=tuple(photos))
    _apply(row, by)
    return Receipt(id=body["id"], answer=row.answer, sentence=row.sentence)


def missing_photos(row: DeviceEvent) -> list[str]:
    named = row.body["photos"]
    there = set(Photo.objects.filter(sha256__in=named).values_list("sha256", flat=True))
    return [sha256 for sha256 in named if sha256 not in there]


def _earlier_waits(row: DeviceEvent) -> bool:
    """Whether something the person did before on the same thing still waits for its photos."""
    return DeviceEvent.objects.filter(
        device=row.device,
        person=row.person_id,
        subject=row.subject,
        answer=Answer.WAITING,
        number__lt=row.number,
    ).exists()


def _apply(row: DeviceEvent, by: User) -> None:
    """Do what the event says. What the rules refuse is kept with the sentence why."""
    try:
        with transaction.atomic():
            done = EFFECTS[row.kind](row, by)
        row.answer, row.sentence = done.answer, done.sentence[:500]
    except (CheckError, StageError) as error:
        row.answer, row.sentence = Answer.REFUSED, str(error)[:500]
    except Waits:
        return
    row.save(update_fields=["answer", "sentence"])
