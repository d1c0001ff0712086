"""Demo rows of the electrical design: supplies, feeds, nodes, circuits, modes, the 120 V side."""

from typing import Any

from catalog.quantities import AMPERE, AMPERE_HOUR, FOOT, INCH, VOLT
from inspections.demo.rows import store
from jobs.models import (
    AcBranch,
    AcSide,
    BuildLine,
    Circuit,
    CircuitLoad,
    Feed,
    Job,
    ModeDuty,
    NeutralBond,
    Node,
    OperatingMode,
    PassThrough,
    Supply,
)


def make_circuits(job: Job, data: dict[str, Any], lines: dict[str, BuildLine]) -> None:
    supplies = {row["ref"]: _supply(job, row) for row in data["supplies"]}
    feeds = {row["ref"]: _feed(job, row, supplies) for row in data["feeds"]}
    nodes = {
        row["ref"]: Node.objects.create(
            job=job,
            ref=row["ref"],
            feed=feeds[row["feed"]],
            line=lines[row["line"]],
            place=row["place"],
            module_limit_ma=store(AMPERE, row["limit_a"]),
        )
        for row in data["nodes"]
    }
    circuits = {row["ref"]: _circuit(job, row, feeds, nodes, lines) for row in data["circuits"]}
    for row in data["pass_throughs"]:
        opening = PassThrough.objects.create(
            job=job, ref=row["ref"], name=row["name"], bore_mm=store(INCH, row["bore_in"])
        )
        opening.feeds.set(feeds[ref] for ref in row["feeds"])
        opening.circuits.set(circuits[ref] for ref in row["circuits"])
    for position, row in enumerate(data["modes"]):
        mode = OperatingMode.objects.create(
            job=job,
            key=row["key"],
            name=row["name"],
            position=position,
            source=row["source"],
            bus_mv=store(VOLT, row.get("bus_v", 13.2)),
            asleep=row.get("asleep", False),
            chassis_base_ma=store(AMPERE, row["chassis_base_a"]),
            allowance_ma=store(AMPERE, row["allowance_a"]),
            inverter_w=row.get("inverter_w", 0),
        )
        mode.closed_links.set(feeds[ref] for ref in row.get("closed_links", ()))
        ModeDuty.objects.bulk_create(
            ModeDuty(mode=mode, circuit=circuits[ref], permille=round(share * 1000))
            for ref, share in row["duty"].items()
        )
    _ac_side(job, data["ac"], feeds)


def _supply(job: Job, row: dict[str, Any]) -> Supply:
    return Supply.objects.create(
        job=job,
        ref=row["ref"],
        name=row["name"],
        kind=row["kind"],
        nominal_mv=store(VOLT, row["nominal_v"]),
        test_mv=store(VOLT, row.get("test_v")),
        capacity_mah=store(AMPERE_HOUR, row.get("capacity_ah")),
        rating_ma=store(AMPERE, row.get("rating_a")),
    )


def _conductor(row: dict[str, Any]) -> dict[str, Any]:
    return {
        "device_kind": row["device"],
        "device_ma": store(AMPERE, row["device_a"]),
        "awg": row["awg"],
        "length_mm": store(FOOT, row["length_ft"]),
        "colour": row["colour"],
        "engine_space": row.get("engine_space", False),
    }


def _feed(job: Job, row: dict[str, Any], supplies: dict[str, Supply]) -> Feed:
    second = row.get("second_supply")
    return Feed.objects.create(
        job=job,
        ref=row["ref"],
        name=row["name"],
        supply=supplies[row["supply"]],
        second_supply=supplies[second] if second else None,
        source_distance_mm=store(INCH, row["source_distance_in"]),
        panel_place=row["panel_place"],
        **_conductor(row),
    )


def _circuit(
    job: Job,
    row: dict[str, Any],
    feeds: dict[str, Feed],
    nodes: dict[str, Node],
    lines: dict[str, BuildLine],
) -> Circuit:
    circuit = Circuit.objects.create(
        job=job,
        ref=row["ref"],
        feed=feeds[row["feed"]],
        designation=row["designation"],
        node=nodes.get(row.get("node", "")),
        channel=row["channel"],
        channel_limit_ma=store(AMPERE, row.get("channel_limit_a")),
        contact_limit_ma=store(AMPERE, row.get("contact_limit_a")),
        intermittent=row.get("intermittent", False),
        whole_feed=row.get("whole_feed", False),
        through_average_ma=store(AMPERE, row.get("through_average_a", 0)),
        through_peak_ma=store(AMPERE, row.get("through_peak_a", 0)),
        label=row["ref"],
        note=row.get("note", ""),
        **_conductor(row),
    )
    circuit.powers.set(nodes[ref] for ref in row.get("powers", ()))
    for load in row["loads"]:
        CircuitLoad.objects.create(
            circuit=circuit, line=lines[load["line"]], quantity=load["quantity"]
        )
    return circuit


def _ac_side(job: Job, data: dict[str, Any], feeds: dict[str, Feed]) -> None:
    side = data["side"]
    AcSide.objects.create(
        job=job,
        inverter_feed=feeds[side["inverter_feed"]],
        inverter_w=side["inverter_w"],
        inverter_surge_w=side["inverter_surge_w"],
        inverter_efficiency_percent=side["inverter_efficiency_percent"],
        inverter_least_mv=store(VOLT, side["inverter_least_v"]),
        shore=side["shore"],
        shore_ma=store(AMPERE, side["shore_a"]),
        charger=side["charger"],
        charger_ma=store(AMPERE, side["charger_a"]),
        charger_efficiency_percent=side["charger_efficiency_percent"],
    )
    for row in data["branches"]:
        rest = {name: value for name, value in row.items() if name != "breaker_a"}
        AcBranch.objects.create(job=job, breaker_ma=store(AMPERE, row["breaker_a"]), **rest)
    for row in data["bonds"]:
        NeutralBond.objects.create(job=job, **row)
