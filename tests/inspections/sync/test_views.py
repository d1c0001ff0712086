"""The door for tablets: every event once, one answer each, and never a 500."""

import json
from hashlib import sha256
from io import BytesIO
from uuid import UUID, uuid4

import pytest
from django.urls import reverse
from django.utils import timezone
from hypothesis import given
from hypothesis import strategies as st
from PIL import Image

from inspections.checklists.generate import generate_checks
from inspections.evidence.verify import verify_all
from inspections.models import DeviceEvent, Result
from inspections.sync.forms import EventForm
from jobs.models import Photo, WorkEvent
from tests.factories import make_instrument, make_working_unit

pytestmark = pytest.mark.django_db
DEVICE = str(uuid4())


@pytest.fixture
def unit(manager):
    unit = make_working_unit(by=manager, number="SR-4", keyoff_baseline_ua=28_000)
    generate_checks(unit=unit, by=manager)
    return unit


def now_ms() -> int:
    return int(timezone.now().timestamp() * 1000)


def event(unit, person, **fields):
    return {
        "id": str(uuid4()),
        "device": DEVICE,
        "number": 1,
        "person": person.pk,
        "kind": "result",
        "at_device": now_ms(),
        "job": unit.job.number,
        "unit": unit.number,
        "check": "ROAD",
        "check_version": 1,
        "base_sequence": 0,
        "pressed": "pass",
        **fields,
    }


def send(client, *events, **batch):
    data = json.dumps({"events": events, "sent_at": now_ms(), **batch})
    return client.post(reverse("inspections:sync_events"), data, content_type="application/json")


def answers(client, *events, **batch):
    response = send(client, *events, **batch)
    assert response.status_code == 200, response.content
    return response.json()["answers"]


def picture() -> bytes:
    buffer = BytesIO()
    Image.new("RGB", (64, 48), "white").save(buffer, "JPEG")
    return buffer.getvalue()


def put(client, data: bytes, name: str | None = None):
    url = reverse("inspections:sync_photo", args=[name or sha256(data).hexdigest()])
    return client.put(url, data, content_type="image/jpeg")


def test_sync_state_names_who_is_signed_in_and_gives_the_token(client, inspector):
    client.force_login(inspector)
    response = client.get(reverse("inspections:sync_state"))
    assert response.json()["person"] == inspector.pk
    assert "csrf" in response.cookies


def test_sync_events_records_once_however_often_it_is_sent(client, inspector, unit):
    client.force_login(inspector)
    one = event(unit, inspector)
    first = answers(client, one, one)
    again = answers(client, one)
    assert [a["answer"] for a in first + again] == ["accepted"] * 3
    assert Result.objects.get().client_id == UUID(one["id"])
    assert verify_all() == []


def test_sync_events_refuses_another_content_under_the_same_id(client, inspector, unit):
    client.force_login(inspector)
    one = event(unit, inspector)
    answers(client, one)
    (answer,) = answers(client, one | {"pressed": "fail"})
    assert answer["answer"] == "refused"
    assert "another content" in answer["sentence"]
    assert Result.objects.get().verdict == "pass"


def test_sync_events_answers_each_event_by_itself(client, inspector, unit):
    client.force_login(inspector)
    good, bad = event(unit, inspector), event(unit, inspector, check="NONE")
    unsure = event(unit, inspector, pressed="na", check="DOCS")
    found = answers(client, bad, good, unsure, {"id": "x"}, 7)
    assert [a["answer"] for a in found] == ["refused", "accepted", "refused", "refused", "refused"]
    assert "has no check NONE" in found[0]["sentence"]
    assert "Does not apply needs a reason" in found[2]["sentence"]
    assert "valid UUID" in found[3]["sentence"]


def test_sync_events_keeps_times_of_device_and_server(client, inspector, unit):
    client.force_login(inspector)
    slow = now_ms() - 3_600_000
    answers(client, event(unit, inspector, at_device=slow), sent_at=slow)
    row = DeviceEvent.objects.get()
    assert -3_700_000 < row.clock_ms < -3_500_000
    assert row.received_at - row.at_device > timezone.timedelta(minutes=59)


def test_sync_events_tells_disagreeing_people_that_a_decision_is_needed(
    client, inspector, owner, unit
):
    client.force_login(inspector)
    answers(client, event(unit, inspector))
    client.force_login(owner)
    (answer,) = answers(client, event(unit, owner, pressed="fail", reason="Rattle"))
    assert answer["answer"] == "conflict"
    assert unit.checks.get(ref="ROAD").state == "decision"
    assert Result.objects.count() == 2


