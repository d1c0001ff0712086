"""The demo's control logic: kept, accepted by name where needed, released for testing."""

from typing import Any

from django.contrib.auth.models import User

from inspections.demo.rows import read
from inspections.release.logic_release import release_program
from jobs.build_sheet.drafting.actions import save_entry, start_draft
from jobs.build_sheet.drafting.document import entry_of
from jobs.build_sheet.drafting.gate import Gate, gate_of
from jobs.build_sheet.drafting.release import accept_risks
from jobs.build_sheet.drafting.working_out import FOREVER
from jobs.build_sheet.logic import keep_logic
from jobs.models import ControlLogic, Job


def release_version(job: Job, version: str, note: str, people: dict[str, User]) -> ControlLogic:
    """One version of the data folder: by Ari Stroud, its exceptions accepted by Pell Corrigan."""
    data = read(f"logic_v{version.replace('.', '_')}")
    kept = keep_logic(job=job, version=version, data=data, note=note, by=people["ari"])
    gate = gate_of(kept, seconds=FOREVER)
    for reason, chosen in _reasons(gate).items():
        accept_risks(kept=kept, gate=gate, chosen=chosen, reason=reason, by=people["pell"])
    release_program(kept=kept, by=people["pell"])
    return kept


def _reasons(gate: Gate) -> dict[str, set[str]]:
    """What is still to be accepted, by the reason that the shop gave for its interlock."""
    said = read("logic_risks")
    found: dict[str, set[str]] = {}
    for risk in gate.open_risks:
        refuted = not risk.what_is_fault
        reason = said["refuted" if refuted else "faults"][risk.interlock]
        found.setdefault(reason, set()).add(risk.fingerprint)
    return found


def try_change(base: ControlLogic, people: dict[str, User]) -> ControlLogic:
    """A draft in which somebody tries what a crew asked for; its proof says why not."""
    wish: dict[str, Any] = read("logic_risks")["draft"]
    by = people["ari"]
    draft = start_draft(job=base.job, version=wish["version"], note=wish["note"], by=by, base=base)
    rule = entry_of(draft.logic, "rules", wish["rule"])
    assert rule is not None
    entry = rule | {"when": wish["when"]}
    return save_entry(
        draft=draft, seen=draft.edits, part="rules", was=wish["rule"], entry=entry, by=by
    )
