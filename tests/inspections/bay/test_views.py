from datetime import date
from io import BytesIO
from uuid import uuid4

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.urls import reverse
from PIL import Image

from inspections.checklists.generate import generate_checks
from inspections.models import Defect, Result
from jobs.models import Photo
from tests.factories import make_instrument, make_wired_job, make_working_unit

pytestmark = pytest.mark.django_db


@pytest.fixture
def unit(manager):
    unit = make_working_unit(by=manager, number="SR-4", keyoff_baseline_ua=28_000)
    generate_checks(unit=unit, by=manager)
    return unit


def url(name, unit, *args):
    return reverse(f"inspections:{name}", args=[unit.job.number, unit.number, *args])


def post(client, unit, ref, **fields):
    data = {"client_id": str(uuid4()), "base_sequence": "0", "pressed": "pass", **fields}
    return client.post(url("check_detail", unit, ref), data)


def picture(name="plate.jpg"):
    buffer = BytesIO()
    Image.new("RGB", (640, 480), "white").save(buffer, "JPEG")
    return SimpleUploadedFile(name, buffer.getvalue(), content_type="image/jpeg")


def test_check_list_shows_exceptions_first_and_filters_by_the_address(client, inspector, unit):
    unit.checks.filter(ref="DOCS").update(state="fail")
    client.force_login(inspector)
    page = client.get(url("check_list", unit)).content.decode()
    assert page.index("Needs attention") < page.index("DOCS") < page.index("ID.VIN")
    only = client.get(url("check_list", unit), {"stage": "S0"}).content.decode()
    assert "ID.VIN" in only
    assert "DOCS" not in only


def test_check_list_asks_a_fixed_number_of_queries(
    client, inspector, unit, django_assert_max_num_queries
):
    client.force_login(inspector)
    with django_assert_max_num_queries(12):
        client.get(url("check_list", unit))


def test_check_list_without_checks_says_where_they_come_from(client, manager):
    unit = make_working_unit(by=manager)
    client.force_login(manager)
    assert "made from the build sheet" in client.get(url("check_list", unit)).content.decode()


def test_checks_generate_without_stages_says_what_to_do(client, manager):
    from tests.factories import make_unit

    unit = make_unit(job=make_wired_job())
    client.force_login(manager)
    page = client.post(url("checks_generate", unit), follow=True).content.decode()
    assert "Plan the stages first" in page


def test_check_detail_shows_expected_value_and_where_its_tolerance_comes_from(
    client, inspector, unit
):
    client.force_login(inspector)
    page = client.get(url("check_detail", unit, "A-01.V")).content.decode()
    assert "13.4 V predicted; at least 13.1 V" in page
    assert "Common practice, no source: 0.3 V below the prediction" in page


def test_check_detail_pass_moves_on_to_the_next_open_check(client, inspector, unit):
    client.force_login(inspector)
    response = post(client, unit, "SRS.CLEAR", photos=picture())
    assert response.status_code == 302
    assert not response["Location"].endswith("SRS.CLEAR/")
    assert unit.checks.get(ref="SRS.CLEAR").state == "pass"


def test_check_detail_fail_opens_a_defect_without_another_tap(client, inspector, unit):
    client.force_login(inspector)
    post(client, unit, "ROAD", pressed="fail", reason="Rattle")
    assert Defect.objects.get().check_item.ref == "ROAD"


def test_check_detail_out_of_range_is_a_fail_whatever_was_pressed(client, inspector, unit):
    meter = make_instrument()
    client.force_login(inspector)
    post(client, unit, "KEYOFF", value_typed="300", instrument=meter.pk)
    assert unit.checks.get(ref="KEYOFF").state == "fail"


def test_check_detail_keeps_instrument_and_conditions_for_the_stage(client, inspector, unit):
    meter = make_instrument()
    client.force_login(inspector)
    post(
        client, unit, "KEYOFF", value_typed="30", instrument=meter.pk, conditions="Bay, 21 °C"
    )  # fmt: skip
    page = client.get(url("check_detail", unit, "A-01.V")).content.decode()
    assert "Bay, 21 °C" in page


