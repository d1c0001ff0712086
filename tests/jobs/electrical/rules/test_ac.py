"""The 120 V side: inverter, its direct current, shore budget, neutral bond."""

from dataclasses import replace

import pytest

from jobs.electrical.ac_design import (
    AcBranch,
    AcSide,
    Charger,
    Inverter,
    NeutralBond,
    ShoreInlet,
)
from jobs.electrical.design import Supply, SupplyKind
from jobs.findings import Severity
from tests.jobs.electrical.small import answer, answers, small, verdict

PASS, FAIL, UNDETERMINED = Severity.PASS, Severity.FAIL, Severity.UNDETERMINED

BRANCH = AcBranch(ref="1", breaker_a=20.0, awg="12", continuous_w=400.0, gfci=True)
SIDE = AcSide(
    inverter=Inverter(feed="A", continuous_w=800.0, surge_w=1600.0),
    shore=ShoreInlet(rating_a=20.0),
    charger=Charger(output_a=50.0),
    branches=(BRANCH,),
    bonds=(
        NeutralBond(name="inverter relay", on_inverter=True),
        NeutralBond(name="shore supply", on_shore=True),
    ),
)


def ac(**changes):
    return small(ac=replace(SIDE, **changes))


def test_a_good_side_passes():
    assert {item.severity for item in answers(ac(), "neutral_bond")} == {PASS}
    for rule in ("inverter_continuous", "inverter_surge", "inverter_dc"):
        assert verdict(ac(), rule, "inverter") is PASS
    assert verdict(ac(), "shore_budget", "shore power") is PASS


def test_shore_power_without_a_described_side_is_undetermined():
    shore = Supply(ref="SHORE", kind=SupplyKind.SHORE, nominal_v=120.0)
    design = small()
    design = replace(design, supplies=(*design.supplies, shore))
    assert verdict(design, "ac_described", "120 V side") is UNDETERMINED
    assert answers(replace(design, ac=SIDE), "ac_described") == []
    assert answers(small(), "ac_described") == []


@pytest.mark.parametrize(("watts", "severity"), [(799, PASS), (800, PASS), (801, FAIL)])
def test_inverter_continuous_output(watts, severity):
    design = ac(branches=(replace(BRANCH, continuous_w=float(watts)),))
    assert verdict(design, "inverter_continuous", "inverter") is severity


@pytest.mark.parametrize(("watts", "severity"), [(1199, PASS), (1200, PASS), (1201, FAIL)])
def test_inverter_surge_on_top_of_the_load(watts, severity):
    design = ac(branches=(replace(BRANCH, surge_w=float(watts)),))
    assert verdict(design, "inverter_surge", "inverter") is severity


@pytest.mark.parametrize(("share", "severity"), [(0.999, PASS), (1.0, PASS), (1.001, FAIL)])
def test_direct_current_at_the_lowest_voltage(share, severity):
    """80 % of the feed's 100 A device."""
    watts = 80 * 11.0 * 0.88 * share
    inverter = Inverter(feed="A", continuous_w=watts, surge_w=5000.0, least_dc_v=11.0)
    found = answer(ac(inverter=inverter), "inverter_dc", "inverter")
    assert found.measured == pytest.approx(80 * share)
    assert found.severity is severity


def test_demo_inverter_takes_189_amperes_at_12_volts():
    inverter = Inverter(feed="A", continuous_w=2000.0, surge_w=4000.0)
    found = answer(ac(inverter=inverter), "inverter_dc", "inverter")
    assert found.measured == pytest.approx(189.4, abs=0.05)


@pytest.mark.parametrize("rating", [{"continuous_w": None}, {"surge_w": None}])
def test_an_inverter_without_rating_is_undetermined(rating):
    design = ac(inverter=replace(SIDE.inverter, **rating))
    rule = "inverter_surge" if "surge_w" in rating else "inverter_continuous"
    assert verdict(design, rule, "inverter") is UNDETERMINED


@pytest.mark.parametrize(("watts", "severity"), [(564.7, PASS), (564.8, FAIL), (2000.0, FAIL)])
def test_shore_budget_beside_an_80_a_charger(watts, severity):
    """1920 W less 1355.3 W leaves 564.7 W for outlets."""
    design = ac(charger=Charger(output_a=80.0), branches=(replace(BRANCH, continuous_w=watts),))
    assert verdict(design, "shore_budget", "shore power") is severity


def test_a_lower_charger_setting_leaves_more_for_outlets():
    heavy = replace(BRANCH, continuous_w=1000.0)
    assert (
        verdict(
            ac(charger=Charger(output_a=80.0), branches=(heavy,)), "shore_budget", "shore power"
        )
        is FAIL
    )
    assert verdict(ac(branches=(heavy,)), "shore_budget", "shore power") is PASS


@pytest.mark.parametrize(
    "changes",
    [
        {"shore": ShoreInlet()},
        {"charger": Charger()},
        {"branches": (replace(BRANCH, continuous_w=None),)},
    ],
)
def test_a_shore_budget_without_data_is_undetermined(changes):
    assert verdict(ac(**changes), "shore_budget", "shore power") is UNDETERMINED


@pytest.mark.parametrize(
    ("bonds", "inverter", "shore"),
    [
        ((), FAIL, FAIL),
        ((NeutralBond(name="fixed", on_inverter=True, on_shore=True),), PASS, PASS),
        (
            (
                NeutralBond(name="fixed", on_inverter=True, on_shore=True),
                NeutralBond(name="shore supply", on_shore=True),
            ),
            PASS,
            FAIL,
        ),
    ],
)
def test_neutral_is_bonded_exactly_once(bonds, inverter, shore):
    assert verdict(ac(bonds=bonds), "neutral_bond", "neutral on inverter") is inverter
    assert verdict(ac(bonds=bonds), "neutral_bond", "neutral on shore power") is shore
