"""The door from a played situation to the drawing: heads and outputs where their loads are."""

from jobs.build_sheet.control.simulation import OutputRow, Shown
from jobs.build_sheet.models import CircuitLoad
from jobs.build_sheet.pictures.lit import Driven, Lamp, lit_plan
from jobs.build_sheet.pictures.shapes import Picture
from jobs.controls.logic import Logic
from jobs.intake.models import Job

Place = tuple[float, float]
# Lamps and buzzers that the control head carries, where nothing says otherwise [mm].
CONTROL_HEAD: Place = (700, 0)


def plan_of(job: Job, logic: Logic, shown: Shown) -> tuple[Picture, list[OutputRow]]:
    """The drawing, and the outputs that are on but have no place on it."""
    places = {each.name: CONTROL_HEAD for each in shown.alarms} | places_of(job, logic)
    lamps = [
        Lamp(
            label=row.label,
            zone=row.zone,
            shows=row.shows,
            colours=row.colours,
            has_changed=row.has_changed,
            x_mm=places[row.name][0] if row.name in places else None,
        )
        for row in shown.heads
    ]
    rows = [*shown.alarms, *(each for each in shown.outputs if not each.is_internal)]
    driven = [
        Driven(
            label=row.label,
            is_on=row.is_on,
            has_changed=row.has_changed,
            is_alarm=row.is_alarm,
            x_mm=places[row.name][0],
            y_mm=places[row.name][1],
        )
        for row in rows
        if row.name in places
    ]
    unit = job.units.first()
    wheelbase = None if unit is None or unit.wheelbase_mm is None else float(unit.wheelbase_mm)
    lit = sum(bool(each.colours) for each in lamps)
    words = (
        f"{lit} of {len(lamps)} lamp heads lit, {sum(each.is_on for each in driven)} of "
        f"{len(driven)} outputs on. The tables list every one."
    )
    picture = lit_plan(lamps, driven, wheelbase_mm=wheelbase, words=words)
    return picture, [row for row in rows if row.is_on and row.name not in places]


def places_of(job: Job, logic: Logic) -> dict[str, Place]:
    """Where an output or head acts: at the first load of the circuit on its channel."""
    loads = CircuitLoad.objects.filter(
        circuit__job=job, circuit__node__isnull=False, line__x_mm__isnull=False
    ).select_related("circuit__node", "line")
    channels: dict[str, Place] = {}
    for load in loads.order_by("id"):
        channel = f"{load.circuit.node.ref}.{load.circuit.channel}"
        place = (float(load.line.x_mm or 0), float(load.line.y_mm or 0))
        channels.setdefault(channel, place)
    return {wire.name: channels[wire.place] for wire in logic.wires if wire.place in channels}
