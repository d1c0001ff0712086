"""What keeps a version from release: answers not ready, interlocks that break, uncovered faults."""

from dataclasses import dataclass, field
from typing import Any

from jobs.build_sheet.drafting.working_out import Kind, State, asked_for
from jobs.build_sheet.models import AcceptedRisk, ControlLogic, LogicWork
from jobs.controls.codec import from_json
from jobs.controls.grounds import fingerprint

Row = dict[str, Any]
SHOWN = 8


@dataclass(frozen=True, kw_only=True, slots=True)
class Risk:
    """Something that needs a named person's acceptance, with it where it was given."""

    fingerprint: str
    interlock: str
    label: str
    what: str
    text: str
    what_is_fault: bool = False
    accepted: AcceptedRisk | None = None


@dataclass(frozen=True, kw_only=True, slots=True)
class Gate:
    works: list[LogicWork]
    proofs: list[Row]
    risks: list[Risk] = field(default_factory=list)

    @property
    def ready(self) -> bool:
        return all(work.state == State.DONE for work in self.works)

    @property
    def waiting(self) -> bool:
        return any(work.is_waiting for work in self.works)

    @property
    def open_risks(self) -> list[Risk]:
        return [risk for risk in self.risks if risk.accepted is None]

    @property
    def accepted_risks(self) -> list[Risk]:
        return [risk for risk in self.risks if risk.accepted is not None]

    @property
    def proved(self) -> bool:
        work = next(work for work in self.works if work.kind == Kind.PROOFS)
        return work.state == State.DONE and all(row["state"] == "pass" for row in self.proofs)

    @property
    def blockers(self) -> list[str]:
        """Every reason as a sentence."""
        found = [
            f"{work.get_kind_display()}: {work.get_state_display().lower()}"
            f"{f', {work.done} of {work.total}' if work.total else ''}. {work.error}".strip()
            for work in self.works
            if work.state != State.DONE
        ]
        left = self.open_risks
        found += [f"{risk.interlock}: {risk.what} is not accepted." for risk in left[:SHOWN]]
        if len(left) > SHOWN:
            found.append(f"{len(left) - SHOWN} more are not accepted.")
        return found


ALL = (Kind.PROOFS, Kind.FAULTS, Kind.STEPS)


def gate_of(kept: ControlLogic, *kinds: str, seconds: float | None = None) -> Gate:
    """How a version stands. What is not ready is worked out as far as the time allows.

    A draft that is still being changed asks for its proofs only; the rest waits for the release.
    """
    more = {} if seconds is None else {"seconds": seconds}
    works = asked_for(kept, *(kinds or ALL), **more)
    found = {work.kind: work.found for work in works}
    proofs = found.get(Kind.PROOFS, [])
    risks = _risks(kept, proofs, found.get(Kind.FAULTS, []))
    return Gate(works=works, proofs=proofs, risks=risks)


def _risks(kept: ControlLogic, proofs: list[Row], faults: list[Row]) -> list[Risk]:
    """Interlocks that do not hold, then single faults that nothing covers."""
    broken = [
        (row["interlock"], "" if row["name"] == row["interlock"] else row["name"], row)
        for row in proofs
        if row["state"] != "pass"
    ]
    uncovered = [(row["interlock"], row["fault"], row) for row in faults if row["uncovered"]]
    if not broken and not uncovered:
        return []
    logic = from_json(kept.logic)
    interlocks = {each.name: each for each in logic.interlocks}
    accepted = {each.fingerprint: each for each in kept.job.accepted_risks.all()}
    found = []
    for name, detail, row in [*broken, *uncovered]:
        key = fingerprint(logic, interlocks[name], detail)
        found.append(
            Risk(
                fingerprint=key,
                interlock=name,
                label=interlocks[name].label,
                what=row.get("fault") or f"{row['word']}: {row['label']}",
                text=row["text"],
                what_is_fault="fault" in row,
                accepted=accepted.get(key),
            )
        )
    return found
