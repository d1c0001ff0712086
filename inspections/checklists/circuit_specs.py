"""Checks of feeds and circuits: device found, polarity, joint drop, voltage and current."""

from collections.abc import Iterator
from decimal import Decimal

from inspections.checklists.making import Maker, margin_words, sourced
from inspections.checklists.spec import Spec
from inspections.checklists.standard_design import CRIMP_LBF
from jobs.build_sheet.review import Review, RunRow, predicted_volts
from jobs.models import Circuit, Job


def _device_words(row: RunRow) -> str:
    item = row.item
    rating = "no rating entered"
    if item.device_ma is not None:
        rating = f"{Decimal(item.device_ma) / 1000:g} A"
    where = ""
    node = getattr(item, "node", None)
    if node is not None:
        where = f", {node.ref} channel {item.channel}"
    return f"{rating}, {item.get_device_kind_display().lower()}{where}"


def _device(maker: Maker, code: str, row: RunRow, **facts: object) -> Spec | None:
    """The rating found must be the rating designed; without a designed one somebody judges."""
    rated = row.item.device_ma
    amps = Decimal(rated) / 1000 if rated is not None else None
    if amps is None:
        facts["kind"] = "visual"
        facts["unit_of_measure"] = ""
    return maker.make(
        code,
        names={"ref": row.item.ref, "name": getattr(row.item, "designation", "")},
        expected_text=_device_words(row),
        predicted=amps,
        low=amps,
        high=amps,
        instrument_needed=False,
        tolerance_source="The design: found and designed rating are the same",
        **facts,
    )


def feed_specs(maker: Maker, rows: list[RunRow]) -> Iterator[Spec | None]:
    for row in rows:
        ref = row.item.ref
        yield _device(maker, "feed.device", row, key=f"feed {ref} device", ref=f"{ref}.F")
        template = maker.templates.get("feed.joint")
        most = (template.spread_least if template else None) or Decimal("0.1")
        yield maker.make(
            "feed.joint",
            key=f"feed {ref} joint",
            ref=f"{ref}.J",
            names={"ref": ref, "name": row.item.name},
            predicted=Decimal(0),
            low=Decimal(0),
            high=most,
            expected_text=f"At most {most.normalize():f} V",
        )


def circuit_specs(maker: Maker, job: Job, found: Review) -> Iterator[Spec | None]:
    volts = predicted_volts(job, found)
    for row in found.circuits:
        circuit = row.item
        names = {"ref": circuit.ref, "name": circuit.designation}
        yield _device(
            maker,
            "circuit.device",
            row,
            key=f"circuit {circuit.ref} device",
            ref=f"{circuit.ref}.F",
            circuit=circuit,
        )
        yield maker.make(
            "circuit.polarity",
            key=f"circuit {circuit.ref} polarity",
            ref=f"{circuit.ref}.P",
            names=names,
            circuit=circuit,
        )
        if circuit.ref in volts and row.peak_a:
            yield _volts(maker, circuit, volts[circuit.ref], Decimal(str(row.peak_a)))
        if row.peak_a:
            yield _current(maker, circuit, row)


def _volts(maker: Maker, circuit: Circuit, predicted: Decimal, peak_a: Decimal) -> Spec | None:
    """Limit: so much below the prediction, rounded to the tenth that a meter shows."""
    template = maker.templates.get("circuit.volts")
    if template is None:
        return None
    heavy = template.bound is None or peak_a >= template.bound
    checked, sampled = maker.sampling("circuit.volts", circuit.ref, always=heavy)
    if not checked:
        return None
    shown = predicted.quantize(Decimal("0.1"))
    least = (shown - template.margin(shown)).quantize(Decimal("0.1"))
    return maker.make(
        "circuit.volts",
        key=f"circuit {circuit.ref} volts",
        ref=f"{circuit.ref}.V",
        names={"ref": circuit.ref, "name": circuit.designation},
        circuit=circuit,
        predicted=shown,
        low=least,
        high=shown + 1,
        sampled=sampled,
        expected_text=f"{shown} V predicted; at least {least} V",
        tolerance_source=sourced(template, f"{margin_words(template)} below the prediction"),
    )


def _current(maker: Maker, circuit: Circuit, row: RunRow) -> Spec | None:
    """Near the design's value; brief loads at their peak."""
    template = maker.templates.get("circuit.current")
    checked, sampled = maker.sampling("circuit.current", circuit.ref)
    if template is None or not checked:
        return None
    amps = row.peak_a if circuit.intermittent or not row.average_a else row.average_a
    expected = Decimal(str(amps)).quantize(Decimal("0.01"))
    margin = template.margin(expected).quantize(Decimal("0.01"))
    return maker.make(
        "circuit.current",
        key=f"circuit {circuit.ref} current",
        ref=f"{circuit.ref}.I",
        names={"ref": circuit.ref, "name": circuit.designation},
        circuit=circuit,
        predicted=expected,
        low=max(expected - margin, Decimal(0)),
        high=expected + margin,
        sampled=sampled,
        expected_text=f"{expected} A by design, give or take {margin} A",
        tolerance_source=sourced(template, margin_words(template)),
    )


def crimp_specs(maker: Maker, found: Review) -> Iterator[Spec | None]:
    """One pull test for each conductor size of the job; sizes without a tabulated pull are left."""
    sizes = {row.item.awg for row in (*found.feeds, *found.circuits)}
    for size in sorted(sizes & set(CRIMP_LBF), key=lambda one: CRIMP_LBF[one]):
        least = Decimal(CRIMP_LBF[size])
        yield maker.make(
            "crimp",
            key=f"crimp {size}",
            ref=f"CRIMP.{size.replace('/', '-')}",
            names={"ref": size, "name": size},
            low=least,
            sampled=True,
            expected_text=f"At least {least} lbf on each piece",
        )