def test_sync_events_of_another_person_stay_on_the_tablet(client, inspector, owner, unit):
    client.force_login(owner)
    (answer,) = answers(client, event(unit, inspector))
    assert answer["answer"] == "other"
    assert not DeviceEvent.objects.exists()


def test_sync_events_wait_for_their_photos_and_keep_their_order(client, inspector, unit):
    client.force_login(inspector)
    data = picture()
    name = sha256(data).hexdigest()
    one = event(unit, inspector, pressed="fail", reason="Loose", photos=[name])
    two = event(unit, inspector, number=2)
    found = answers(client, one, two)
    assert [a["answer"] for a in found] == ["waiting", "waiting"]
    assert found[0]["photos"] == [name]
    assert not Result.objects.exists()
    assert put(client, data).status_code == 201
    assert put(client, data).status_code == 200
    assert [a["answer"] for a in answers(client, one, two)] == ["accepted", "accepted"]
    assert [r.verdict for r in Result.objects.order_by("sequence")] == ["fail", "pass"]
    assert Photo.objects.get().sha256 == name
    assert verify_all() == []


def test_sync_photo_takes_only_what_an_entry_waits_for(client, inspector, unit):
    client.force_login(inspector)
    data = picture()
    assert put(client, data).status_code == 404
    assert put(client, data, "x" * 64).status_code == 422
    answers(client, event(unit, inspector, photos=[sha256(data).hexdigest()]))
    assert put(client, data[:-5], sha256(data).hexdigest()).status_code == 409
    assert not Photo.objects.exists()


def test_sync_photo_that_is_no_photo_is_refused_in_words(client, inspector, unit, settings):
    client.force_login(inspector)
    data = b"<script>alert(1)</script>" * 10
    large = picture() + b"x" * 2000
    names = [sha256(one).hexdigest() for one in (data, large)]
    answers(client, event(unit, inspector, photos=names))
    response = put(client, data)
    assert response.status_code == 422
    assert "is not an image" in response.json()["sentence"]
    settings.LARGEST_PHOTO_BYTES = 1000
    assert put(client, large).status_code == 413


def test_a_refused_entry_stays_until_it_is_set_aside(client, inspector, unit):
    client.force_login(inspector)
    bad = event(unit, inspector, check="KEYOFF", value_typed="12")
    (answer,) = answers(client, bad)
    assert answer["sentence"] == "Choose the instrument that gave the reading."
    page = client.get(reverse("inspections:unrecorded_list")).content.decode()
    assert answer["sentence"] in page
    aside = event(unit, inspector, number=2, kind="set_aside", of=bad["id"], reason="Measured anew")
    assert answers(client, aside)[0]["answer"] == "accepted"
    assert answers(client, bad)[0]["answer"] == "aside"
    assert DeviceEvent.objects.get(client_id=bad["id"]).set_aside_reason == "Measured anew"


def test_a_refused_entry_is_recorded_once_its_reason_is_gone(client, inspector, unit):
    client.force_login(inspector)
    one = event(unit, inspector, check="KEYOFF", value_typed="12", instrument=10**6)
    assert answers(client, one)[0]["answer"] == "refused"
    make_instrument()
    one = event(unit, inspector, check="NEW")
    assert answers(client, one)[0]["answer"] == "refused"
    unit.checks.filter(ref="ROAD").update(ref="NEW")
    assert answers(client, one)[0]["answer"] == "accepted"


def test_a_slow_clock_does_not_bring_an_instrument_back_into_its_date(client, inspector, unit):
    client.force_login(inspector)
    meter = make_instrument(due=timezone.localdate() - timezone.timedelta(days=10))
    past = now_ms() - 30 * 24 * 3_600_000
    one = event(
        unit, inspector, check="KEYOFF", value_typed="12", instrument=meter.pk, at_device=past
    )
    (answer,) = answers(client, one, sent_at=past)
    assert answer["answer"] == "refused"
    assert "was due for calibration" in answer["sentence"]


def test_void_takes_back_what_was_recorded_and_what_was_refused(client, inspector, unit):
    client.force_login(inspector)
    good, bad = event(unit, inspector), event(unit, inspector, check="DOCS", pressed="na")
    undo = [
        event(unit, inspector, kind="void", number=9, of=one["id"], check=one["check"])
        for one in (good, bad)
    ]
    assert [a["answer"] for a in answers(client, good, bad, *undo)] == [
        "accepted", "refused", "accepted", "accepted"
    ]  # fmt: skip
    assert unit.checks.get(ref="ROAD").state == "open"
    assert DeviceEvent.objects.get(client_id=bad["id"]).answer == "aside"
    assert verify_all() == []


