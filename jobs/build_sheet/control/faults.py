"""The page of single faults: what each one breaks, what covers it, uncovered ones first."""

from dataclasses import dataclass
from typing import Any

from jobs.build_sheet.drafting.gate import Risk
from jobs.build_sheet.models import AcceptedRisk, ControlLogic, LogicWork
from jobs.controls.codec import from_json

UNCOVERED, BROKEN, HELD, HARMLESS = range(4)
GROUPS = (
    (
        "Uncovered",
        "An interlock breaks that somebody's safety hangs on, and nothing else covers it. Release "
        "waits until a named person accepts it in writing. Better: a second contact, a relay in "
        "series, a monitored wire.",
    ),
    (
        "Breaks something, covered or not about safety",
        "The interlock breaks, but somebody can take the energy away, or nobody's safety hangs "
        "on it.",
    ),
    (
        "Held by a second means",
        "Every interlock stays whole because something else still sees or cuts it: if that fails "
        "as well, it breaks. Only the test steps notice that one of the two is gone.",
    ),
    ("Breaks nothing", "Every interlock stays whole by the logic alone."),
)


@dataclass(frozen=True, kw_only=True, slots=True)
class Line:
    """One interlock under the fault. Rank is one of the four above."""

    interlock: str
    label: str
    safety: bool
    rank: int
    state: str
    word: str
    text: str
    covered_by: str
    accepted: AcceptedRisk | None


@dataclass(frozen=True, kw_only=True, slots=True)
class FaultRow:
    """A single fault with the interlocks that it breaks or that something holds; `whole` others."""

    fault: str
    rank: int
    lines: tuple[Line, ...]
    whole: int


@dataclass(frozen=True, kw_only=True, slots=True)
class FaultGroup:
    title: str
    about: str
    rows: tuple[FaultRow, ...]
    is_first: bool
    is_last: bool


def fault_context(kept: ControlLogic, work: LogicWork, risks: list[Risk]) -> dict[str, Any]:
    labels = {each.name: each.label or each.name for each in from_json(kept.logic).interlocks}
    accepted = {(risk.interlock, risk.what): risk.accepted for risk in risks}
    faults: dict[str, list[Line]] = {}
    for row in work.found:
        line = _line(row, labels, accepted.get((row["interlock"], row["fault"])))
        faults.setdefault(row["fault"], []).append(line)
    rows = [_row(fault, lines) for fault, lines in faults.items()]
    groups = [
        FaultGroup(
            title=title,
            about=about,
            rows=tuple(row for row in rows if row.rank == rank),
            is_first=rank == UNCOVERED,
            is_last=rank == HARMLESS,
        )
        for rank, (title, about) in enumerate(GROUPS)
    ]
    uncovered = [line for row in rows for line in row.lines if line.rank == UNCOVERED]
    return {
        "groups": groups,
        "count": len(rows),
        "pairs": len(work.found),
        "uncovered": len(uncovered),
        "unaccepted": sum(line.accepted is None for line in uncovered),
    }


def _row(fault: str, lines: list[Line]) -> FaultRow:
    worst = min(line.rank for line in lines)
    shown = sorted((each for each in lines if each.rank != HARMLESS), key=lambda each: each.rank)
    return FaultRow(fault=fault, rank=worst, lines=tuple(shown), whole=len(lines) - len(shown))


def _line(row: dict[str, Any], labels: dict[str, str], accepted: AcceptedRisk | None) -> Line:
    holds, covered = row["state"] == "pass", row["covered_by"]
    if row["uncovered"]:
        rank, state, word = UNCOVERED, "fail", "Breaks, uncovered"
    elif not holds:
        rank, state, word = BROKEN, "wait", "Breaks"
    elif covered:
        rank, state, word = HELD, "pass", "Held"
    else:
        rank, state, word = HARMLESS, "pass", "Holds"
    if row["state"] == "open":
        word = "Not proved, counts as broken"
    return Line(
        interlock=row["interlock"],
        label=labels.get(row["interlock"], ""),
        safety=row["safety"],
        rank=rank,
        state=state,
        word=word,
        text="" if holds else row["text"],
        covered_by=", ".join(covered),
        accepted=accepted,
    )