@pytest.mark.parametrize(
    ("fields", "words"),
    [
        ({"value_typed": "abc"}, "abc is not a number"),
        ({"value_typed": ""}, "Key-off draw needs a reading in mA"),
        ({"value_typed": "12", "instrument": ""}, "Choose the instrument"),
        ({"client_id": "x"}, "Enter a valid UUID"),
        ({"pressed": "maybe"}, "maybe is not one of the available choices"),
        ({"value_typed": "12", "base_sequence": "-1"}, "greater than or equal to 0"),
    ],
)
def test_check_detail_bad_input_answers_a_sentence_and_keeps_nothing(
    client, inspector, unit, fields, words
):
    meter = make_instrument()
    client.force_login(inspector)
    response = post(client, unit, "KEYOFF", **{"instrument": meter.pk, **fields})
    assert response.status_code == 422
    assert words in response.content.decode()
    assert not Result.objects.exists()


@pytest.mark.parametrize(
    ("content", "words"),
    [
        (b"", "plate.jpg"),
        (b"%PDF-1.7 not a picture at all, only text that is long enough", "plate.jpg"),
        (b"\xff\xd8\xff" + bytes(100), "plate.jpg"),
    ],
)
def test_check_detail_refuses_what_is_no_photo(client, inspector, unit, content, words):
    client.force_login(inspector)
    file = SimpleUploadedFile("plate.jpg", content, content_type="image/jpeg")
    response = post(client, unit, "ID.VIN", photos=file)
    assert response.status_code == 422
    assert words in response.content.decode()
    assert not Result.objects.exists()
    assert not Photo.objects.exists()


def test_check_detail_the_same_tap_twice_is_recorded_once(client, inspector, unit):
    client.force_login(inspector)
    tap = {"client_id": str(uuid4())}
    post(client, unit, "ROAD", **tap)
    post(client, unit, "ROAD", **tap)
    assert Result.objects.count() == 1


def test_check_undo_strikes_ones_own_last_entry(client, inspector, unit):
    client.force_login(inspector)
    post(client, unit, "ROAD")
    client.post(url("check_undo", unit, "ROAD"))
    assert unit.checks.get(ref="ROAD").state == "open"
    page = client.post(url("check_undo", unit, "ROAD"), follow=True).content.decode()
    assert "no result of yours on ROAD" in page


def test_check_detail_of_an_unknown_check_is_not_found(client, inspector, unit):
    client.force_login(inspector)
    assert client.get(url("check_detail", unit, "NOPE")).status_code == 404


def test_check_detail_is_not_for_designers(client, designer, unit):
    client.force_login(designer)
    assert client.get(url("check_detail", unit, "ROAD")).status_code == 403
    assert client.get(url("check_undo", unit, "ROAD")).status_code in (403, 405)


def test_check_detail_leads_to_the_decision_that_it_waits_for(
    client, inspector, technician, other_technician, unit
):
    for person, pressed in ((technician, "pass"), (other_technician, "fail")):
        client.force_login(person)
        post(client, unit, "ROAD", pressed=pressed, reason="Rattle")
    page = client.get(url("check_detail", unit, "ROAD")).content.decode()
    assert "disagree" in page
    assert url("decision_list", unit) in page
    assert "1 check waits for a decision" in client.get(url("check_list", unit)).content.decode()
    client.force_login(inspector)
    page = client.get(url("check_detail", unit, "ROAD")).content.decode()
    assert url("check_decide", unit, "ROAD") in page


def test_check_detail_of_a_signed_stage_says_that_it_is_late_evidence(client, inspector, unit):
    client.force_login(inspector)
    post(client, unit, "ROAD")
    unit.stages.filter(code="S13").update(state="signed")
    page = client.get(url("check_detail", unit, "ROAD")).content.decode()
    assert "S13 is signed off. What is recorded now is late evidence" in page


def test_check_detail_says_how_long_each_instrument_is_valid(client, inspector, unit):
    make_instrument()
    make_instrument(asset="DM-1", due=date(2020, 1, 31))
    client.force_login(inspector)
    page = client.get(url("check_detail", unit, "KEYOFF")).content.decode()
    assert "DM-2 Multimeter, calibration due 1 Jan 2099" in page
    assert "DM-1 Multimeter: calibration overdue since 31 Jan 2020, not valid" in page


@pytest.mark.parametrize(
    ("agent", "words"),
    [
        ("Mozilla/5.0 (X11; Linux x86_64) Gecko", "Browser on X11"),
        ("", ""),
        ("curl", ""),
        ("(" + "x" * 500, "Browser on " + "x" * 49),
    ],
)
def test_check_detail_records_the_device(client, inspector, unit, agent, words):
    client.force_login(inspector)
    data = {"client_id": str(uuid4()), "base_sequence": "0", "pressed": "pass"}
    client.post(url("check_detail", unit, "ROAD"), data, headers={"user-agent": agent})
    assert Result.objects.get().device == words
