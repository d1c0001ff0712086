"""Releasing control logic: the version is fixed, and its test steps become checks of the units."""

from dataclasses import dataclass

from django.contrib.auth.models import User
from django.db import transaction

from inspections.checklists.generate import generate_checks
from jobs.build_sheet.drafting.gate import Gate
from jobs.build_sheet.drafting.release import release_logic
from jobs.models import ControlLogic, Unit


@dataclass(frozen=True, kw_only=True, slots=True)
class Asked:
    """What a release means for the steps of one unit."""

    unit: str
    new: int
    again: int
    gone: int
    kept: int

    def __str__(self) -> str:
        if not (self.new or self.again or self.kept):
            return f"Unit {self.unit} has no stages yet; its steps follow with them."
        return (
            f"Unit {self.unit}: {self.kept} steps keep their results, {self.again} are asked "
            f"again, {self.new} are new, {self.gone} are gone."
        )


@transaction.atomic
def release_program(*, kept: ControlLogic, by: User, gate: Gate | None = None) -> list[Asked]:
    """Release the version and bring every unit that is not released yet up to it."""
    release_logic(kept=kept, by=by, gate=gate)
    units = Unit.objects.filter(job=kept.job, release=None).order_by("id")
    return [_ask(unit, by) for unit in units]


def _ask(unit: Unit, by: User) -> Asked:
    before = _steps(unit)
    if unit.stages.exists():
        generate_checks(unit=unit, by=by)
    now = _steps(unit)
    fresh = now.keys() - before.keys()
    again = {key for key in fresh if now[key]}
    return Asked(
        unit=unit.number,
        new=len(fresh - again),
        again=len(again),
        gone=len(before.keys() - now.keys()) - len(again),
        kept=len(before.keys() & now.keys()),
    )


def _steps(unit: Unit) -> dict[str, int | None]:
    """Key of each step that counts, with the check it replaces."""
    steps = unit.checks.filter(retired=False).exclude(about="")
    return dict(steps.values_list("key", "replaces"))
