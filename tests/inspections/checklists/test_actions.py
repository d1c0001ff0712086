from datetime import date
from decimal import Decimal
from uuid import uuid4

import pytest
from django.db import DatabaseError, connection, transaction

from inspections.checklists import actions
from inspections.checklists.actions import CheckError, Reading
from inspections.checklists.generate import generate_checks
from inspections.models import Release, Result
from jobs.models import Shop
from jobs.stages.actions import finish_stage, start_work
from tests.factories import make_instrument, make_working_unit, reading

pytestmark = pytest.mark.django_db


@pytest.fixture
def unit(manager):
    unit = make_working_unit(by=manager, keyoff_baseline_ua=28_000)
    generate_checks(unit=unit, by=manager)
    return unit


def check_of(unit, ref):
    return unit.checks.get(ref=ref)


def test_record_result_computes_the_verdict_from_the_value(unit, inspector):
    meter = make_instrument()
    result = actions.record_result(
        check=check_of(unit, "KEYOFF"),
        by=inspector,
        reading=reading("pass", "58", instrument=meter),
    )
    assert result.verdict == "pass"
    result = actions.record_result(
        check=check_of(unit, "KEYOFF"),
        by=inspector,
        reading=reading("pass", "58,1", instrument=meter),
    )
    assert (result.pressed, result.verdict) == ("pass", "fail")
    assert check_of(unit, "KEYOFF").state == "fail"


def test_record_result_keeps_what_was_typed_beside_the_number(unit, inspector):
    result = actions.record_result(
        check=check_of(unit, "KEYOFF"),
        by=inspector,
        reading=reading("pass", " 12,4 ", instrument=make_instrument()),
    )
    assert (result.value_typed, result.value) == ("12,4", Decimal("12.4"))


@pytest.mark.parametrize(
    ("typed", "words"),
    [
        ("", "Key-off draw needs a reading in mA"),
        ("-", "- is not a number"),
        ("1e9", "1e9 is outside what can be measured"),
        ("NaN", "NaN is outside what can be measured"),
        ("Infinity", "outside what can be measured"),
        ("12.4.4", "is not a number"),
    ],
)
def test_record_result_refuses_what_is_no_reading(unit, inspector, typed, words):
    with pytest.raises(CheckError, match=words):
        actions.record_result(
            check=check_of(unit, "KEYOFF"),
            by=inspector,
            reading=reading("pass", typed, instrument=make_instrument()),
        )
    assert not Result.objects.exists()


def test_record_result_refuses_an_overdue_instrument(unit, inspector):
    old = make_instrument(due=date(2020, 1, 31))
    with pytest.raises(CheckError, match="was due for calibration on 31 Jan 2020") as caught:
        actions.record_result(
            check=check_of(unit, "KEYOFF"),
            by=inspector,
            reading=reading("pass", "12", instrument=old),
        )
    assert caught.value.field == "instrument"


def test_record_result_needs_an_instrument_for_a_reading(unit, inspector):
    with pytest.raises(CheckError, match="Choose the instrument"):
        actions.record_result(
            check=check_of(unit, "KEYOFF"), by=inspector, reading=reading("pass", "12")
        )


def test_record_result_does_not_apply_needs_a_reason(unit, inspector):
    with pytest.raises(CheckError, match="needs a reason"):
        actions.record_result(check=check_of(unit, "KEYOFF"), by=inspector, reading=reading("na"))
    actions.record_result(
        check=check_of(unit, "KEYOFF"), by=inspector, reading=reading("na", reason="No battery yet")
    )
    assert check_of(unit, "KEYOFF").state == "na"


def test_record_result_needs_a_photo_where_the_check_asks_for_one(unit, inspector):
    with pytest.raises(CheckError, match="needs a photo before it can pass"):
        actions.record_result(check=check_of(unit, "ID.VIN"), by=inspector, reading=reading())
    actions.record_result(check=check_of(unit, "ID.VIN"), by=inspector, reading=reading("fail"))


def test_record_result_with_the_same_client_id_is_stored_once(unit, inspector):
    tap = reading()
    first = actions.record_result(check=check_of(unit, "ROAD"), by=inspector, reading=tap)
    again = actions.record_result(check=check_of(unit, "ROAD"), by=inspector, reading=tap)
    assert first.pk == again.pk
    assert Result.objects.count() == 1


