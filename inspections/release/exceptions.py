"""What a signer must have seen although it does not block, worst first, as sentences."""

from collections import Counter, defaultdict
from decimal import Decimal

from inspections.checklists.models import Check, Result
from inspections.defects.actions import OPEN_STATES
from inspections.release.open_checks import open_checks
from jobs.audit.record import display_name
from jobs.models import Stage, Unit

Kind = Result.Kind
FEW = 6
NEAR = Decimal("0.1")  # of the width between the limits


def exceptions(unit: Unit, stage: Stage | None = None) -> list[str]:
    """Of the whole unit, or of one stage."""
    checks = unit.checks.filter(retired=False)
    defects = unit.defects.exclude(state__in=OPEN_STATES)
    if stage is not None:
        checks, defects = checks.filter(stage=stage), defects.filter(check_item__stage=stage)
    found = [
        f"{defect}: {defect.get_state_display().lower()}. {defect.found}"
        + (" Re-checked by the person who reworked it." if defect.closed_alone else "")
        for defect in defects
    ]
    rows = list(checks.order_by("position"))
    found += _from_the_record(unit, rows)
    found += _minor([check for check in open_checks(unit, stage) if not check.critical])
    skipped = [check for check in rows if check.state == Check.State.NOT_APPLICABLE]
    return found + [f"{check.ref} {check.title}: does not apply." for check in skipped]


def _minor(checks: list[Check]) -> list[str]:
    """Open checks that hold nothing: each by name while they are few, else counted by state."""
    if len(checks) <= FEW:
        return [f"{check.ref} {check.title}: {check.get_state_display()}." for check in checks]
    states = Counter(check.get_state_display() for check in checks)
    return [
        f"{count} checks that do not hold the release are “{state}”: "
        + ", ".join([c.ref for c in checks if c.get_state_display() == state][:FEW])
        + (f" and {count - FEW} more." if count > FEW else ".")
        for state, count in states.items()
    ]


def _from_the_record(unit: Unit, checks: list[Check]) -> list[str]:
    """Decisions, late evidence, replaced photos, own work checked, readings near a limit."""
    events: dict[int, list[Result]] = defaultdict(list)
    results = unit.results.filter(check_item__in=checks).select_related("person", "keeps")
    for result in results.prefetch_related("photos", "voided_by").order_by("sequence"):
        events[result.check_item_id].append(result)
    found = [words for check in checks for words in _told(check, events[check.pk])]
    near = [words for check in checks if (words := _near(check, _standing(events[check.pk])))]
    return found + near


def _told(check: Check, events: list[Result]) -> list[str]:
    found = []
    for event in events:
        who = display_name(event.person)
        if event.kind == Kind.DECIDE:
            kept = f"entry {event.keeps.sequence} kept" if event.keeps else "checked again"
            found.append(f"{check.ref}: decided by {who}, {kept}. {event.reason}")
        if event.late:
            found.append(f"{check.ref}: entry {event.sequence} by {who} came after a signature.")
        if event.took_part and not event.voided_by.all():
            found.append(f"{check.ref}: checked by {who}, who took part in the work.")
        if event.voided_by.all() and event.photos.all():
            found.append(f"{check.ref}: entry {event.sequence} with photos was taken back.")
    return found


def _standing(events: list[Result]) -> Result | None:
    """The newest reading that was not taken back, or that a decision kept."""
    for event in reversed(events):
        if event.kind == Kind.DECIDE and event.keeps is not None:
            return event.keeps
        if event.kind == Kind.RESULT and not event.voided_by.all():
            return event
    return None


def _near(check: Check, result: Result | None) -> str:
    """A passed reading in the last tenth before a limit; exact values have no width."""
    if result is None or result.value is None or check.state != Check.State.PASS:
        return ""
    low, high = check.low, check.high
    if low is None or high is None or low == high:
        return ""
    room = (high - low) * NEAR
    below, above = result.value - low < room, high - result.value < room
    # Where nothing at all is best, being near the lower limit is no news.
    if above or (below and low != 0):
        value = f"{result.value.normalize():f} {check.unit_of_measure}"
        return f"{check.ref} {check.title}: {value} is near its limit ({check.expected_text})."
    return ""
