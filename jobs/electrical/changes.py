"""What changed between two sets of findings: shown before an edit is saved."""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum

from jobs.findings import Finding, Severity


class ChangeKind(StrEnum):
    """In the order in which people should read them."""

    APPEARED = "appeared"
    CHANGED = "changed"
    VANISHED = "vanished"


@dataclass(frozen=True, kw_only=True, slots=True)
class Change:
    """One problem that came, went, or stands differently. `before` or `after` may be None."""

    kind: ChangeKind
    before: Finding | None
    after: Finding | None


def what_changed(before: Iterable[Finding], after: Iterable[Finding]) -> list[Change]:
    """Problems only: a pass with another number is no change. Appeared first."""
    old, new = _problems(before), _problems(after)
    changes: list[Change] = []
    for key in [*old, *(key for key in new if key not in old)]:
        was, now = old.get(key, []), new.get(key, [])
        for index in range(max(len(was), len(now))):
            first = was[index] if index < len(was) else None
            second = now[index] if index < len(now) else None
            changes += _change(first, second)
    order = list(ChangeKind)
    return sorted(changes, key=lambda change: order.index(change.kind))


def _change(before: Finding | None, after: Finding | None) -> list[Change]:
    if before is None:
        return [Change(kind=ChangeKind.APPEARED, before=None, after=after)]
    if after is None:
        return [Change(kind=ChangeKind.VANISHED, before=before, after=None)]
    if (before.severity, before.message) == (after.severity, after.message):
        return []
    return [Change(kind=ChangeKind.CHANGED, before=before, after=after)]


def _problems(findings: Iterable[Finding]) -> dict[tuple[str, str], list[Finding]]:
    found: dict[tuple[str, str], list[Finding]] = defaultdict(list)
    for finding in findings:
        if finding.severity is not Severity.PASS:
            found[finding.rule, finding.subject].append(finding)
    return dict(found)
