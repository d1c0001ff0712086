"""Control logic of a job: versions kept as plain JSON, proved whenever somebody looks."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from django.contrib.auth.models import User
from django.db import transaction

from jobs.audit.record import display_name, record
from jobs.build_sheet.models import ControlLogic
from jobs.controls.codec import from_json, sha256, to_json
from jobs.controls.logic import Interlock, Logic
from jobs.controls.order import LogicError
from jobs.controls.proofs import prove_all
from jobs.controls.results import Proved, Refuted, Result
from jobs.controls.words import Words
from jobs.intake.models import Job

__all__ = ["LogicError", "Proof", "keep_logic", "proofs_of", "rule_sentences"]


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
    """Every interlock judged anew, those that do not hold first, safety before comfort."""
    found = [_proof(interlock, result) for interlock, result in prove_all(from_json(kept.logic))]
    order = {"fail": 0, "open": 1, "pass": 2}
    return sorted(found, key=lambda proof: (order[proof.state], not proof.safety))


def _proof(interlock: Interlock, result: Result) -> Proof:
    state, word, text = _words(result)
    return Proof(
        name=interlock.name,
        label=interlock.label or interlock.name,
        safety=interlock.safety,
        state=state,
        word=word,
        text=text,
    )


def _words(result: Result) -> tuple[str, str, str]:
    match result:
        case Proved(states_checked=states, how=how):
            return "pass", "Proved", f"{how} ({states:,} states)."
        case Refuted(counterexample=example):
            return "fail", "Refuted", example.sentence
        case _:
            return "open", "Not proved", result.reason


def rule_sentences(kept: ControlLogic) -> Sequence[dict[str, Any]]:
    """The rules as plain sentences, with the reason that was written down for each."""
    logic: Logic = from_json(kept.logic)
    words = Words(logic)
    return [
        {"name": rule.name, "sentence": words.rule(rule), "why": rule.why} for rule in logic.rules
    ]
