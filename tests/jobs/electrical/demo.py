"""The demo van's electrical design as frozen values: the figures that must reproduce."""

from dataclasses import replace

from jobs.electrical.design import (
    Circuit,
    Design,
    DeviceKind,
    Duty,
    Feed,
    Load,
    Mode,
    ModeSource,
    Node,
    Owner,
    Supply,
    SupplyKind,
    UnitRatings,
)

FOOT_M = 0.3048
INCH_M = 0.0254

# ref, device A, average A, peak A, AWG, one-way ft, branch drop V at peak, node, channel
CIRCUITS: tuple[tuple[str, float, float, float, str, float, float, str | None, str], ...] = (
    ("A-01", 25, 9.5, 19, "10", 14, 0.58, "N1", "1"),
    ("A-02", 15, 5.4, 10.8, "12", 18, 0.68, "N1", "2"),
    ("A-03", 10, 3.6, 7.2, "14", 16, 0.64, "N2", "5"),
    ("A-04", 10, 3.6, 7.2, "14", 16, 0.64, "N2", "6"),
    ("A-05", 15, 4.8, 9.6, "14", 10, 0.53, "N2", "1"),
    ("A-06", 5, 1.8, 3.6, "18", 12, 0.61, "N2", "7"),
    ("A-07", 10, 4.0, 8.0, "14", 10, 0.44, "N2", "8"),
    ("A-08", 5, 1.8, 3.6, "16", 20, 0.64, "N1", "5"),
    ("A-09", 25, 12, 20, "10", 8, 0.35, None, "direct"),
    ("A-10", 3, 0.9, 1.2, "18", 16, 0.27, None, "direct"),
    ("A-11", 3, 0.2, 0.2, "18", 18, 0.05, "N1", "6"),
    ("A-12", 3, 0.5, 0.5, "18", 12, 0.08, "N2", "9"),
    ("A-13", 7.5, 4.8, 4.8, "16", 10, 0.42, "N2", "10"),
    ("A-14", 3, 1.04, 1.14, "18", 10, 0.16, None, "direct"),
    ("B-01", 15, 10, 10, "14", 12, 0.67, "N3", "1"),
    ("B-02", 15, 10, 10, "14", 12, 0.67, "N3", "2"),
    ("B-03", 15, 10, 10, "14", 8, 0.44, "N3", "3"),
    ("B-04", 30, 24, 24, "10", 14, 0.74, None, "relay R1"),
    ("B-05", 25, 0, 18, "10", 10, 0.4, None, "relay R2/R3"),
    ("B-06", 5, 3.2, 3.2, "16", 20, 0.57, "N3", "5"),
    ("B-07", 7.5, 4.8, 4.8, "16", 16, 0.68, "N3", "6"),
    ("B-08", 15, 10, 12, "14", 10, 0.67, "N3", "4"),
    ("B-09", 20, 4, 12, "12", 12, 0.5, None, "direct"),
    ("B-10", 5, 3, 3, "18", 12, 0.51, "N3", "7"),
    ("B-11", 15, 10, 12, "14", 10, 0.67, None, "LVD t1"),
    ("B-12", 3, 0, 1.5, "18", 8, 0.17, "N3", "8"),
    ("B-13", 7.5, 4, 6, "14", 20, 0.67, "N3", "9"),
    ("C-01", 15, 1.5, 12, "12", 14, 0.59, None, "LVD t1"),
    ("C-02", 10, 0.6, 6, "16", 10, 0.53, None, "LVD t1"),
    ("C-03", 5, 2, 3, "18", 8, 0.34, None, "LVD t2"),
    ("C-04", 10, 6, 7.3, "14", 14, 0.57, None, "LVD t1"),
    ("C-05", 5, 2.5, 3, "18", 10, 0.42, None, "LVD t2"),
    ("C-06", 5, 3, 3, "18", 8, 0.34, None, "LVD t1"),
    ("D-01", 250, 189, 189, "4/0", 5, 0.1, None, "direct"),
    ("E-01", 200, 120, 150, "2/0", 18, 0.46, None, "isolator"),
)

# ref, supply, second supply, device A, AWG, one-way ft, inches from supply to device
FEEDS: tuple[tuple[str, str, str | None, float, str, float, float], ...] = (
    ("A", "MAIN", None, 125, "2", 16, 14),
    ("B", "AUX", None, 125, "2", 6, 10),
    ("C", "MAIN", None, 60, "6", 16, 14),
    ("D", "AUX", None, 250, "4/0", 5, 8),
    ("E", "MAIN", "AUX", 200, "2/0", 18, 12),
)

INTERMITTENT = {"B-05"}
THROUGH = {"E-01"}
WHOLE_FEED = {"D-01", "E-01"}

