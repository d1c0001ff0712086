"""Suggestions that make a failing circuit pass: priced, applied in one action, taken back again."""

from dataclasses import dataclass, replace
from decimal import Decimal
from typing import Any

from django.db import transaction
from django.db.models import F
from django.utils import timezone

from jobs.audit.record import display_name, record
from jobs.build_sheet.actions import BuildSheetError
from jobs.build_sheet.design import design_of, load_of
from jobs.build_sheet.models import AppliedChange, Circuit, CircuitLoad, Feed, ModeDuty
from jobs.build_sheet.rows import rows_of
from jobs.build_sheet.sizing_prices import PriceLine, price_lines, prices_now
from jobs.electrical.design import Conductor, Design
from jobs.electrical.suggest import Suggestion, SuggestionKind, second_half_ref, suggest
from jobs.findings import Severity
from jobs.intake.models import Job

Values = dict[str, Any]
MODELS: dict[str, Any] = {"circuit": Circuit, "feed": Feed}


@dataclass(frozen=True, kw_only=True, slots=True)
class Priced:
    """A suggestion with its copper [g] and what it costs, line by line."""

    suggestion: Suggestion
    mass_g: Decimal
    lines: list[PriceLine]

    @property
    def cents(self) -> int | None:
        """What is priced of it; None when nothing is."""
        known = [line.cents for line in self.lines if line.cents is not None]
        return sum(known) if known else None

    @property
    def unpriced(self) -> list[str]:
        return [line.words for line in self.lines if line.cents is None]

    @property
    def clean(self) -> bool:
        """Whether it breaks nothing else."""
        bad = (Severity.FAIL, Severity.UNDETERMINED)
        kinds = [c.after.severity for c in self.suggestion.changes if c.after and not c.before]
        return not any(severity in bad for severity in kinds)


def suggestions_of(job: Job, ref: str) -> list[Priced]:
    """The smallest change of each kind that passes, lightest first, harmless ones before others."""
    design, prices = design_of(job), prices_now()
    priced = [
        Priced(
            suggestion=each,
            mass_g=Decimal(str(round(1000 * each.copper_kg, 1))),
            lines=price_lines(design, each.design, prices),
        )
        for each in suggest(design, ref)
    ]
    return sorted(priced, key=lambda each: (not each.clean, each.mass_g))


@transaction.atomic
def apply_suggestion(*, job: Job, ref: str, kind: str, sentence: str, by: Any) -> AppliedChange:
    """Make the suggested change. It is worked out again: a design that moved on is not touched."""
    design = design_of(job)
    found = next(
        (s for s in suggest(design, ref) if (s.kind, s.sentence) == (kind, sentence)), None
    )
    if found is None:
        raise BuildSheetError(
            f"{sentence} This is no longer what makes {ref} pass; somebody changed it meanwhile."
        )
    before, after = _differences(design, found.design)
    for what, rows in after.items():
        _write(job, what, rows, before[what])
    if found.kind is SuggestionKind.SPLIT:
        before["split"], after["split"] = _split(job, ref, found.design)
    applied = AppliedChange.objects.create(
        job=job,
        circuit_ref=ref,
        kind=found.kind,
        sentence=found.sentence,
        before=before,
        after=after,
        applied_by=display_name(by),
    )
    _record(applied, by, "applied", f"Applied to circuit {ref}: {found.sentence}")
    return applied


@transaction.atomic
def undo_suggestion(*, applied: AppliedChange, by: Any) -> None:
    """Put back what stood before, if nobody changed it since."""
    done = AppliedChange.objects.filter(pk=applied.pk, undone_at=None).update(
        undone_at=timezone.now(), undone_by=display_name(by)
    )
    if not done:
        raise BuildSheetError("This is undone already.")
    if "split" in applied.after:
        _join(applied.job, applied.circuit_ref, applied.before["split"], applied.after["split"])
    for what in MODELS:
        if what in applied.after:
            _write(applied.job, what, applied.before[what], applied.after[what])
    _record(applied, by, "undid", f"Undid on circuit {applied.circuit_ref}: {applied.sentence}")


