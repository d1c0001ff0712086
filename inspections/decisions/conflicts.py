"""What waits for a decision on a unit: the answers, and why the program does not choose."""

from collections.abc import Sequence
from dataclasses import dataclass

from inspections.checklists import state as rules
from inspections.checklists.events import events_of
from inspections.checklists.models import Check, Result
from jobs.models import Unit

Kind = Result.Kind


@dataclass(frozen=True, kw_only=True, slots=True)
class Conflict:
    """One check, why it waits, and the results among which somebody chooses."""

    check: Check
    why: str
    answers: Sequence[Result]
    seen: int

    @property
    def disputes(self) -> bool:
        """Whether two answers differ; else one answer came for an older question or late."""
        return len({result.verdict for result in self.answers}) > 1


def conflicts(unit: Unit) -> list[Conflict]:
    """Everything on this unit that somebody has to decide, in the order of the work."""
    states = (Check.State.DECISION, Check.State.AGAIN)
    checks = unit.checks.filter(retired=False, state__in=states).select_related("stage")
    found = (conflict_of(check) for check in checks.order_by("position"))
    return [conflict for conflict in found if conflict is not None]


def conflict_of(check: Check) -> Conflict | None:
    """What waits on this check, or None. A check opened for rework waits for work, not for this."""
    events = events_of(check)
    standing = rules.standing(events)
    if not standing:
        return None
    if waiting := rules.disputed(events):
        why = _why(waiting)
    elif standing[-1].check_version != check.version:
        waiting, why = standing[-1:], _changed(check, standing[-1])
    else:
        return None
    return Conflict(check=check, why=why, answers=_rows(check, waiting), seen=events[-1].sequence)


def _rows(check: Check, waiting: Sequence[rules.Event]) -> list[Result]:
    """The results behind the events; a decision made before stands for the result it kept."""
    rows = {
        row.sequence: row
        for row in check.results.select_related(
            "person", "instrument", "keeps__person", "keeps__instrument"
        ).prefetch_related("photos__photo", "keeps__photos__photo")
    }
    found = [rows[event.sequence] for event in waiting]
    return [row.keeps if row.kind == Kind.DECIDE and row.keeps else row for row in found]


def _why(waiting: Sequence[rules.Event]) -> str:
    if any(event.late for event in waiting):
        return "A result came after the signature. The signature stands; somebody decides."
    return f"{len(waiting)} people checked this without knowing of each other and disagree."


def _changed(check: Check, last: rules.Event) -> str:
    asked = check.asked(last.check_version)
    return (
        f"The question has changed. This answer is for version {last.check_version}"
        f" ({asked['expected_text']}); version {check.version} asks: {check.expected_text}."
    )


def past_decisions(unit: Unit) -> list[Result]:
    """Decisions already made on this unit, newest first."""
    query = unit.results.filter(kind=Kind.DECIDE).select_related(
        "person", "check_item", "keeps__person"
    )
    return list(query.order_by("-sequence"))
