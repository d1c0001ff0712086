"""A rule set and its tables as rows for reading: name, value in words, source and its status."""

from dataclasses import dataclass

from jobs.electrical.conductor import METRES_PER_FOOT
from jobs.electrical.rule_sets.shape import Limit, RuleSet
from jobs.electrical.tables.conductors import SIZES, THIN_TO_THICK
from jobs.findings import number
from jobs.sources import SOURCE_BY_ID

STATUS_WORDS = {
    "V": "verified in the official text",
    "V2": "known from secondary texts",
    "V2*": "from a weak reprint; confirm in the standard",
    "C": "computed",
    "M-H": "from memory; to be confirmed",
    "CP": "practice, no document",
}
DEVICE_WORDS = {
    "fuse_blade": "blade fuse",
    "fuse_bolt": "bolt-down fuse",
    "breaker_auto": "breaker, automatic reset",
    "breaker_modified": "breaker, modified reset",
    "breaker_manual": "breaker, manual reset",
    "electronic": "electronic trip",
}


@dataclass(frozen=True, kw_only=True, slots=True)
class LimitRow:
    name: str
    value: str
    source: str
    clause: str
    status: str


@dataclass(frozen=True, kw_only=True, slots=True)
class AmpacityRow:
    """Amperes of one gauge, one cell an insulation temperature; "" where the table has none."""

    awg: str
    ohm_per_kft: float
    cells: tuple[str, ...]


def limit_rows(rules: RuleSet) -> list[LimitRow]:
    """Every single limit of the set, in the order of the checks."""
    upper = rules.device_over_ampacity_from_50_v
    rows = [
        _row("Device rating over ampacity, at most", "{} x", rules.device_over_ampacity),
        *([_row("The same from 50 V", "{} x", upper)] if upper else []),
        _row("Continuous load over device rating, at most", "{} x", rules.continuous_fraction),
        _row("Peak load over device rating, at most", "{} x", rules.peak_fraction),
        _row("Surge that a device rides out", "{} x", rules.inrush_multiple),
        _row("Longest such surge", "{} s", rules.inrush_short_s),
        _row("Upstream rating over downstream rating, at least", "{} x", rules.selectivity_ratio),
        _row("Copper at work over copper at 20 °C", "{} x", rules.resistance_factor),
        _row("Body return over a return wire", "{} x", rules.body_return_fraction),
        _row("Device from source, open conductor", "{} in", rules.distance.open_m, 0.0254),
        _row("Device from source, sheathed", "{} in", rules.distance.sheathed_m, 0.0254),
        _row("Device from a battery", "{} in", rules.distance.battery_m, 0.0254),
        _row(
            "Say so above this share of hot alternator output", "{} x", rules.energy_warn_fraction
        ),
        _row("Engine off, usual time", "{} min", rules.engine_off_s, 60.0),
        _row("Charge put back over charge used", "{} x", rules.recharge_factor),
        _row("Key-off current added, at most", "{} mA", rules.keyoff_added_a, 0.001),
        _row("Key-off current in all, at most", "{} mA", rules.keyoff_total_a, 0.001),
    ]
    for kind, limit in rules.fault_multiples:
        name = f"Fault current over rating, at least: {DEVICE_WORDS[kind]}"
        rows.append(_row(name, "{} x", limit))
    for each in rules.drop_classes:
        rows.append(_row(f"Voltage drop, {each.name.lower()} load", "{} %", each.limit_percent))
        if each.target_percent:
            name = f"Voltage drop, {each.name.lower()} load: say so above"
            rows.append(_row(name, "{} %", each.target_percent))
    for factor in rules.engine_space:
        name = f"Ampacity in an engine space, {factor.insulation_c} °C insulation"
        rows.append(_row(name, "{} x", factor))
    for bundle in rules.bundle:
        span = f"{bundle.least} to {bundle.most}" if bundle.most else f"{bundle.least} and more"
        span = str(bundle.least) if bundle.least == bundle.most else span
        rows.append(_row(f"Ampacity in a bundle of {span}", "{} x", bundle))
    # Classes of the same name share one limit: said once.
    return list(dict.fromkeys(rows))


def _row(name: str, pattern: str, limit: object, unit: float = 1.0) -> LimitRow:
    """`limit` is a Limit or a table's factor: both carry source and status."""
    value = limit.value if isinstance(limit, Limit) else limit.factor  # type: ignore[attr-defined]
    return LimitRow(
        name=name,
        value=pattern.format(number(value / unit)),
        source=limit.source,  # type: ignore[attr-defined]
        clause=SOURCE_BY_ID[limit.source].clause,  # type: ignore[attr-defined]
        status=STATUS_WORDS.get(limit.status, limit.status),  # type: ignore[attr-defined]
    )


def insulations(rules: RuleSet) -> tuple[int, ...]:
    return tuple(sorted({row.insulation_c for row in rules.ampacity}))


def ampacity_rows(rules: RuleSet) -> list[AmpacityRow]:
    found = {(row.awg, row.insulation_c): number(row.amps) for row in rules.ampacity}
    heads = insulations(rules)
    r20 = {size.awg: size.r20_ohm_per_kft for size in SIZES}
    return [
        AmpacityRow(
            awg=awg,
            ohm_per_kft=r20[awg],
            cells=tuple(found.get((awg, degrees), "") for degrees in heads),
        )
        for awg in THIN_TO_THICK
    ]


def ampacity_sources(rules: RuleSet) -> list[LimitRow]:
    """Where the table's values come from, with the ambient temperature that they are for."""
    origins = sorted({(row.source, row.status, row.ambient_c) for row in rules.ampacity})
    return [
        LimitRow(
            name="Ampacity",
            value=f"at {number(ambient)} °C around the conductor",
            source=source,
            clause=SOURCE_BY_ID[source].clause,
            status=STATUS_WORDS.get(status, status),
        )
        for source, status, ambient in origins
    ] + [
        LimitRow(
            name="Resistance",
            value=f"solid copper at 20 °C, ohm per 1000 ft ({number(1000 * METRES_PER_FOOT)} m)",
            source="iec-60028",
            clause=SOURCE_BY_ID["iec-60028"].clause,
            status=STATUS_WORDS["C"],
        )
    ]
