"""Changes of a draft of the control logic. The second of two people is told, nothing is lost."""

from typing import Any

from django.contrib.auth.models import User
from django.db import IntegrityError, transaction
from django.db.models import F

from jobs.audit.record import display_name, record
from jobs.build_sheet.drafting.document import (
    KEYS,
    NOUNS,
    DraftError,
    Plain,
    put,
    read,
    without,
)
from jobs.build_sheet.drafting.working_out import forget
from jobs.build_sheet.models import ControlLogic
from jobs.controls.codec import sha256, to_json
from jobs.intake.models import Job

STALE = (
    "Somebody else changed logic {} while you had it open. What you typed is kept below and not "
    "saved. Compare it with what stands there now and save again."
)
RELEASED = "Logic {} is released and stays as it is. Start a new draft from it."


@transaction.atomic
def start_draft(
    *, job: Job, version: str, note: str, by: User, base: ControlLogic | None = None
) -> ControlLogic:
    """A new draft: a copy of a version, or empty."""
    logic = read({**(base.logic if base else {}), "version": version})
    try:
        with transaction.atomic():
            draft = ControlLogic.objects.create(
                job=job,
                version=version,
                logic=to_json(logic),
                sha256=sha256(logic),
                note=note,
                based_on=base.version if base else "",
                made_by=display_name(by),
            )
    except IntegrityError:
        raise DraftError(f"Version {version} is already kept for job {job.number}.") from None
    start = f"from {base.version}" if base else "from nothing"
    _tell(draft, by, "started", f"Started control logic {version} {start}: {note}")
    return draft


@transaction.atomic
def save_entry(
    *, draft: ControlLogic, seen: int, part: str, was: str | None, entry: Plain, by: User
) -> ControlLogic:
    """Add an entry (`was` is None) or change the one of that name."""
    name = entry[KEYS[part]]
    words = f"{'Added' if was is None else 'Changed'} {NOUNS[part]} {name}"
    if was not in (None, name):
        words += f", until now {was}"
    return _change(draft, seen, put(draft.logic, part, was, entry), by, words)


@transaction.atomic
def remove_entry(*, draft: ControlLogic, seen: int, part: str, name: str, by: User) -> ControlLogic:
    """Take an entry out; refused when others need it."""
    words = f"Removed {NOUNS[part]} {name}"
    return _change(draft, seen, without(draft.logic, part, name), by, words)


@transaction.atomic
def replace_logic(
    *, draft: ControlLogic, seen: int, data: Plain, words: str, by: User
) -> ControlLogic:
    """Several entries at once, as a usual rule brings them."""
    return _change(draft, seen, data, by, words)


@transaction.atomic
def discard_draft(*, draft: ControlLogic, seen: int, by: User) -> None:
    """Throw a draft away; its history stays."""
    gone = ControlLogic.objects.filter(pk=draft.pk, edits=seen, released_at=None).delete()
    if not gone[0]:
        raise _refusal(draft)
    forget(draft.sha256)
    _tell(draft, by, "discarded", f"Discarded the draft of control logic {draft.version}.")


def _change(draft: ControlLogic, seen: int, data: Plain, by: User, words: str) -> ControlLogic:
    """Write the changed document, if the draft still is as it was seen."""
    if draft.is_released or draft.edits != seen:
        raise _refusal(draft)
    logic = read(data)
    changes: dict[str, Any] = {"logic": to_json(logic), "sha256": sha256(logic)}
    changed = ControlLogic.objects.filter(pk=draft.pk, edits=seen, released_at=None).update(
        edits=F("edits") + 1, **changes
    )
    if not changed:
        raise _refusal(draft)
    old = draft.sha256
    draft.refresh_from_db()
    forget(old)
    _tell(draft, by, "changed", f"{words} in control logic {draft.version}.")
    return draft


def _refusal(draft: ControlLogic) -> DraftError:
    now = ControlLogic.objects.filter(pk=draft.pk).first()
    if now is None:
        return DraftError(f"The draft of logic {draft.version} was discarded.", stale=True)
    words = RELEASED if now.is_released else STALE
    return DraftError(words.format(now.version), stale=True)


def _tell(draft: ControlLogic, by: User, verb: str, sentence: str) -> None:
    record(by=by, verb=verb, subject=draft, job=draft.job.number, sentence=sentence)
