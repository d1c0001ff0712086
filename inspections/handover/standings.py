"""Where a job stands from quality checks to delivery, counted over all its units."""

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field

from django.db.models import Count
from django.urls import reverse

from config.access import INSPECTOR, MANAGER, TECHNICIAN
from inspections.checklists.models import Check
from inspections.defects.models import Defect
from inspections.handover.models import Acceptance, Receipt
from inspections.release.models import Release
from jobs.intake.spine import Action, Now, Standing, register_steps
from jobs.models import Job, Unit

GOOD = (Check.State.PASS, Check.State.NOT_APPLICABLE)
UNSOLVED = (Defect.State.OPEN, Defect.State.REWORKED)
LATER = Standing(now=Now.LATER)
ACCEPTED = (Acceptance.Answer.ACCEPTED, Acceptance.Answer.PUNCH_LIST)


@dataclass(kw_only=True, slots=True)
class UnitFacts:
    """What is on record for one unit."""

    unit: Unit
    checks: Counter[str] = field(default_factory=Counter)
    defects: list[Defect] = field(default_factory=list)
    released: bool = False
    received: bool = False
    accepted: bool = False

    @property
    def good(self) -> int:
        return sum(self.checks[state] for state in GOOD)

    @property
    def passed(self) -> bool:
        return 0 < self.good == self.checks.total()

    @property
    def unsolved(self) -> list[Defect]:
        return [defect for defect in self.defects if defect.state in UNSOLVED]

    def url(self, name: str, *args: object) -> str:
        return reverse(name, args=[self.unit.job.number, self.unit.number, *args])


def _facts(jobs: Sequence[Job]) -> dict[int, list[UnitFacts]]:
    """The facts of every unit, by job, in a fixed number of queries."""
    units = Unit.objects.filter(job__in=jobs).select_related("job").order_by("id")
    facts = {unit.pk: UnitFacts(unit=unit) for unit in units}
    checks = Check.objects.filter(unit__in=facts, retired=False).order_by()
    counts = checks.values_list("unit_id", "state").annotate(count=Count("pk"))
    for pk, state, count in counts:
        facts[pk].checks[state] = count
    for defect in Defect.objects.filter(unit__in=facts).order_by("unit", "number"):
        facts[defect.unit_id].defects.append(defect)
    for name, rows in (
        ("released", Release.objects.all()),
        ("received", Receipt.objects.all()),
        ("accepted", Acceptance.objects.filter(answer__in=ACCEPTED)),
    ):
        for pk in rows.filter(unit__in=facts).values_list("unit_id", flat=True):
            setattr(facts[pk], name, True)
    by_job: dict[int, list[UnitFacts]] = {}
    for one in facts.values():
        by_job.setdefault(one.unit.job_id, []).append(one)
    return by_job


def standings(jobs: Sequence[Job]) -> dict[str, dict[int, Standing]]:
    facts = _facts(jobs)
    return {
        key: {pk: told(units) for pk, units in facts.items()}
        for key, told in (
            ("checks", _checks),
            ("rework", _rework),
            ("released", _released),
            ("delivered", _delivered),
        )
    }


def _checks(units: Iterable[UnitFacts]) -> Standing:
    good = sum(one.good for one in units)
    total = sum(one.checks.total() for one in units)
    if not total:
        return LATER
    detail = f"{good} of {total} passed"
    if good == total:
        return Standing(now=Now.DONE, detail=detail)
    unclear = sum(one.checks[Check.State.DECISION] for one in units)
    first = next(one for one in units if one.checks and not one.passed)
    return Standing(
        now=Now.OPEN,
        detail=detail,
        blockers=(f"{unclear} checks have two answers and need a decision.",) if unclear else (),
        action=Action(
            words=f"Check unit {first.unit.number}",
            url=first.url("inspections:check_list"),
            roles=(INSPECTOR, TECHNICIAN),
        ),
    )


def _rework(units: Iterable[UnitFacts]) -> Standing:
    found = [(one, defect) for one in units for defect in one.defects]
    unsolved = [(one, defect) for one in units for defect in one.unsolved]
    if not found:
        none = any(one.checks for one in units)
        return Standing(now=Now.NOT_NEEDED, detail="No defect") if none else LATER
    detail = f"{len(found) - len(unsolved)} of {len(found)} closed"
    if not unsolved:
        return Standing(now=Now.DONE, detail=detail)
    is_open = [pair for pair in unsolved if pair[1].state == Defect.State.OPEN]
    one, defect = (is_open or unsolved)[0]
    url = one.url("inspections:defect_detail", defect.number)
    return Standing(
        now=Now.OPEN if is_open else Now.WAITING,
        waiting_for="" if is_open else "a re-check by somebody else",
        detail=detail,
        blockers=tuple(
            f"{defect} on {one.unit.number} is {defect.get_state_display().lower()}."
            for one, defect in unsolved[:3]
        ),
        action=Action(
            words=f"{'Rework' if is_open else 'Re-check'} {defect} on {one.unit.number}",
            url=url,
            roles=(TECHNICIAN,) if is_open else (INSPECTOR,),
        ),
    )


def _released(units: Sequence[UnitFacts]) -> Standing:
    done = sum(one.released for one in units)
    detail = f"{done} of {len(units)} released" if done else ""
    if done == len(units):
        return Standing(now=Now.DONE, detail=detail)
    ready = [one for one in units if one.passed and not one.unsolved and not one.released]
    if not ready:
        return Standing(now=Now.LATER, detail=detail)
    return Standing(
        now=Now.OPEN,
        detail=detail,
        action=Action(
            words=f"Release unit {ready[0].unit.number}",
            url=ready[0].url("inspections:release_unit"),
            roles=(INSPECTOR,),
        ),
    )


def _delivered(units: Sequence[UnitFacts]) -> Standing:
    accepted = sum(one.accepted for one in units)
    if accepted == len(units):
        return Standing(now=Now.DONE, detail=f"{accepted} of {len(units)} accepted")
    ready = [one for one in units if one.released and not one.received]
    if ready:
        action = Action(
            words=f"Hand over unit {ready[0].unit.number}",
            url=ready[0].url("inspections:packet_detail"),
            roles=(MANAGER,),
        )
        return Standing(now=Now.OPEN, action=action)
    received = [one for one in units if one.received and not one.accepted]
    if received:
        return Standing(
            now=Now.WAITING,
            waiting_for="the agency",
            detail="received, which is not acceptance",
            action=Action(
                words=f"Ask for acceptance of unit {received[0].unit.number}",
                url=received[0].url("inspections:packet_detail"),
                roles=(MANAGER,),
            ),
        )
    return LATER


register_steps(["checks", "rework", "released", "delivered"], standings)
