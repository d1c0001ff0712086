"""Wire geometry, resistance and ampacity against published figures."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from jobs.electrical.conductor import (
    MM2_PER_CMIL,
    awg_diameter_mil,
    circular_mil,
    circular_mil_for_drop,
    copper_kg,
    derated_ampacity_a,
    gauge_number,
    resistance_per_metre_ohm,
    temperature_factor,
)
from jobs.electrical.tables.conductors import SIZE_BY_AWG, SIZES

gauges = st.sampled_from([size.awg for size in SIZES])


@pytest.mark.parametrize("size", SIZES, ids=lambda size: size.awg)
def test_geometry_of_every_row_follows_from_the_gauge_formula(size):
    """ASTM B258."""
    diameter = awg_diameter_mil(number=size.number)
    assert size.diameter_mil == pytest.approx(diameter, abs=0.0006)
    assert size.area_cmil == pytest.approx(circular_mil(diameter_mil=diameter), abs=0.06)


def test_fixed_points_of_the_gauge_formula():
    """ASTM B258: 36 AWG is 5 mil and 4/0 is 460 mil, which is n = -3, not -4."""
    assert awg_diameter_mil(number=36) == pytest.approx(5.0)
    assert awg_diameter_mil(number=-3) == pytest.approx(460.0)
    assert gauge_number(diameter_mil=460.0) == pytest.approx(-3)


def test_one_gauge_is_a_factor_of_1_1229():
    ratio = awg_diameter_mil(number=11) / awg_diameter_mil(number=12)
    assert ratio == pytest.approx(1.1229, abs=0.00005)


@pytest.mark.parametrize("size", SIZES, ids=lambda size: size.awg)
def test_resistance_at_20_c_follows_from_area_and_copper(size):
    """IEC 60028: 1/58 ohm mm2/m, over the ASTM area."""
    area_mm2 = size.area_cmil * MM2_PER_CMIL
    per_kft = 1 / 58 / area_mm2 * 304.8
    assert size.r20_ohm_per_kft == pytest.approx(per_kft, rel=1e-4)


@pytest.mark.parametrize(
    "size", [item for item in SIZES if item.nec_r75_stranded_ohm_per_kft], ids=lambda size: size.awg
)
def test_nec_table_8_is_area_times_hot_copper_times_the_lay(size):
    """NEC chapter 9 table 8 over copper at 75 C: 1.018 to 1.025 for every size."""
    hot = size.r20_ohm_per_kft * (1 + 0.00393 * 55)
    assert 1.0175 <= size.nec_r75_stranded_ohm_per_kft / hot <= 1.0255


@pytest.mark.parametrize("size", SIZES, ids=lambda size: size.awg)
def test_road_vehicle_cable_is_thinner_than_its_gauge(size):
    """SAE J1127 and J1128, from a reprint: 3 to 11 % below the AWG area, a few a little more."""
    if size.sae_min_cmil is not None:
        assert 0.89 <= size.sae_min_cmil / size.area_cmil <= 0.985


@pytest.mark.parametrize(
    ("celsius", "share"), [(30, 0.9622), (50, 0.8946), (70, 0.8358), (105, 0.7496)]
)
def test_run_length_derated_by_temperature(celsius, share):
    """AC 43.13-1B paragraph 11-66: L2 = L1 x 254.5 / (234.5 + T)."""
    assert 1 / temperature_factor(conductor_c=celsius) == pytest.approx(share, abs=0.00005)


def test_resistivity_in_circular_mils():
    """1/58 ohm mm2/m is 10.371 ohm cmil/ft; 12.9 and 10.75 are copper near 75 C and 29 C."""
    rho = resistance_per_metre_ohm(awg="12") * 0.3048 * SIZE_BY_AWG["12"].area_cmil
    assert rho == pytest.approx(10.371, abs=0.0005)
    assert 29 <= 234.5 * (10.75 / rho) - 234.5 + 20 * (10.75 / rho) <= 30


@pytest.mark.parametrize(
    ("k", "current_a", "round_trip_ft", "drop_v", "cmil"),
    [
        (10.75, 10, 21, 0.36, 6271),
        (10.75, 10, 21, 1.2, 1881),
        (10.75, 45, 40, 1.2, 16_125),
    ],
)
def test_size_by_drop(k, current_a, round_trip_ft, drop_v, cmil):
    """The ABYC E-11 form, worked in secondary texts."""
    found = circular_mil_for_drop(
        k=k, current_a=current_a, round_trip_ft=round_trip_ft, drop_v=drop_v
    )
    assert found == pytest.approx(cmil, abs=0.5)


def test_round_trip_and_one_way_forms_agree():
    """CM = K I L / E with L round trip equals 2 K I D / Vd with D one way."""
    one_way = 2 * 12.9 * 20 * 100 / 7.9
    round_trip = circular_mil_for_drop(k=12.9, current_a=20, round_trip_ft=200, drop_v=7.9)
    assert round_trip == pytest.approx(one_way)


@pytest.mark.parametrize(
    ("engine", "bundle", "amps"), [(1.0, 0.60, 27.0), (0.85, 0.60, 22.95), (0.85, 1.0, 38.25)]
)
def test_derating_of_12_awg_at_105_c(engine, bundle, amps):
    """33 CFR 183.425 table 5 (45 A) with notes 1 and 2."""
    found = derated_ampacity_a(base_a=45, engine_factor=engine, bundle_factor=bundle)
    assert found == pytest.approx(amps)


@given(thin=gauges, thick=gauges)
def test_a_thicker_gauge_never_has_more_resistance(thin, thick):
    if SIZE_BY_AWG[thin].number > SIZE_BY_AWG[thick].number:
        assert resistance_per_metre_ohm(awg=thin) > resistance_per_metre_ohm(awg=thick)
        assert copper_kg(awg=thin, length_m=1) < copper_kg(awg=thick, length_m=1)


def test_a_gauge_without_a_row_is_a_key_error():
    with pytest.raises(KeyError):
        resistance_per_metre_ohm(awg="11")
