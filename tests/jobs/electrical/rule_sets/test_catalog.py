"""Every rule set: complete, sourced, and covering what it must."""

from dataclasses import fields, is_dataclass
from typing import Any

import pytest

from jobs.electrical.design import DeviceKind
from jobs.electrical.rule_sets.catalog import RULE_SETS
from jobs.electrical.rule_sets.shape import Limit
from jobs.electrical.tables.conductors import SIZE_BY_AWG
from jobs.sources import SOURCE_BY_ID

EVERY = pytest.mark.parametrize("rule_set", RULE_SETS.values(), ids=lambda item: item.key)


def limits(thing: Any) -> list[Limit]:
    if isinstance(thing, Limit):
        return [thing]
    if isinstance(thing, tuple):
        return [limit for item in thing for limit in limits(item)]
    if is_dataclass(thing):
        return [limit for item in fields(thing) for limit in limits(getattr(thing, item.name))]
    return []


def test_the_three_sets_are_there():
    assert set(RULE_SETS) == {"common-practice", "fire-ems", "33cfr183"}


@EVERY
def test_every_limit_names_a_known_source_and_a_status(rule_set):
    found = limits(rule_set)
    assert len(found) >= 20
    for limit in found:
        assert limit.source in SOURCE_BY_ID
        assert limit.status in {"V", "V2", "V2*", "C", "CP", "M-H"}
        assert limit.value > 0


@EVERY
def test_every_table_row_names_a_known_source(rule_set):
    for row in (*rule_set.ampacity, *rule_set.engine_space, *rule_set.bundle):
        assert row.source in SOURCE_BY_ID
    assert rule_set.smallest_single_source in SOURCE_BY_ID


@EVERY
def test_every_gauge_and_device_is_covered(rule_set):
    assert {row.awg for row in rule_set.ampacity} <= SIZE_BY_AWG.keys()
    assert rule_set.smallest_single_awg in SIZE_BY_AWG
    assert {kind for kind, _ in rule_set.fault_multiples} == {str(kind) for kind in DeviceKind}
    assert {item.key for item in rule_set.drop_classes} == {"sensitive", "lamp", "general"}


@EVERY
def test_thicker_wire_carries_at_least_as_much(rule_set):
    for insulation in {row.insulation_c for row in rule_set.ampacity}:
        rows = [row for row in rule_set.ampacity if row.insulation_c == insulation]
        rows.sort(key=lambda row: -SIZE_BY_AWG[row.awg].number)
        amps = [row.amps for row in rows]
        assert amps == sorted(amps)


@EVERY
def test_every_insulation_column_has_its_engine_space_factor(rule_set):
    columns = {row.insulation_c for row in rule_set.ampacity}
    assert columns == {item.insulation_c for item in rule_set.engine_space}


def test_the_two_published_rules_run_in_opposite_directions():
    """33 CFR lets the device exceed the ampacity, fire and EMS do not let it reach it."""
    assert RULE_SETS["33cfr183"].device_over_ampacity.value == 1.5
    assert RULE_SETS["fire-ems"].device_over_ampacity.value == 0.8


def test_fire_ems_allows_ten_percent_to_every_load():
    classes = RULE_SETS["fire-ems"].drop_classes
    assert {item.limit_percent.value for item in classes} == {10.0}
