from dataclasses import replace

import pytest

from catalog.models import PartRevision, RatingLimit
from jobs.build_sheet.sizing_prices import price_lines, prices_now
from jobs.electrical.conductor import copper_kg
from jobs.electrical.design import DeviceKind, ReturnPath
from jobs.electrical.suggest import with_circuit
from tests.factories import make_part
from tests.jobs.electrical.small import FOOT_M, add_circuit, small

pytestmark = pytest.mark.django_db


def wire(code, awg, cents, **fields):
    part = make_part(code=code, list_price_cents=cents, conductor_awg=awg)
    PartRevision.objects.filter(part=part).update(**fields)
    return part


def device(code, kind, amps, cents):
    part = make_part(code=code, list_price_cents=cents, device_kind=kind)
    what = RatingLimit.What.RATING
    RatingLimit.objects.create(revision=part.current, what=what, limit_ma=amps * 1000)
    return part


def lines(old, new):
    return [(line.words, line.cents) for line in price_lines(old, new, prices_now())]


def changed(**changes):
    design = small()
    return design, with_circuit(design, replace(design.circuits[0], **changes))


def test_thicker_wire_costs_what_its_part_costs_beyond_the_old_one():
    wire("W-14", "14", 30)
    wire("W-12", "12", 45)
    # 10 ft out and 10 ft back, 15 cents a foot more.
    assert lines(*changed(awg="12")) == [("20 ft of 12 AWG for A-01 (W-12)", 300)]


def test_a_shorter_run_is_cheaper_and_a_body_return_counts_one_way():
    wire("W-14", "14", 30)
    assert lines(*changed(length_m=4 * FOOT_M)) == [("8 ft of 14 AWG for A-01 (W-14)", -360)]
    assert lines(*changed(return_path=ReturnPath.BODY))[0][1] == -300


def test_the_cheapest_part_that_is_not_retired_counts():
    wire("W-14", "14", 30)
    wire("W-12", "12", 90)
    wire("W-12B", "12", 45)
    cheap = wire("W-12C", "12", 1)
    cheap.retired, cheap.retired_by, cheap.retired_at = True, "Mona", cheap.current.created_at
    cheap.save()
    assert lines(*changed(awg="12")) == [("20 ft of 12 AWG for A-01 (W-12B)", 300)]


def test_wire_without_a_part_is_priced_by_its_copper_or_named(shop):
    words = "20 ft of 12 AWG for A-01"
    assert lines(*changed(awg="12")) == [(words, None)]
    shop.copper_cents_per_kg = 2_000
    shop.save()
    kilograms = [copper_kg(awg=awg, length_m=20 * FOOT_M) for awg in ("14", "12")]
    [(said, cents)] = lines(*changed(awg="12"))
    assert said == f"{words}, by its copper: no such wire in the catalog"
    assert cents == round(2_000 * (kilograms[1] - kilograms[0]))


def test_a_device_is_priced_by_kind_and_rating_or_named():
    device("F-10", "fuse_blade", 10, 150)
    device("F-15", "fuse_blade", 15, 170)
    device("CB-20", "breaker_manual", 20, 5_000)
    assert lines(*changed(device_a=15.0)) == [("15 A fuse blade for A-01 (F-15)", 20)]
    assert lines(*changed(device_a=20.0)) == [("20 A fuse blade for A-01", None)]


def test_a_trip_in_a_node_costs_nothing_to_set():
    design, new = changed(device_kind=DeviceKind.ELECTRONIC, device_a=8.0)
    assert lines(design, new) == [("trip of A-01 set to 8 A in its node", 0)]


def test_a_second_circuit_is_priced_whole():
    wire("W-14", "14", 30)
    device("F-10", "fuse_blade", 10, 150)
    design = small()
    assert lines(design, add_circuit(design, "A-01B")) == [
        ("20 ft of 14 AWG for A-01B (W-14)", 600),
        ("10 A fuse blade for A-01B (F-10)", 150),
    ]
