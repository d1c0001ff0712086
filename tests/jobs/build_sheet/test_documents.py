"""The printed calculation, and three of its figures redone from the printed words alone."""

import math
import re

import pytest

from jobs.build_sheet.actions import freeze_design
from jobs.build_sheet.documents import request_calculation, sections_of
from jobs.documents.models import Document
from jobs.documents.tasks import drain_documents
from jobs.models import ModeDuty, OperatingMode
from tests.factories import make_unit, make_wired_job
from tests.papers import page_texts, pdf_of

pytestmark = pytest.mark.django_db


@pytest.fixture
def revision(designer):
    job = make_wired_job()
    make_unit(job=job, alternator_hot_idle_ma=120_000)
    mode = OperatingMode.objects.create(
        job=job, key="respond", name="Respond", source="idle", chassis_base_ma=55_000
    )
    ModeDuty.objects.create(mode=mode, circuit=job.circuits.get(), permille=500)
    return freeze_design(job=job, by=designer, note="First")


def test_every_finding_with_sums_is_on_the_sheet(revision):
    tables = [table for one in sections_of(revision)[1:] for table in one["data"]["tables"]]
    assert len(tables) == sum(bool(each["steps"]) for each in revision.findings) > 5
    assert [one["title"] for one in sections_of(revision)] == [
        "Basis and inputs", "Feeds", "Circuits of feed A", "Operating modes",
    ]  # fmt: skip


def test_asking_twice_prints_once(revision):
    assert request_calculation(revision).pk == request_calculation(revision).pk
    revision.refresh_from_db()
    assert revision.document is not None


@pytest.mark.slow
def test_three_figures_can_be_redone_from_the_printed_text_alone(revision):
    document = request_calculation(revision)
    drain_documents()
    document.refresh_from_db()
    assert document.state == Document.State.DONE, document.error
    text = " ".join(" ".join(page_texts(pdf_of(document))).split())

    # 1. The branch's voltage drop: length, resistance and current are all on the line.
    ways, feet, ohm, factor, printed = found(
        r"R_branch (\S+) x (\S+) ft x (\S+) ohm / 1000 ft x (\S+) (\S+) ohm", text
    )
    resistance = ways * feet * ohm / 1000 * factor
    assert resistance == pytest.approx(printed, rel=1e-4)
    amps, dropped = found(r"V_branch (\S+) A x R_branch (\S+) V", text)
    assert amps * resistance == pytest.approx(dropped, rel=1e-4)

    # 2. What the feed's conductor may carry, and the heating current it is compared with.
    table, space, bundle, may_carry = found(
        r"I_z (\S+) A x (\S+) x (\S+) \(engine space, bundle\) (\S+) A", text
    )
    assert table * space * bundle == pytest.approx(may_carry, rel=1e-4)
    average, swing, heat = found(r"I_heat sqrt\(\((\S+) A\)\^2 \+ \((\S+) A\)\^2\) (\S+) A", text)
    assert math.hypot(average, swing) == pytest.approx(heat, rel=1e-3)

    # 3. The demand of the mode: chassis, allowance, the circuit with its duty, the inverter.
    (chassis,) = found(r"I_chassis chassis base (\S+) A", text)
    circuit, duty, share = found(r"I_A-01 (\S+) A x (\S+) (\S+) A", text)
    assert circuit * duty == pytest.approx(share, rel=1e-4)
    (demand,) = found(r"I_mode sum (\S+) A", text)
    assert chassis + share == pytest.approx(demand, rel=1e-4)


def found(pattern, text):
    """The figures of the first line that reads like this."""
    match = re.search(pattern, text)
    assert match, f"{pattern} is not printed"
    return [float(group) for group in match.groups()]
