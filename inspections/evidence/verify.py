"""Proving the evidence: every link of every chain recomputed, every photo re-hashed."""

from collections.abc import Iterator
from hashlib import file_digest
from pathlib import Path

from inspections.checklists.chain import link, outcome_sha256, payload_sha256
from inspections.checklists.events import events_by_check
from inspections.checklists.models import Check, Result
from inspections.checklists.state import state_of
from jobs.models import Photo, Unit
from jobs.photos.files import original_path


def verify_unit(unit: Unit) -> str | None:
    """The first broken link of a unit's chain as a sentence, or None when the chain holds."""
    previous, expected = "", 1
    release = getattr(unit, "release", None)
    results = (
        unit.results.select_related("check_item", "instrument", "voids", "keeps")
        .prefetch_related("photos__photo")
        .order_by("sequence")
    )
    for result in results:
        where = f"unit {unit.number}, entry {expected}"
        if result.sequence != expected:
            return f"{where}: missing; the next one found is entry {result.sequence}."
        if result.previous_digest != previous:
            return f"{where}: does not continue the entry before it."
        if payload_sha256(stored_payload(result)) != result.payload_sha256:
            return f"{where} ({result.check_item.ref}): its content was changed."
        digest = link(
            previous=previous,
            sequence=expected,
            payload_sha=result.payload_sha256,
            outcome_sha=outcome_sha256(result),
        )
        if digest != result.digest:
            return f"{where} ({result.check_item.ref}): its verdict or times were changed."
        if release and expected == release.chain_sequence and digest != release.chain_head:
            return f"{where}: is not the entry that was signed at release."
        previous, expected = digest, expected + 1
    if release and expected - 1 < release.chain_sequence:
        return f"unit {unit.number}, entry {release.chain_sequence}: missing since release."
    return None


def stored_payload(result: Result) -> dict[str, object]:
    """The payload that was hashed when the result was recorded, rebuilt from its row."""
    check, person = result.check_item, result.person_id
    if result.kind == Result.Kind.VOID:
        voids = result.voids.sequence if result.voids else 0
        return {"check": check.key, "person": person, "reason": result.reason, "voids": voids}
    if result.kind == Result.Kind.REOPEN:
        return {"check": check.key, "person": person, "reopen": result.reason}
    if result.kind == Result.Kind.DECIDE:
        keeps = result.keeps.sequence if result.keeps else 0
        return {"check": check.key, "decide": result.reason, "keeps": keeps, "person": person}
    return {
        "check": check.key,
        "check_version": result.check_version,
        "conditions": result.conditions,
        "instrument": result.instrument.asset if result.instrument else "",
        "person": person,
        "photos": sorted(item.photo.sha256 for item in result.photos.all()),
        "pressed": result.pressed,
        "reason": result.reason,
        "unit": result.unit_id,
        "value": str(result.value) if result.value is not None else "",
    }


def verify_photos() -> Iterator[str]:
    """One sentence for each stored photo that is missing or no longer what it was."""
    for sha256 in Photo.objects.order_by("id").values_list("sha256", flat=True).iterator():
        path = Path(original_path(sha256))
        if not path.exists():
            yield f"photo {sha256[:12]}: its file is missing."
            continue
        with path.open("rb") as file:
            if file_digest(file, "sha256").hexdigest() != sha256:
                yield f"photo {sha256[:12]}: its bytes were changed."


def verify_states(unit: Unit) -> Iterator[str]:
    """One sentence for each check whose state is not what its entries say.

    Entries cut off at the end of a chain leave no gap in it; the states kept beside it tell.
    """
    events = events_by_check(unit)
    for check in unit.checks.filter(retired=False).order_by("position", "id"):
        told = state_of(events.get(check.pk, []), version=check.version)
        if told != check.state:
            said = Check.State(told).label
            yield (
                f"unit {unit.number}, check {check.ref}: is kept as “{check.get_state_display()}”, "
                f"but its entries say “{said}”."
            )


def verify_all() -> list[str]:
    """Everything that is wrong, one sentence each. Empty means proved."""
    broken: list[str] = []
    for unit in Unit.objects.order_by("id"):
        if (sentence := verify_unit(unit)) is not None:
            broken.append(sentence)
        broken += verify_states(unit)
    return broken + list(verify_photos())
