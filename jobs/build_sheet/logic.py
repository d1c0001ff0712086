"""Control logic of a job: versions kept as plain JSON, each with what was proved about it."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, fields
from typing import Any

from django.contrib.auth.models import User
from django.db import transaction

from jobs.audit.record import display_name, record
from jobs.build_sheet.drafting.working_out import complete
from jobs.build_sheet.models import ControlLogic, LogicWork
from jobs.controls.codec import from_json, sha256, to_json
from jobs.controls.logic import Logic
from jobs.controls.order import LogicError
from jobs.controls.words import Words
from jobs.intake.models import Job

__all__ = ["LogicError", "Proof", "keep_logic", "proofs_in_order", "proofs_of", "rule_sentences"]


@dataclass(frozen=True, kw_only=True, slots=True)
class Proof:
    """One interlock with its answer in words. State: pass, fail or open."""

    name: str
    label: str
    safety: bool
    state: str
    word: str
    text: str


@transaction.atomic
def keep_logic(*, job: Job, version: str, data: object, note: str, by: User) -> ControlLogic:
    """Keep a version. Raises LogicError, a sentence with the place, and then nothing is kept."""
    logic = from_json(data)
    if job.logic_versions.filter(version=version).exists():
        raise LogicError(f"Version {version} is already kept for job {job.number}.")
    kept = ControlLogic.objects.create(
        job=job,
        version=version,
        logic=to_json(logic),
        sha256=sha256(logic),
        note=note,
        made_by=display_name(by),
    )
    record(
        by=by,
        verb="kept",
        subject=kept,
        job=job.number,
        sentence=f"Kept control logic {version}, {len(logic.rules)} rules: {note}",
    )
    return kept


def proofs_of(kept: ControlLogic) -> list[Proof]:
    """Every interlock judged, however long that takes the first time; see `proofs_in_order`."""
    return proofs_in_order(complete(kept, LogicWork.Kind.PROOFS).found)


def proofs_in_order(rows: Iterable[dict[str, Any]]) -> list[Proof]:
    """Those that do not hold first, safety before comfort."""
    names = [each.name for each in fields(Proof)]
    found = [Proof(**{name: row[name] for name in names}) for row in rows]
    order = {"fail": 0, "open": 1, "pass": 2}
    return sorted(found, key=lambda proof: (order[proof.state], not proof.safety))


def rule_sentences(kept: ControlLogic) -> Sequence[dict[str, Any]]:
    """The rules as plain sentences, with the reason that was written down for each."""
    logic: Logic = from_json(kept.logic)
    words = Words(logic)
    return [
        {"name": rule.name, "sentence": words.rule(rule), "why": rule.why} for rule in logic.rules
    ]
