import pytest

from catalog.models import PartRevision
from jobs.build_sheet.circuit_forms import CircuitForm, FeedForm
from jobs.build_sheet.forms import LineForm
from jobs.build_sheet.mode_forms import ModeForm
from tests.factories import make_job, make_part, make_wired_job

pytestmark = pytest.mark.django_db


def circuit_data(job, **changes):
    return {
        "ref": "A-09", "designation": "Siren", "feed": job.feeds.get().pk,
        "device_kind": "fuse_blade", "device_ma": "25", "awg": "10", "insulation_c": "125",
        "length_mm": "8", "return_path": "wire", "bundle_count": "1", **changes,
    }  # fmt: skip


@pytest.mark.parametrize(
    ("field", "value", "words"),
    [
        ("length_mm", "-3", "One-way length is -3 ft; it must be above 0"),
        ("length_mm", "0", "One-way length is 0 ft; it must be above 0"),
        ("length_mm", "400", "400 ft is above 200"),
        ("length_mm", "NaN", "NaN is not a number"),
        ("length_mm", "1e400", "1e400"),
        ("device_ma", "-5", "-5 A is below 0"),
        ("device_ma", "9999", "9999 A is above 600"),
        ("awg", "11", "11 is not one of the available choices"),
        ("bundle_count", "0", "greater than or equal to 1"),
        ("ref", "A-01", "A-01 is already used"),
        ("feed", "99999", "not one of the available choices"),
    ],
)
def test_circuit_form_names_value_and_limit(field, value, words):
    job = make_wired_job()
    form = CircuitForm(circuit_data(job, **{field: value}), job=job)
    assert not form.is_valid()
    assert words in str(form.errors[field])


def test_circuit_form_stores_what_was_typed_in_feet_and_amperes():
    job = make_wired_job()
    form = CircuitForm(circuit_data(job, length_mm="8,5"), job=job)
    assert form.is_valid(), form.errors
    circuit = form.save()
    assert (circuit.device_ma, float(circuit.length_mm)) == (25_000, 2590.8)


def test_circuit_form_accepts_missing_ratings_because_findings_name_them():
    job = make_wired_job()
    form = CircuitForm(circuit_data(job, length_mm="", device_ma="", awg=""), job=job)
    assert form.is_valid(), form.errors


def test_feed_form_offers_only_this_jobs_supplies():
    mine, other = make_wired_job(), make_wired_job()
    form = FeedForm(job=mine)
    assert list(form.fields["supply"].queryset) == list(mine.supplies.all())
    assert other.supplies.get() not in form.fields["supply"].queryset


def test_line_form_names_a_part_code_that_is_not_in_the_catalog():
    form = LineForm({"ref": "L09", "part_code": "NOPE", "quantity": "1"}, job=make_job())
    assert "Part code NOPE is not in the catalog" in str(form.errors["part_code"])


def test_line_form_refuses_a_retired_part_for_a_new_line():
    part = make_part()
    part.retired, part.retired_by = True, "Mona Ash"
    part.retired_at = part.current.created_at
    part.save()
    form = LineForm({"ref": "L09", "part_code": part.code, "quantity": "1"}, job=make_job())
    assert "is retired; choose its replacement" in str(form.errors["part_code"])


def test_line_form_keeps_the_old_datasheet_when_only_the_place_changes():
    job = make_wired_job()
    line = job.lines.get()
    part = line.part.part
    old = line.part_id
    newer = PartRevision.objects.get(pk=old)
    newer.pk, newer.number = None, 2
    newer.save()
    part.current = newer
    part.save()
    data = {
        "ref": "L01", "part_code": part.code, "quantity": "4", "section": "warning",
        "zone": "rear", "ownership": "shop",
    }  # fmt: skip
    form = LineForm(data, instance=line, job=job)
    assert form.is_valid(), form.errors
    assert form.save().part_id == old


def test_mode_form_refuses_a_dead_bus():
    form = ModeForm({"bus_mv": "0"}, job=make_job())
    assert "0 V is below 1" in str(form.errors["bus_mv"])
