import pytest

from jobs.build_sheet import actions
from jobs.build_sheet.actions import BuildSheetError
from jobs.build_sheet.circuit_forms import CircuitForm
from jobs.build_sheet.review import review
from jobs.models import AuditEvent, Circuit
from tests.factories import make_requirement, make_wired_job

pytestmark = pytest.mark.django_db


def accept_everything(job, by):
    for judged in review(job).blocking:
        actions.accept_finding(
            job=job, rule=judged.finding.rule, subject=judged.finding.subject, reason="ok", by=by
        )


def test_freeze_design_numbers_revisions_and_keeps_findings(designer):
    job = make_wired_job()
    first = actions.freeze_design(job=job, by=designer, note="First")
    second = actions.freeze_design(job=job, by=designer, note="Second")
    assert (first.number, second.number) == (1, 2)
    assert first.digest == second.digest
    assert {"rule", "severity", "subject"} <= set(first.findings[0])


def test_freeze_design_digest_changes_with_one_length(designer):
    job = make_wired_job()
    before = actions.freeze_design(job=job, by=designer, note="")
    Circuit.objects.update(length_mm=5000)
    after = actions.freeze_design(job=job, by=designer, note="")
    assert before.digest != after.digest


def test_release_design_needs_a_second_person(designer, manager):
    job = make_wired_job()
    accept_everything(job, designer)
    revision = actions.freeze_design(job=job, by=designer, note="")
    with pytest.raises(BuildSheetError, match="a second person must release it"):
        actions.release_design(revision=revision, by=designer)
    actions.release_design(revision=revision, by=manager)
    with pytest.raises(BuildSheetError, match="already released"):
        actions.release_design(revision=revision, by=manager)


def test_release_design_refuses_while_a_finding_fails(designer, manager):
    job = make_wired_job(awg="18", device_ma=30_000)
    revision = actions.freeze_design(job=job, by=designer, note="")
    with pytest.raises(BuildSheetError, match="A-01"):
        actions.release_design(revision=revision, by=manager)


def test_release_design_refuses_an_assumed_value_that_feeds_a_calculation(designer, manager):
    job = make_wired_job()
    make_requirement(job=job, number=8, status="assumed", drives_design=True)
    accept_everything(job, designer)
    revision = actions.freeze_design(job=job, by=designer, note="")
    with pytest.raises(BuildSheetError, match="RQ8 is assumed and feeds a calculation"):
        actions.release_design(revision=revision, by=manager)


def test_release_design_refuses_what_changed_since(designer, manager):
    job = make_wired_job()
    accept_everything(job, designer)
    revision = actions.freeze_design(job=job, by=designer, note="")
    Circuit.objects.update(length_mm=2000)
    with pytest.raises(BuildSheetError, match="changed since this revision"):
        actions.release_design(revision=revision, by=manager)


def test_remove_row_in_use_says_by_whom(designer):
    job = make_wired_job()
    with pytest.raises(BuildSheetError, match="is used by"):
        actions.remove_row(row=job.lines.get(), by=designer)
    assert job.lines.exists()


def test_remove_row_leaves_a_line_of_history(designer):
    job = make_wired_job()
    actions.remove_row(row=job.circuits.get(), by=designer)
    assert AuditEvent.objects.filter(sentence="Removed circuit A-01.").exists()


def test_save_row_seen_before_somebody_elses_change_is_refused(designer):
    job = make_wired_job()
    row = job.circuits.get()
    Circuit.objects.filter(pk=row.pk).update(version=5, designation="Theirs")
    form = CircuitForm(data_of(row), instance=row, job=job)
    assert form.is_valid(), form.errors
    with pytest.raises(BuildSheetError, match="changed by somebody else"):
        actions.save_row(form=form, by=designer, seen_version=0)
    assert Circuit.objects.get(pk=row.pk).designation == "Theirs"


def data_of(row):
    return {
        "ref": row.ref, "designation": "Mine", "feed": row.feed_id, "device_kind": row.device_kind,
        "device_ma": "10", "awg": row.awg, "insulation_c": "125", "length_mm": "10",
        "return_path": "wire", "bundle_count": "1",
    }  # fmt: skip
