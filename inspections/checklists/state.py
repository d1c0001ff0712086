"""The state of a check as a pure function of its events. No Django: the tablet runs the same rules.

Events are taken in sequence order. A void strikes the event it names; a reopening puts everything
before it aside; results of two people who did not know of each other and disagree need a decision.
"""

from collections.abc import Sequence
from dataclasses import dataclass

OPEN, PASS, FAIL, NOT_APPLICABLE = "open", "pass", "fail", "na"
DECISION, AGAIN = "decision", "again"


@dataclass(frozen=True, kw_only=True, slots=True)
class Event:
    """One event of a check. `voids` is the sequence it strikes, 0 for none."""

    sequence: int
    kind: str
    verdict: str
    person: int
    check_version: int
    base_sequence: int = 0
    voids: int = 0


def standing(events: Sequence[Event]) -> list[Event]:
    """The results that count: not struck, and recorded after the last reopening."""
    struck = {event.voids for event in events if event.kind == "void"}
    reopened = max((event.sequence for event in events if event.kind == "reopen"), default=0)
    return [
        event
        for event in events
        if event.kind == "result" and event.sequence not in struck and event.sequence > reopened
    ]


def state_of(events: Sequence[Event], *, version: int) -> str:
    """One of open, pass, fail, na, decision, again.

    >>> state_of([], version=1)
    'open'
    """
    results = standing(events)
    if not results:
        reopened = any(event.kind == "reopen" for event in events)
        return AGAIN if reopened else OPEN
    last = results[-1]
    if last.check_version != version:
        return AGAIN
    for earlier in results[:-1]:
        unseen = earlier.sequence > last.base_sequence
        if unseen and earlier.person != last.person and earlier.verdict != last.verdict:
            return DECISION
    return last.verdict