def test_note_stands_in_the_record_and_decides_nothing(client, inspector, unit):
    client.force_login(inspector)
    answers(client, event(unit, inspector, kind="note", pressed="", reason="Bracket is bent"))
    assert unit.checks.get(ref="ROAD").state == "open"
    assert Result.objects.get().reason == "Bracket is bent"
    assert verify_all() == []


def test_timer_started_and_stopped_offline_books_its_minutes_once(client, owner, unit):
    client.force_login(owner)
    begin = now_ms() - 45 * 60_000
    stage = unit.stages.order_by("position").first()
    base = {"check": "", "pressed": "", "stage": stage.code}
    start = event(unit, owner, kind="work_start", at_device=begin, **base)
    stop = event(unit, owner, kind="work_stop", number=2, **base)
    for _ in range(2):
        assert [a["answer"] for a in answers(client, start, stop)] == ["accepted"] * 2
    assert [e.minutes for e in WorkEvent.objects.order_by("at")] == [0, 45]


def test_timer_of_an_inspector_is_refused(client, inspector, unit):
    client.force_login(inspector)
    one = event(unit, inspector, kind="work_start", check="", pressed="", stage="S0")
    assert "Only technicians" in answers(client, one)[0]["sentence"]


@pytest.mark.parametrize(
    "body",
    [b"", b"{", b"[]", b'{"events": 3}', b'{"events": [' + b"1," * 60 + b"1]}", b"\xff", b"[" * 99],
)  # fmt: skip
def test_sync_events_says_what_it_cannot_read(client, inspector, body):
    client.force_login(inspector)
    url = reverse("inspections:sync_events")
    response = client.post(url, body, content_type="application/json")
    assert response.status_code == 400
    assert "could not be read" in response.json()["sentence"]


ODD = st.one_of(
    st.none(), st.booleans(), st.integers(), st.floats(), st.text(),
    st.lists(st.text(), max_size=3),
    st.sampled_from(["\0", "\ud800", "\u202e", "9" * 4000, "x" * 5000, 10**30, -1, {}, {"a": 1}]),
)  # fmt: skip
GOOD = {
    "id": str(uuid4()), "device": DEVICE, "number": 1, "person": 1, "kind": "result",
    "at_device": 1, "job": "J", "unit": "U", "check": "C", "pressed": "pass",
}  # fmt: skip


@given(st.dictionaries(st.sampled_from(sorted(EventForm.base_fields)), ODD, max_size=4))
def test_any_event_is_either_valid_or_refused_in_words(odd):
    form = EventForm(GOOD | odd)
    if form.is_valid():
        json.dumps(form.body(), ensure_ascii=False).encode()
    else:
        assert form.sentence()


@pytest.mark.parametrize(
    "odd", ["\0", "\ud800", "x" * 5000, 10**30, {"a": 1}, [], None, float("nan")]
)
@pytest.mark.parametrize("field", ["reason", "check", "job", "number", "photos", "at_device", "of"])
def test_odd_values_never_break_the_server(client, inspector, unit, field, odd):
    client.force_login(inspector)
    (answer,) = answers(client, event(unit, inspector, **{field: odd}))
    assert answer["answer"] in ("refused", "accepted", "conflict", "waiting")


def test_service_worker_lists_files_that_exist(client, shop):
    response = client.get(reverse("inspections:service_worker"))
    code = response.content.decode()
    assert response.headers["Cache-Control"] == "no-cache"
    assert "css/bay" in code
    from django.contrib.staticfiles import finders

    from inspections.sync.device_views import ASSETS, WORKER

    assert [name for name in (WORKER, *ASSETS) if not finders.find(name)] == []


def test_only_ones_own_entries_are_listed_except_for_a_manager(
    client, inspector, owner, manager, technician, unit
):
    client.force_login(inspector)
    bad = event(unit, inspector, check="NONE")
    answers(client, bad)
    url = reverse("inspections:unrecorded_list")
    aside = reverse("inspections:unrecorded_set_aside", args=[bad["id"]])
    client.force_login(technician)
    assert "NONE" not in client.get(url).content.decode()
    assert client.post(aside, {"reason": "x"}).status_code == 404
    client.force_login(manager)
    assert "NONE" in client.get(url).content.decode()
    client.post(aside, {"reason": ""})
    assert DeviceEvent.objects.get().answer == "refused"
    client.post(aside, {"reason": "Tablet was on the wrong unit"})
    assert DeviceEvent.objects.get().answer == "aside"
