"""The door from a reviewed design to the single-line diagram: the schedule's facts in words."""

from jobs.build_sheet.models import Supply
from jobs.build_sheet.pictures.overview import overview_pictures
from jobs.build_sheet.pictures.parts import CircuitPart, FeedPart, NodePart, SupplyPart
from jobs.build_sheet.pictures.shapes import Picture
from jobs.build_sheet.pictures.single_line import feed_pictures
from jobs.build_sheet.review import Review, RunRow
from jobs.intake.models import Job
from jobs.templatetags.units import amp_hours, ampere, amps, feet, volts


def single_line(
    job: Job, found: Review
) -> tuple[list[Picture], list[tuple[FeedPart, list[Picture]]]]:
    """The overview, and each feed with its sheets, in the order of the schedule."""
    supplies = [supply_part(row) for row in job.supplies.all()]
    feeds = feed_parts(job, found)
    overview = overview_pictures(supplies, feeds) if supplies else []
    return overview, [(feed, feed_pictures(feed)) for feed in feeds]


def supply_part(row: Supply) -> SupplyPart:
    detail = [volts(row.nominal_mv)]
    if row.capacity_mah:
        detail.append(amp_hours(row.capacity_mah))
    return SupplyPart(ref=row.ref, name=row.name, detail=", ".join(detail))


def feed_parts(job: Job, found: Review) -> list[FeedPart]:
    nodes = list(job.nodes.all())
    return [
        FeedPart(
            **_run(row, row.item.name),
            supply=supply_part(row.item.supply),
            second=supply_part(row.item.second_supply) if row.item.second_supply else None,
            place=row.item.panel_place,
            nodes=tuple(
                NodePart(ref=node.ref, place=node.place)
                for node in nodes
                if node.feed_id == row.item.pk
            ),
            circuits=tuple(
                _circuit(circuit)
                for circuit in found.circuits
                if circuit.item.feed_id == row.item.pk
            ),
        )
        for row in found.feeds
    ]


def _circuit(row: RunRow) -> CircuitPart:
    item = row.item
    return CircuitPart(
        **_run(row, item.designation),
        node=item.node.ref if item.node else "",
        slot=item.channel,
        whole_feed=item.whole_feed,
        loads=row.loads,
    )


def _run(row: RunRow, name: str) -> dict[str, str]:
    """One run in words; what is not entered is said to be so."""
    item = row.item
    return {
        "ref": item.ref,
        "name": name,
        "device": amps(item.device_ma) if item.device_ma is not None else "no rating",
        "kind": item.device_kind,
        "wire": f"{item.awg} AWG" if item.awg else "no size",
        "colour": item.colour,
        "length": feet(item.length_mm) if item.length_mm is not None else "no length",
        "current": f"{ampere(row.average_a)} average, {ampere(row.peak_a)} peak",
        "state": str(row.status),
    }
