import pytest

from jobs.build_sheet.design import design_of
from jobs.electrical.check import check
from jobs.findings import Severity
from jobs.models import AcBranch, AcSide, NeutralBond, OperatingMode, Supply
from tests.factories import make_job, make_wired_job

pytestmark = pytest.mark.django_db


def test_a_job_without_a_120_v_side_has_none():
    assert design_of(make_job()).ac is None


def test_the_120_v_side_reaches_the_calculation_in_its_units():
    job = make_wired_job()
    AcSide.objects.create(
        job=job, inverter_feed=job.feeds.get(), inverter_w=2000, inverter_least_mv=11_500,
        shore=True, shore_ma=20_000, charger=True, charger_ma=50_000,
    )  # fmt: skip
    AcBranch.objects.create(job=job, ref="1", name="Outlets", breaker_ma=20_000, awg="12")
    NeutralBond.objects.create(job=job, name="Relay", on_inverter=True)
    ac = design_of(job).ac
    assert (ac.inverter.feed, ac.inverter.least_dc_v, ac.inverter.surge_w) == ("A", 11.5, None)
    assert (ac.shore.rating_a, ac.charger.output_a) == (20.0, 50.0)
    assert (ac.branches[0].breaker_a, ac.branches[0].gfci) == (20.0, None)
    assert ac.bonds[0].on_inverter
    found = {(f.rule, f.severity) for f in check(design_of(job)) if f.rule == "gfci"}
    assert found == {("gfci", Severity.UNDETERMINED)}


def test_a_shore_supply_that_the_120_v_side_lacks_is_a_finding():
    job = make_wired_job()
    Supply.objects.create(job=job, ref="SH", name="Shore", kind="shore", nominal_mv=120_000)
    AcBranch.objects.create(job=job, ref="1", name="Outlets")
    messages = [f.message for f in check(design_of(job)) if f.rule == "ac_described"]
    assert messages == [
        "Not checked: a shore inlet is among the supplies, but not on the 120 V side."
    ]


def test_a_mode_brings_its_time_sleep_and_closed_links():
    job = make_wired_job()
    mode = OperatingMode.objects.create(
        job=job, key="t", name="T", source="battery", asleep=True, needed_minutes=30
    )
    mode.closed_links.add(job.feeds.get())
    found = design_of(job).modes[0]
    assert (found.asleep, found.needed_s, found.closed_links) == (True, 1800.0, ("A",))
