"""Loading the demo: one job from first call to handover, and one that is still in work.

Every step goes through the same actions as the pages. Asked again, nothing changes.
"""

from datetime import date, timedelta
from typing import Any

from django.contrib.auth.models import User
from django.db import transaction
from django.test.utils import override_settings
from django.utils import timezone

from catalog.quantities import POUND
from inspections.demo import after, circuit_rows, programs, queue, rooms, rows, sale, work
from inspections.demo.disputes import change_templates
from jobs.build_sheet.actions import accept_finding, freeze_design, release_design
from jobs.intake.units.actions import change_unit
from jobs.models import Circuit, CircuitLoad, Job, Kit, Unit

NUMBER = "KS-1042"
# What the demo writes to people is kept, and not sent to anybody.
NOWHERE = "django.core.mail.backends.dummy.EmailBackend"
SECOND = "KS-1051"
RECORD_STARTS = date(2026, 4, 20)


def load_demo() -> Job:
    """Both demo jobs. Each is loaded in one transaction, or not at all."""
    with override_settings(EMAIL_BACKEND=NOWHERE):
        job = _load()
        queue.send_all()
        return job


def _load() -> Job:
    rows.make_shop()
    people = rows.make_people()
    job = Job.objects.filter(number=NUMBER).first() or load_delivered(people)
    running = Job.objects.filter(number=SECOND).first() or load_running(people)
    if not Kit.objects.exists():
        with transaction.atomic():
            rooms.furnish(job, running, people)
    return job


@transaction.atomic
def load_delivered(people: dict[str, User]) -> Job:
    """The finished job: quoted, changed, designed, built, checked, released, packed."""
    data = rows.read("job")
    enquired, promised = (date.fromisoformat(data[key]) for key in ("enquired_on", "promised_on"))
    job = _make_job(NUMBER, data, enquired, promised)
    unit = rows.make_unit(job, data["unit"])
    # As first sold: six perimeter lights; as first drawn: the grille heads on 14 AWG.
    _set_line(job, "L13", 6)
    Circuit.objects.filter(job=job, ref="A-02").update(awg="14")
    sale.sell(job, people)
    _design(job, people)
    work.arrive(unit, people)
    work.prepare(unit, people)
    work.build(unit, people)
    programs.release_version(
        job, "1.3", "Two-channel stowed state with unknown, after NCR-01", people
    )
    work.check_again(unit, people)
    _weigh(unit, people)
    work.deliver(unit, people)
    return job


@transaction.atomic
def load_running(people: dict[str, User]) -> Job:
    """A repeat order half-way through the shop, so that the boards have something to show."""
    data = rows.read("job")
    today = timezone.localdate()
    job = _make_job(SECOND, data, today - timedelta(days=40), today + timedelta(days=35))
    Job.objects.filter(pk=job.pk).update(title="Shore Rescue 5")
    second = data["unit"] | {"number": "SR-5", "vin": "0DEVN4HB9TS000418"}
    unit = rows.make_unit(job, second)
    sale.sell(job, people, fresh=True)
    later = (today - timedelta(days=22) - RECORD_STARTS).days
    kept = programs.release_version(job, "1.3", "As for Shore Rescue 4", people)
    programs.try_change(kept, people)
    work.arrive(unit, people, on=str(RECORD_STARTS + timedelta(days=later)))
    change_templates(people)
    work.prepare(unit, people, days_later=later)
    work.build(unit, people, until="S5", days_later=later)
    after.record_origins(unit, rows.read("service")["fleet"], people)
    return job


def _weigh(unit: Unit, people: dict[str, User]) -> None:
    """The scale ticket of the finished vehicle, as the inspector read it."""
    readings = rows.read("work")["readings"]
    unit = Unit.objects.get(pk=unit.pk)
    ticket = {
        f"scale_{axle}_g": rows.store(POUND, readings[f"WEIGHT.{letter}"][0])
        for axle, letter in (("front", "F"), ("rear", "R"))
    }
    change_unit(unit=unit, version=unit.version, values=ticket, by=people["wren"])


def _make_job(number: str, data: dict[str, Any], enquired: date, promised: date) -> Job:
    parts = rows.make_parts("Nessa Quarrie")
    job = Job.objects.create(
        number=number,
        agency=rows.make_agency(data["agency"]),
        title=data["title"],
        vehicle=data["vehicle"],
        enquired_on=enquired,
        promised_on=promised,
    )
    rows.make_promises(job, data)
    circuit_rows.make_circuits(job, data, rows.make_build_sheet(job, data, parts))
    return job


def _set_line(job: Job, ref: str, quantity: int) -> None:
    job.lines.filter(ref=ref).update(quantity=quantity)
    CircuitLoad.objects.filter(line__job=job, line__ref=ref).update(quantity=quantity)


def _design(job: Job, people: dict[str, User]) -> None:
    """Two revisions: the first one fails on A-02, the second is released with what was accepted."""
    designer = people["pell"]
    freeze_design(job=job, by=designer, note="First design")
    Circuit.objects.filter(job=job, ref="A-02").update(awg="12")
    sale.change_lights(job, people)
    _set_line(job, "L13", 8)
    for finding in rows.read("findings")["findings"]:
        if finding["reason"]:
            accept_finding(
                job=job,
                rule=finding["rule"],
                subject=finding["subject"],
                reason=finding["reason"],
                by=designer,
            )
    note = "A-02 on 12 AWG: 14 AWG lost 12.2 % of 13.2 V. Perimeter lights 6 to 8 (CO-01)."
    programs.release_version(job, "1.2", "First program", people)
    revision = freeze_design(job=job, by=designer, note=note)
    release_design(revision=revision, by=people["ari"])
