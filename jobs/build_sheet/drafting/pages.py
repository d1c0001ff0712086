"""What the pages of one version show: its entries, its proofs, its standing."""

from dataclasses import dataclass
from typing import Any

from jobs.build_sheet.drafting.gate import Gate, gate_of
from jobs.build_sheet.drafting.sentences import Line, lines_of
from jobs.build_sheet.drafting.working_out import Kind
from jobs.build_sheet.models import ControlLogic
from jobs.controls.codec import from_json

TITLES = {
    "interlocks": "Interlocks",
    "rules": "Rules",
    "signals": "Signals",
    "terms": "Terms",
    "outputs": "Outputs",
    "heads": "Lamp heads",
    "profile": "Legal profile",
    "assumptions": "Assumptions",
    "nodes": "Nodes",
    "wires": "Wires",
}
NOUN_OF_ONE = {
    "interlocks": "interlock",
    "rules": "rule",
    "signals": "signal",
    "terms": "term",
    "outputs": "output",
    "heads": "lamp head",
    "profile": "zone",
    "assumptions": "assumption",
    "nodes": "node",
    "wires": "wire",
}
ABOUT = {
    "interlocks": "What must hold in every state. Proved again after each change.",
    "rules": "What drives each output. Of several on one output the highest priority wins.",
    "signals": "What the logic reads, and what it reads when a wire is cut.",
    "terms": "Named parts of expressions.",
    "outputs": "What rules drive, and what other rules may look at.",
    "heads": "The first pattern whose condition holds is shown, so exactly one.",
    "profile": "Colours that the law of the place allows in each zone.",
    "assumptions": "What physics guarantees. Proofs look only at states where it holds.",
    "nodes": "Modules with their channels and pins.",
    "wires": "Which output sits on which channel, which signal on which pin.",
}
WORST = {"fail": 0, "open": 1, "wait": 2, "pass": 3}


@dataclass(frozen=True, kw_only=True, slots=True)
class Judged:
    """An entry with its proof, where it has one."""

    line: Line
    state: str = ""
    word: str = ""
    text: str = ""
    # The line whose counterexample the simulator can step through.
    example: str = ""


@dataclass(frozen=True, kw_only=True, slots=True)
class Group:
    part: str
    title: str
    noun: str
    about: str
    rows: list[Judged]


def sheet_context(kept: ControlLogic) -> dict[str, Any]:
    gate = gate_of(kept, Kind.PROOFS)
    logic = from_json(kept.logic)
    groups = [
        Group(
            part=part,
            title=title,
            noun=NOUN_OF_ONE[part],
            about=ABOUT[part],
            rows=[_judged(line, gate) if part == "interlocks" else Judged(line=line)
                  for line in lines_of(logic, part)],
        )
        for part, title in TITLES.items()
    ]  # fmt: skip
    return {"kept": kept, "groups": groups, "gate": gate, "title": logic.title}


def _judged(line: Line, gate: Gate) -> Judged:
    """The worst answer about an interlock; one about all outputs has one for each."""
    found = [row for row in gate.proofs if row["interlock"] == line.name]
    if not found:
        return Judged(line=line, state="wait", word="Not judged yet")
    worst = min(found, key=lambda row: WORST[row["state"]])
    bad = [row for row in found if row["state"] != "pass"]
    text = " ".join(row["text"] for row in bad[:3]) or worst["text"]
    if len(found) > 1 and not bad:
        text = f"All {len(found)} hold."
    example = worst["name"] if worst["state"] == "fail" else ""
    return Judged(line=line, state=worst["state"], word=worst["word"], text=text, example=example)