def _record(applied: AppliedChange, by: Any, verb: str, sentence: str) -> None:
    record(by=by, verb=verb, subject=applied, job=applied.job.number, sentence=sentence)


def _differences(old: Design, new: Design) -> tuple[dict[str, Values], dict[str, Values]]:
    """Stored values of the runs that the suggestion alters, before and after, by reference."""
    before: dict[str, Values] = {}
    after: dict[str, Values] = {}
    for what, olds, news in (
        ("circuit", old.circuits, new.circuits),
        ("feed", old.feeds, new.feeds),
    ):
        by_ref = {item.ref: item for item in news}
        for item in olds:
            was, now = _stored(item), _stored(by_ref[item.ref])
            if was != now:
                changed = [name for name in was if was[name] != now[name]]
                before.setdefault(what, {})[item.ref] = {name: was[name] for name in changed}
                after.setdefault(what, {})[item.ref] = {name: now[name] for name in changed}
    return before, after


def _stored(item: Conductor) -> Values:
    """What a suggestion may alter of a run, in stored units and fit for JSON."""
    length = item.length_m
    return {
        "awg": item.awg or "",
        "device_ma": None if item.device_a is None else round(1000 * item.device_a),
        "length_mm": None if length is None else f"{1000 * length:.2f}",
    }


def _write(job: Job, what: str, new: dict[str, Values], old: dict[str, Values]) -> None:
    for ref, values in new.items():
        rows = MODELS[what].objects.filter(job=job, ref=ref, **old[ref])
        if not rows.update(**values, version=F("version") + 1):
            raise BuildSheetError(
                f"{what.capitalize()} {ref} was changed since; change it by hand."
            )


def _split(job: Job, ref: str, design: Design) -> tuple[list[Values], list[Values]]:
    """Half of the pieces onto a second circuit of the same make, on in the same modes."""
    first = job.circuits.get(ref=ref)
    before = _pieces(first)
    second = Circuit.objects.get(pk=first.pk)
    second.pk, second.ref, second.label = None, second_half_ref(ref), second_half_ref(ref)
    second.node, second.channel, second._state.adding = None, "", True
    second.save()
    halves = {item.ref: item.loads for item in design.circuits if item.ref in (ref, second.ref)}
    rows = rows_of(job)
    for load in rows.loads[first.pk]:
        one = replace(load_of(load, rows), quantity=1)
        kept, moved = (
            sum(each.quantity for each in halves[circuit] if replace(each, quantity=1) == one)
            for circuit in (ref, second.ref)
        )
        _deal(load, kept, moved, second)
    ModeDuty.objects.bulk_create(
        ModeDuty(mode_id=duty.mode_id, circuit=second, permille=duty.permille)
        for duty in first.duties.all()
    )
    Circuit.objects.filter(pk=first.pk).update(version=F("version") + 1)
    return before, _pieces(first)


def _deal(load: Any, kept: int, moved: int, second: Circuit) -> None:
    if moved:
        CircuitLoad.objects.create(
            circuit=second, line_id=load.line_id, quantity=moved, function=load.function
        )
    row = CircuitLoad.objects.filter(pk=load.id)
    if kept:
        row.update(quantity=kept)
    else:
        row.delete()


def _pieces(circuit: Circuit) -> list[Values]:
    return list(
        circuit.loads.order_by("line_id", "function").values("line_id", "quantity", "function")
    )


def _join(job: Job, ref: str, before: list[Values], after: list[Values]) -> None:
    """Take the second circuit away again and hang every piece on the first."""
    first = job.circuits.filter(ref=ref).first()
    second = job.circuits.filter(ref=second_half_ref(ref)).first()
    if first is None or second is None or _pieces(first) != after or second.version:
        raise BuildSheetError(f"The halves of circuit {ref} were changed since; join them by hand.")
    second.delete()
    first.loads.all().delete()
    CircuitLoad.objects.bulk_create(CircuitLoad(circuit=first, **values) for values in before)
    Circuit.objects.filter(pk=first.pk).update(version=F("version") + 1)
