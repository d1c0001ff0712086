"""Working out what is to be known about a logic: proofs, faults, lamp heads, test steps.

Each answer is kept under the logic's SHA-256, so nothing is worked out twice. Quick ones are ready
before the page is; the rest a worker goes on with, piece by piece, and the page says how far it is.
"""

import logging
import time
from collections.abc import Iterator
from datetime import timedelta
from typing import Any

from django.conf import settings
from django.db.models import F, Q
from django.db.models.functions import Now

from jobs.background.bell import ring, ring_when_saved
from jobs.build_sheet.control.head_rows import head_row
from jobs.build_sheet.models import ControlLogic, LogicWork
from jobs.controls.codec import from_json
from jobs.controls.faults import FaultLine, fault_lines
from jobs.controls.heads import tables_in_turn
from jobs.controls.logic import Interlock, Logic
from jobs.controls.model import Model
from jobs.controls.plan import test_plan
from jobs.controls.proofs import proofs_in_turn
from jobs.controls.results import Proved, Refuted, Result
from jobs.controls.run_up import step_rows

log = logging.getLogger(__name__)
DRAIN = "jobs.drain_logic"
MOST_ATTEMPTS = 3
REQUEST_SECONDS = 2.0
FOREVER = float("inf")
# Faults and steps come in long pieces; those of a longer logic are left to the worker.
RULES_IN_A_REQUEST = 20
PAUSE_SECONDS = settings.CELERY_TASK_SOFT_TIME_LIMIT / 2
Kind, State = LogicWork.Kind, LogicWork.State
Rows = list[dict[str, Any]]


def work_on(kept: ControlLogic, kind: str) -> LogicWork:
    """The row of this answer, made when nobody asked before."""
    work, _ = LogicWork.objects.get_or_create(
        sha256=kept.sha256, kind=kind, defaults={"logic": kept.logic}
    )
    return work


def asked_for(kept: ControlLogic, *kinds: str, seconds: float = REQUEST_SECONDS) -> list[LogicWork]:
    """These answers, worked out here as far as the time allows; a worker is rung for the rest."""
    ends = time.monotonic() + seconds
    works = [work_on(kept, kind) for kind in kinds]
    for work in works:
        whole = seconds == FOREVER or not _too_long(work)
        if work.state == State.QUEUED and whole and time.monotonic() < ends:
            _go_on(work, until=ends)
    if any(work.is_waiting for work in works):
        ring_when_saved(DRAIN)
    return works


def _too_long(work: LogicWork) -> bool:
    return work.kind != Kind.PROOFS and len(work.logic.get("rules", [])) > RULES_IN_A_REQUEST


def complete(kept: ControlLogic, kind: str) -> LogicWork:
    """The whole answer, however long it takes. For commands, tasks and tests."""
    work = work_on(kept, kind)
    if work.state != State.DONE:
        _go_on(work, until=None)
    return work


def _go_on(work: LogicWork, *, until: float | None) -> None:
    """Work out piece after piece until all are done or the time is up; each is kept at once."""
    logic = from_json(work.logic)
    work.total = pieces(logic, work.kind)
    for rows in answers(logic, work.kind, work.done):
        work.found, work.done = [*work.found, *rows], work.done + 1
        whole = work.done == work.total
        work.state = State.DONE if whole else work.state
        if not _keep(work) or (until is not None and time.monotonic() >= until and not whole):
            return
    if work.state != State.DONE:  # a logic without interlocks has no piece at all
        work.state = State.DONE
        _keep(work)


def _keep(work: LogicWork) -> bool:
    """Write what is found so far; somebody who got further meanwhile is not overwritten."""
    ended = work.state == State.DONE
    return bool(
        LogicWork.objects.filter(pk=work.pk, done__lte=work.done)
        .exclude(state=State.DONE)
        .update(
            found=work.found,
            done=work.done,
            total=work.total,
            state=work.state,
            error="",
            lease_until=None if ended or work.state == State.QUEUED else _lease(),
        )
    )


def pieces(logic: Logic, kind: str) -> int:
    if kind == Kind.HEADS:
        return len(logic.heads)
    return 1 if kind == Kind.STEPS else len(logic.interlocks)


