import pytest

from jobs.intake.arrival import actions
from jobs.intake.arrival.standing import WALK, arrival_of
from jobs.intake.errors import IntakeError
from jobs.models import AuditEvent, ConditionPhoto, Photo
from tests.factories import VIN, make_job, make_unit

READINGS = {"odometer_mi": 12, "keys": 2, "fuel_percent": 75}


def photo(number):
    return Photo.objects.create(
        sha256=f"{number:064x}", size_bytes=1, media_type="image/jpeg", width=1, height=1
    )


@pytest.fixture
def unit(db):
    return make_unit(number="SR-4", vin=VIN, **READINGS)


@pytest.fixture
def walked(unit, technician):
    """Read, and photographed from all eight views."""
    for number, view in enumerate(WALK):
        actions.add_photos(unit=unit, view=view, photos=[photo(number)], note="", by=technician)
    return unit


def accept(unit, by):
    actions.accept_unit(unit=unit, handed_over_by="Ilse Marrow", by=by)


def test_a_new_arrival_names_everything_that_is_missing(db):
    missing = " ".join(arrival_of(make_unit()).missing)
    assert "odometer, keys and fuel have not been read" in missing
    assert "Front, Front left corner, Left side" in missing


def test_acceptance_waits_for_the_last_view(unit, technician):
    for number, view in enumerate(WALK[:-1]):
        actions.add_photos(unit=unit, view=view, photos=[photo(number)], note="", by=technician)
    with pytest.raises(IntakeError, match="No photo yet: Front right corner"):
        accept(unit, technician)
    unit.refresh_from_db()
    assert unit.arrived_at is None


def test_acceptance_keeps_two_names_and_the_moment(walked, technician):
    accept(walked, technician)
    assert (walked.accepted_by, walked.handed_over_by) == (technician, "Ilse Marrow")
    assert walked.arrived_at is not None
    sentence = AuditEvent.objects.filter(verb="accepted").get().sentence
    assert sentence == "Accepted unit SR-4 from Ilse Marrow with 8 photos, 2 keys, 12 mi."


def test_acceptance_happens_once_and_closes_readings_and_photos(walked, technician):
    accept(walked, technician)
    taken = ConditionPhoto.objects.first()
    for late in (
        lambda: accept(walked, technician),
        lambda: actions.write_readings(unit=walked, version=9, values=READINGS, by=technician),
        lambda: actions.add_photos(
            unit=walked, view="damage", photos=[photo(99)], note="", by=technician
        ),
        lambda: actions.remove_photo(taken=taken, by=technician),
    ):
        with pytest.raises(IntakeError, match="Its check-in is closed"):
            late()
    assert ConditionPhoto.objects.count() == 8


def test_a_manager_opens_a_closed_check_in_again_with_both_names_on_record(
    walked, technician, manager
):
    accept(walked, technician)
    actions.reopen_arrival(unit=walked, reason="Wrong van", by=manager)
    assert (walked.arrived_at, walked.accepted_by, walked.handed_over_by) == (None, None, "")
    sentence = AuditEvent.objects.filter(verb="reopened").get().sentence
    assert "tess" in sentence.lower()
    assert "from Ilse Marrow before: Wrong van" in sentence
    with pytest.raises(IntakeError, match="is open already"):
        actions.reopen_arrival(unit=walked, reason="Again", by=manager)


def test_the_same_picture_sent_twice_is_one_photo(unit, technician):
    picture = photo(1)
    first = actions.add_photos(
        unit=unit, view="front", photos=[picture, picture], note="", by=technician
    )
    again = actions.add_photos(unit=unit, view="front", photos=[picture], note="", by=technician)
    assert (len(first), again) == (1, [])
    assert AuditEvent.objects.count() == 1


def test_a_photo_taken_out_leaves_the_stored_picture(unit, technician):
    [taken] = actions.add_photos(unit=unit, view="front", photos=[photo(1)], note="", by=technician)
    actions.remove_photo(taken=taken, by=technician)
    actions.remove_photo(taken=taken, by=technician)
    assert Photo.objects.count() == 1
    assert AuditEvent.objects.filter(verb="removed").count() == 1


def test_readings_that_bring_the_vin_of_another_unit_say_so(technician):
    job = make_job()
    make_unit(job=job, vin=VIN)
    unit = make_unit(job=job)
    with pytest.raises(IntakeError, match="is another unit of this job"):
        actions.write_readings(unit=unit, version=0, values={**READINGS, "vin": VIN}, by=technician)
    unit.refresh_from_db()
    assert unit.odometer_mi is None


def test_readings_are_told_in_the_history(technician):
    unit = make_unit(number="SR-4")
    values = {**READINGS, "odometer_mi": 12_345, "vin": VIN}
    actions.write_readings(unit=unit, version=0, values=values, by=technician)
    sentence = AuditEvent.objects.get().sentence
    assert sentence == f"Read unit SR-4: plate {VIN}, 12,345 mi, 2 keys, 75 % fuel."
