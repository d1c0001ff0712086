"""What a suggested change costs: wire and devices from the catalog, else named as not priced."""

from collections.abc import Iterator
from dataclasses import dataclass

from django.db.models import Max

from catalog.models import Part, RatingLimit
from jobs.electrical.conductor import copper_kg
from jobs.electrical.design import Circuit, Conductor, Design, DeviceKind, ReturnPath
from jobs.electrical.tables.conductors import FEET_PER_METRE, THIN_TO_THICK
from jobs.findings import number
from jobs.people.models import Shop


@dataclass(frozen=True, kw_only=True, slots=True)
class PriceLine:
    """What one piece of a change costs beyond what it replaces; None when nothing prices it."""

    words: str
    cents: int | None


@dataclass(frozen=True, kw_only=True, slots=True)
class Prices:
    """Cents by wire size for one foot, by device, and for a kilogram of copper."""

    wire: dict[str, tuple[str, int]]
    device: dict[tuple[str, float], tuple[str, int]]
    copper: int | None


def prices_now() -> Prices:
    """The cheapest current part of each size and rating, two queries."""
    parts = Part.objects.filter(retired=False, current__list_price_cents__gt=0).order_by(
        "-current__list_price_cents", "code"
    )
    wires = parts.exclude(current__conductor_awg="").values_list(
        "current__conductor_awg", "code", "current__list_price_cents"
    )
    devices = (
        parts.exclude(current__device_kind="")
        .filter(current__limits__what=RatingLimit.What.RATING)
        .annotate(rating_ma=Max("current__limits__limit_ma"))
        .values_list("current__device_kind", "rating_ma", "code", "current__list_price_cents")
    )
    shop = Shop.objects.filter(pk=1).first()
    # Dearest first, so that the cheapest stays.
    return Prices(
        wire={awg: (code, cents) for awg, code, cents in wires},
        device={(kind, ma / 1000): (code, cents) for kind, ma, code, cents in devices},
        copper=shop.copper_cents_per_kg if shop else None,
    )


def price_lines(old: Design, new: Design, prices: Prices) -> list[PriceLine]:
    """Each run that the change adds or alters, conductor and device apart."""
    before = {item.ref: item for item in _runs(old)}
    found: list[PriceLine] = []
    for item in _runs(new):
        was = before.get(item.ref)
        if was is None or _wire(was) != _wire(item):
            found.append(_wire_line(was, item, prices))
        if was is None or (was.device_kind, was.device_a) != (item.device_kind, item.device_a):
            found.append(_device_line(was, item, prices))
    return found


def _runs(design: Design) -> Iterator[Conductor]:
    yield from design.feeds
    yield from (each for each in design.circuits if not each.whole_feed)


def _wire(item: Conductor) -> tuple[str | None, float | None, ReturnPath | None]:
    return item.awg, item.length_m, item.return_path


def _metres(item: Conductor) -> float:
    """Out, and back where the return is a wire."""
    return (item.length_m or 0.0) * (2 if item.return_path is ReturnPath.WIRE else 1)


def _wire_line(was: Conductor | None, item: Conductor, prices: Prices) -> PriceLine:
    feet = f"{number(_metres(item) * FEET_PER_METRE)} ft of {item.awg} AWG for {_name(item)}"
    kept = [each for each in (was, item) if each is not None and each.awg]
    if all(each.awg in prices.wire for each in kept):
        part = prices.wire[item.awg or ""][0]
        cents = [prices.wire[e.awg or ""][1] * _metres(e) * FEET_PER_METRE for e in kept]
        return PriceLine(words=f"{feet} ({part})", cents=_more(was, kept, cents))
    if prices.copper is None or not all(each.awg in THIN_TO_THICK for each in kept):
        return PriceLine(words=feet, cents=None)
    copper = [prices.copper * copper_kg(awg=e.awg or "", length_m=_metres(e)) for e in kept]
    return PriceLine(
        words=f"{feet}, by its copper: no such wire in the catalog", cents=_more(was, kept, copper)
    )


def _more(was: Conductor | None, kept: list[Conductor], cents: list[float]) -> int:
    """The new one less the one it replaces, if that had a size."""
    return round(cents[-1] - (cents[0] if was is not None and len(kept) == 2 else 0.0))


def _device_line(was: Conductor | None, item: Conductor, prices: Prices) -> PriceLine:
    kind, amps = item.device_kind, item.device_a
    if kind is DeviceKind.ELECTRONIC:
        words = f"trip of {_name(item)} set to {number(amps or 0.0)} A in its node"
        return PriceLine(words=words, cents=0)
    words = f"{number(amps or 0.0)} A {str(kind or 'device').replace('_', ' ')} for {_name(item)}"
    new = prices.device.get((str(kind), amps or 0.0))
    if new is None:
        return PriceLine(words=words, cents=None)
    old = None
    if was is not None:
        old = prices.device.get((str(was.device_kind), was.device_a or 0.0))
    replaced = "" if was is None or old else "; what it replaces is not priced"
    return PriceLine(words=f"{words} ({new[0]}){replaced}", cents=new[1] - (old[1] if old else 0))


def _name(item: Conductor) -> str:
    return item.ref if isinstance(item, Circuit) else f"feed {item.ref}"