def test_record_result_with_the_same_client_id_and_other_content_is_refused(unit, inspector):
    one = uuid4()
    actions.record_result(
        check=check_of(unit, "ROAD"), by=inspector, reading=Reading(client_id=one, pressed="pass")
    )
    with pytest.raises(CheckError, match="already sent with another content"):
        actions.record_result(
            check=check_of(unit, "ROAD"),
            by=inspector,
            reading=Reading(client_id=one, pressed="fail"),
        )


def test_record_result_by_who_did_the_work_is_refused(unit, technician, manager):
    stage = unit.stages.get(code="S0")
    start_work(stage=stage, by=technician)
    finish_stage(stage=stage, by=technician)
    check = check_of(unit, "ROAD")
    check.made_in = "S0"
    check.save()
    with pytest.raises(CheckError, match="Tess Cedar worked on S0; somebody else must check"):
        actions.record_result(check=check, by=technician, reading=reading())


def test_record_result_of_a_sole_trader_says_that_they_took_part(unit, owner):
    Shop.objects.update(sole_trader=True)
    start_work(stage=unit.stages.get(code="S0"), by=owner)
    check = check_of(unit, "ROAD")
    check.made_in = "S0"
    check.save()
    assert actions.record_result(check=check, by=owner, reading=reading()).took_part


def test_void_result_strikes_and_keeps_it(unit, inspector):
    result = actions.record_result(check=check_of(unit, "ROAD"), by=inspector, reading=reading())
    actions.void_result(result=result, by=inspector, reason="Slipped")
    assert check_of(unit, "ROAD").state == "open"
    assert Result.objects.count() == 2
    with pytest.raises(CheckError, match="already taken back"):
        actions.void_result(result=result, by=inspector, reason="Again")


def test_void_result_after_the_signature_is_refused(unit, inspector):
    result = actions.record_result(check=check_of(unit, "ROAD"), by=inspector, reading=reading())
    stage = result.check_item.stage
    stage.state = "signed"
    stage.save()
    with pytest.raises(CheckError, match="is signed off"):
        actions.void_result(
            result=Result.objects.get(pk=result.pk), by=inspector, reason="Too late"
        )


def test_results_form_one_gapless_chain(unit, inspector):
    for ref in ("ROAD", "DOCS", "SRS.CLEAR"):
        actions.record_result(
            check=check_of(unit, ref), by=inspector, reading=reading("fail", reason="x")
        )
    rows = list(unit.results.order_by("sequence"))
    assert [row.sequence for row in rows] == [1, 2, 3]
    assert [row.previous_digest for row in rows] == ["", rows[0].digest, rows[1].digest]


@pytest.mark.parametrize(
    "sql",
    [
        "UPDATE inspections_result SET verdict = 'pass'",
        "DELETE FROM inspections_result",
    ],
)
def test_results_cannot_be_changed_in_the_database(unit, inspector, sql):
    actions.record_result(check=check_of(unit, "ROAD"), by=inspector, reading=reading("fail"))
    with (
        pytest.raises(DatabaseError, match="append-only"),
        transaction.atomic(),
        connection.cursor() as cursor,
    ):
        cursor.execute(sql)
    assert Result.objects.get().verdict == "fail"


def test_results_cannot_be_replaced_through_the_model(unit, inspector):
    result = actions.record_result(
        check=check_of(unit, "ROAD"), by=inspector, reading=reading("fail")
    )
    result.verdict = "pass"
    with pytest.raises(DatabaseError, match="append-only"), transaction.atomic():
        result.save()


def test_record_result_that_claims_to_have_seen_the_future_is_refused(unit, inspector):
    with pytest.raises(CheckError, match="has seen entry 99, but the newest is 0"):
        actions.record_result(
            check=check_of(unit, "ROAD"), by=inspector, reading=reading(base_sequence=99)
        )
    assert not Result.objects.exists()


def test_record_result_by_who_reworked_what_was_disturbed_is_refused(unit, technician):
    actions.reopen_check(check=check_of(unit, "ROAD"), by=technician, reason="Rework of NCR-01")
    with pytest.raises(CheckError, match="Tess Cedar worked on ROAD"):
        actions.record_result(check=check_of(unit, "ROAD"), by=technician, reading=reading())


def test_void_result_after_the_release_is_refused(unit, inspector):
    result = actions.record_result(check=check_of(unit, "ROAD"), by=inspector, reading=reading())
    Release.objects.create(
        unit=unit,
        released_by=inspector,
        released_at=result.received_at,
        chain_sequence=1,
        chain_head=result.digest,
        statement="",
    )
    with pytest.raises(CheckError, match="is released; its results stay as they are"):
        actions.void_result(result=result, by=inspector, reason="Too late")
