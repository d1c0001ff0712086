"""The state of a check as a pure function of its events. No Django: the tablet runs the same rules.

Events are taken in sequence order. A void strikes the event it names; a reopening puts everything
before it aside. A decision does so too, and lets the one result that it keeps stand again, as if
the person who decided had recorded it. What two people recorded without knowing of each other, and
what came after a signature, is never weighed by the program: it needs a decision.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace

OPEN, PASS, FAIL, NOT_APPLICABLE = "open", "pass", "fail", "na"
DECISION, AGAIN = "decision", "again"


@dataclass(frozen=True, kw_only=True, slots=True)
class Event:
    """One event of a check. `voids` is the sequence it strikes, `keeps` the one a decision keeps.

    `late` marks a result that came after the stage was signed or the unit released.
    """

    sequence: int
    kind: str
    verdict: str
    person: int
    check_version: int
    base_sequence: int = 0
    voids: int = 0
    keeps: int = 0
    late: bool = False


def standing(events: Sequence[Event]) -> list[Event]:
    """The results that count: not struck, and recorded or kept since the check was last opened."""
    struck = {event.voids for event in events if event.kind == "void"}
    results = {event.sequence: event for event in events if event.kind == "result"}
    found: list[Event] = []
    for event in sorted(events, key=lambda one: one.sequence):
        if event.kind in ("reopen", "decide"):
            found = []
        kept = results.get(event.keeps) if event.kind == "decide" else None
        if event.kind == "result" and event.sequence not in struck:
            found.append(event)
        elif kept is not None:
            found.append(
                replace(event, kind="result", verdict=kept.verdict, base_sequence=event.sequence)
            )
    return found


def disputed(events: Sequence[Event]) -> list[Event]:
    """Standing results between which somebody must decide; empty when nobody must.

    What counts of each person is their newest result: whoever sees the other answer and comes
    round ends the dispute. A third person who adds an answer does not.
    """
    results = standing(events)
    newest = {event.person: event for event in results}
    last = sorted(newest.values(), key=lambda event: event.sequence)
    unseen = any(
        one.sequence > two.base_sequence and one.verdict != two.verdict
        for at, two in enumerate(last)
        for one in last[:at]
    )
    return last if unseen or any(event.late for event in results) else []


def state_of(events: Sequence[Event], *, version: int) -> str:
    """One of open, pass, fail, na, decision, again.

    >>> state_of([], version=1)
    'open'
    """
    results = standing(events)
    if not results:
        opened = any(event.kind in ("reopen", "decide") for event in events)
        return AGAIN if opened else OPEN
    if disputed(events):
        return DECISION
    last = results[-1]
    return AGAIN if last.check_version != version else last.verdict