def answers(logic: Logic, kind: str, first: int) -> Iterator[Rows]:
    """The answer in pieces, from the one with this number on, as plain rows."""
    if kind == Kind.PROOFS:
        for interlock, found in zip(
            logic.interlocks[first:], proofs_in_turn(logic, first), strict=True
        ):
            yield [_proof(interlock, line, result) for line, result in found]
    elif kind == Kind.FAULTS:
        for lines in fault_lines(logic, first):
            yield [_fault(line) for line in lines]
    elif kind == Kind.HEADS:
        for table in tables_in_turn(Model(logic), first):
            yield [head_row(table)]
    else:
        yield step_rows(logic, test_plan(logic))


def _proof(parent: Interlock, line: Interlock, result: Result) -> dict[str, Any]:
    state, word, text = in_words(result)
    return {
        "interlock": parent.name,
        "name": line.name,
        "label": line.label or line.name,
        "safety": line.safety,
        "state": state,
        "word": word,
        "text": text,
    }


def _fault(line: FaultLine) -> dict[str, Any]:
    state, word, text = in_words(line.result)
    return {
        "interlock": line.interlock,
        "fault": line.fault,
        "safety": line.safety,
        "state": state,
        "word": word,
        "text": text,
        "covered_by": list(line.covered_by),
        "uncovered": line.uncovered,
    }


def in_words(result: Result) -> tuple[str, str, str]:
    """State, word and sentence of an answer."""
    match result:
        case Proved(states_checked=states, how=how):
            return "pass", "Proved", f"{how} ({states:,} states)."
        case Refuted(counterexample=example):
            return "fail", "Refuted", example.sentence
        case _:
            return "open", "Not proved", result.reason


def forget(sha256: str) -> None:
    """Throw the answers about a text away that no version has any more."""
    if not ControlLogic.objects.filter(sha256=sha256).exists():
        LogicWork.objects.filter(sha256=sha256).delete()


# --- the worker ---


def _lease() -> object:
    return Now() + timedelta(seconds=settings.LEASE_SECONDS)


def waiting() -> Q:
    """Answers nobody works on: queued, or claimed by a worker that died."""
    return Q(state=State.QUEUED) | Q(state=State.RUNNING, lease_until__lt=Now())


def claim() -> LogicWork | None:
    for pk in LogicWork.objects.filter(waiting()).values_list("pk", flat=True)[:20]:
        taken = LogicWork.objects.filter(waiting(), pk=pk).update(
            state=State.RUNNING, lease_until=_lease(), attempts=F("attempts") + 1
        )
        if taken:
            return LogicWork.objects.get(pk=pk)
    return None


def drain() -> None:
    """Work on one waiting answer; ring again when more is left."""
    work = claim()
    if work is None:
        return
    before = work.done
    try:
        if work.attempts > MOST_ATTEMPTS:
            _end(
                work,
                State.FAILED,
                f"The worker stopped {MOST_ATTEMPTS} times at piece {before + 1}.",
            )
        else:
            _go_on(work, until=time.monotonic() + PAUSE_SECONDS)
            if work.state == State.RUNNING:
                _end(work, State.QUEUED)
    except Exception:
        log.exception("%s could not be worked out", work)
        _end(work, State.QUEUED if work.attempts < MOST_ATTEMPTS else State.FAILED,
             f"Piece {work.done + 1} of {work.total} took too long or failed.")  # fmt: skip
    if work.done > before:
        LogicWork.objects.filter(pk=work.pk).update(attempts=0)  # it got further
    if LogicWork.objects.filter(waiting()).exists():
        ring(DRAIN)


def _end(work: LogicWork, state: str, error: str = "") -> None:
    LogicWork.objects.filter(pk=work.pk, state=State.RUNNING).update(
        state=state, error=error, lease_until=None
    )


def release_all() -> None:
    """Give back everything claimed. Only for a worker that knows it is the only one, starting."""
    LogicWork.objects.filter(state=State.RUNNING).update(state=State.QUEUED, lease_until=None)