RESPOND = {
    "A-01": 1,
    "A-02": 1,
    "A-03": 1,
    "A-04": 1,
    "A-05": 1,
    "A-06": 1,
    "A-08": 1,
    "A-09": 1,
    "A-10": 1,
    "A-11": 1,
    "A-13": 1,
    "A-14": 1,
    "B-09": 1,
    "B-13": 1,
    "C-01": 1,
    "C-02": 1,
    "C-03": 1,
    "C-04": 1,
    "C-05": 1,
    "C-06": 1,
}
SCENE = {
    "A-01": 0.5,
    "A-02": 0.5,
    "A-03": 0.5,
    "A-04": 0.5,
    "A-05": 0.5,
    "A-06": 0.5,
    "A-08": 0.5,
    "A-07": 1,
    "A-10": 1,
    "A-13": 1,
    "A-14": 1,
    "B-01": 1,
    "B-02": 1,
    "B-03": 1,
    "B-04": 1,
    "B-06": 1,
    "B-07": 1,
    "B-08": 1,
    "B-09": 1,
    "B-10": 1,
    "B-11": 1,
    "B-13": 1,
    "C-01": 1,
    "C-02": 1,
    "C-03": 1,
    "C-04": 1,
    "C-05": 1,
    "C-06": 1,
}
TIMERS = {"A-10": 1, "A-14": 1, "C-01": 1, "C-02": 1, "C-03": 1, "C-04": 1, "C-05": 1, "C-06": 1}
SHED_1 = {ref: on for ref, on in SCENE.items() if ref not in ("B-08", "B-10", "B-11")}
SHED_2 = {ref: on for ref, on in SHED_1.items() if ref not in ("B-01", "B-03")}


def _circuit(row: tuple[str, float, float, float, str, float, float, str | None, str]) -> Circuit:
    ref, device, average, peak, awg, feet, _, node, channel = row
    through = ref in THROUGH
    return Circuit(
        ref=ref,
        feed=ref[0],
        designation=ref,
        label=ref,
        device_kind=DeviceKind.ELECTRONIC if node else DeviceKind.FUSE_BLADE,
        device_a=device,
        awg=awg,
        length_m=feet * FOOT_M,
        node=node,
        channel=channel,
        channel_limit_a=(25.0 if int(channel) <= 4 else 10.0) if node else None,
        intermittent=ref in INTERMITTENT,
        whole_feed=ref in WHOLE_FEED,
        through_average_a=average if through else 0.0,
        through_peak_a=peak if through else 0.0,
        loads=()
        if through
        else (
            Load(
                ref=f"{ref}/1",
                place="body",
                owner=Owner.SHOP,
                average_a=average,
                peak_a=peak,
                supply_min_v=10.5,
            ),
        ),
    )


def _mode(key: str, source: ModeSource, base: float, duty: dict[str, float], watts: float) -> Mode:
    return Mode(
        key=key,
        name=key,
        source=source,
        chassis_base_a=base,
        allowance_a=3.0 if base else 0.0,
        inverter_w=watts,
        duty=tuple(Duty(circuit=ref, fraction=share) for ref, share in duty.items()),
    )


def demo_design() -> Design:
    """All 35 circuits as released."""
    return Design(
        name="Shore Rescue 4",
        unit=UnitRatings(
            alternator_rating_a=250.0,
            alternator_hot_idle_a=120.0,
            alternator_hot_high_idle_a=190.0,
            battery_ah=95.0,
            keyoff_baseline_a=0.028,
        ),
        supplies=(
            Supply(ref="MAIN", kind=SupplyKind.BATTERY, nominal_v=13.2, capacity_ah=95.0),
            Supply(ref="AUX", kind=SupplyKind.BATTERY, nominal_v=13.2, capacity_ah=210.0),
        ),
        feeds=tuple(
            Feed(
                ref=ref,
                supply=supply,
                second_supply=second,
                device_kind=DeviceKind.FUSE_BOLT if device > 125 else DeviceKind.BREAKER_MANUAL,
                device_a=device,
                awg=awg,
                length_m=feet * FOOT_M,
                source_distance_m=inches * INCH_M,
                second_device_a=device if second else None,
                second_distance_m=inches * INCH_M if second else None,
            )
            for ref, supply, second, device, awg, feet, inches in FEEDS
        ),
        nodes=tuple(
            Node(ref=ref, feed=feed, module_limit_a=80.0, sleep_a=0.002)
            for ref, feed in (("N1", "A"), ("N2", "A"), ("N3", "B"))
        ),
        circuits=tuple(_circuit(row) for row in CIRCUITS),
        modes=(
            _mode("respond", ModeSource.IDLE, 55.0, RESPOND, 0.0),
            _mode("scene", ModeSource.HIGH_IDLE, 40.0, SCENE, 400.0),
            _mode("shed1", ModeSource.HIGH_IDLE, 40.0, SHED_1, 400.0),
            _mode("shed2", ModeSource.HIGH_IDLE, 40.0, SHED_2, 400.0),
            _mode("timers", ModeSource.BATTERY, 0.0, TIMERS, 0.0),
        ),
    )


def with_circuit(design: Design, ref: str, **changes: object) -> Design:
    """The design with one circuit changed."""
    circuits = tuple(
        replace(item, **changes) if item.ref == ref else item  # type: ignore[arg-type]
        for item in design.circuits
    )
    return replace(design, circuits=circuits)
