"""What somebody tries who writes the entries of a tablet by hand."""

from uuid import UUID, uuid4

import pytest
from django.conf import settings
from django.urls import reverse

from config.access import DESIGNER
from inspections.checklists.generate import generate_checks
from inspections.evidence.verify import verify_all
from inspections.models import Check, DeviceEvent, Release, Result
from jobs.models import Stage, WorkEvent
from jobs.stages.actions import LONGEST_SHIFT_MINUTES
from tests.conftest import make_person
from tests.factories import make_working_unit
from tests.inspections.sync.test_views import answers, event, now_ms, send

pytestmark = pytest.mark.django_db
LONG_AGO, FAR_AHEAD = 0, 4_000_000_000_000


@pytest.fixture
def unit(manager):
    unit = make_working_unit(by=manager, number="SR-4")
    generate_checks(unit=unit, by=manager)
    return unit


def test_only_those_who_check_may_send(client, designer, unit):
    one = event(unit, designer)
    assert send(client, one).status_code in (302, 401)
    client.force_login(designer)
    assert send(client, one).status_code == 403
    blocked = make_person("zoe", DESIGNER)
    blocked.is_active = False
    blocked.save()
    client.force_login(blocked)
    assert send(client, one).status_code in (302, 401)
    assert not DeviceEvent.objects.exists()


def test_an_entry_for_a_unit_of_another_job_is_refused(client, inspector, manager, unit):
    other = make_working_unit(by=manager, number="SR-9")
    generate_checks(unit=other, by=manager)
    client.force_login(inspector)
    found = answers(client, {**event(unit, inspector), "unit": "SR-9"})[0]
    assert found["answer"] == "refused"
    assert f"Unit SR-9 of {unit.job.number} has no check ROAD" in found["sentence"]
    assert not Result.objects.exists()


def test_taking_back_names_the_check_that_it_takes_back(client, inspector, unit):
    client.force_login(inspector)
    first = event(unit, inspector)
    void = event(unit, inspector, number=2, kind="void", pressed="", check="ID.VIN", of=first["id"])
    kept, refused = answers(client, first, void)
    assert (kept["answer"], refused["answer"]) == ("accepted", "refused")
    assert "is not about ID.VIN" in refused["sentence"]
    assert Check.objects.get(ref="ROAD").state == "pass"


def test_nobody_uses_the_id_or_decides_about_the_entry_of_somebody_else(
    client, inspector, technician, unit
):
    client.force_login(inspector)
    first = event(unit, inspector)
    answers(client, first)
    client.force_login(technician)
    same = event(unit, technician, id=first["id"], pressed="fail")
    void = event(unit, technician, kind="void", pressed="", of=first["id"])
    aside = event(unit, technician, kind="set_aside", pressed="", of=first["id"], reason="No")
    found = answers(client, same, void, aside)
    assert [one["answer"] for one in found] == ["refused"] * 3
    assert Result.objects.get().person == inspector
    assert DeviceEvent.objects.get(client_id=UUID(first["id"])).answer == "accepted"


@pytest.mark.parametrize(
    ("forged", "words"),
    [
        ({"base_sequence": 900}, "has seen entry 900, but the newest is 0"),
        ({"check_version": 9}, "shows version 9 of ROAD, but the newest is 1"),
        ({"pressed": "decide"}, "Press Pass, Fail or Does not apply"),
        ({"instrument": 999_999, "check": "ROAD"}, "is not known here"),
    ],
)
def test_nobody_claims_what_cannot_be(client, inspector, unit, forged, words):
    client.force_login(inspector)
    found = answers(client, event(unit, inspector, **forged))[0]
    assert found["answer"] == "refused"
    assert words in found["sentence"]
    assert not Result.objects.exists()


def test_a_batch_is_whole_or_unread(client, inspector, unit):
    client.force_login(inspector)
    assert send(client, *[event(unit, inspector) for _ in range(51)]).status_code == 400
    large = [event(unit, inspector, reason="x" * settings.DATA_UPLOAD_MAX_MEMORY_SIZE)]
    assert send(client, *large).status_code in (400, 413)
    assert not DeviceEvent.objects.exists()


def test_forged_times_are_kept_beside_ours_and_book_one_shift_at_most(client, owner, unit):
    client.force_login(owner)
    stage = unit.stages.order_by("position").first()
    base = {"check": "", "pressed": "", "stage": stage.code}
    start = event(unit, owner, kind="work_start", at_device=LONG_AGO, **base)
    stop = event(unit, owner, kind="work_stop", number=2, at_device=FAR_AHEAD, **base)
    answers(client, start, stop)
    booked = WorkEvent.objects.get(kind="stop")
    assert booked.minutes <= LONGEST_SHIFT_MINUTES
    assert booked.at.timestamp() * 1000 <= now_ms()
    answers(client, event(unit, owner, number=3, at_device=FAR_AHEAD))
    result = Result.objects.get()
    assert result.received_at.timestamp() * 1000 <= now_ms() < result.at_device.timestamp() * 1000
    assert verify_all() == []


def test_nothing_is_signed_or_released_over_an_open_decision(
    client, inspector, owner, manager, unit
):
    for person, pressed in ((inspector, "pass"), (owner, "fail")):
        client.force_login(person)
        answers(client, event(unit, person, pressed=pressed, reason="Seen"))
    check = Check.objects.get(ref="ROAD")
    assert check.state == "decision"
    Check.objects.exclude(pk=check.pk).update(retired=True)
    Stage.objects.update(state=Stage.State.FINISHED)
    signer = make_person("ivo", "inspector", first="Ivo", last="Oak")
    client.force_login(signer)
    where = [unit.job.number, unit.number]
    passphrase = {"passphrase": "a long test phrase"}
    sign = client.post(
        reverse("inspections:stage_sign", args=[*where, check.stage.code]), passphrase
    )
    release = client.post(reverse("inspections:release_unit", args=where), passphrase)
    assert sign.status_code in (409, 422)
    assert release.status_code in (409, 422)
    assert Stage.objects.get(pk=check.stage_id).state == Stage.State.FINISHED
    assert not Release.objects.exists()


def test_an_entry_made_twice_at_hand_is_one_result(client, inspector, unit):
    client.force_login(inspector)
    one = event(unit, inspector)
    assert [a["answer"] for a in answers(client, one, one, one)] == ["accepted"] * 3
    changed = {**one, "pressed": "fail", "reason": str(uuid4())}
    assert answers(client, changed)[0]["answer"] == "refused"
    assert Result.objects.count() == 1
