"""One table of bad input: each row is answered by a sentence that names field, value and limit,
and leaves every table as it was.
"""

import re
from dataclasses import dataclass
from typing import Any
from uuid import uuid4

import pytest
from django.apps import apps
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client
from django.utils import timezone

from catalog.models import CurrentDraw
from inspections.checklists.generate import generate_checks
from jobs.intake.links import QUOTE, make_link
from jobs.models import (
    Circuit,
    CircuitLoad,
    CustomerLink,
    Job,
    ModeDuty,
    OperatingMode,
    Quote,
    Supply,
)
from jobs.quoting.decisions import decide_quote, offer_quote
from tests.factories import (
    VIN,
    make_draft_quote,
    make_instrument,
    make_wired_job,
    make_working_unit,
)

pytestmark = pytest.mark.django_db
# Rows that tell about a request, not about the shop.
LOGS = {"jobs.LinkMiss", "jobs.CustomerLink"}
MEGABYTE = 1024 * 1024


@dataclass(frozen=True, slots=True)
class Shop:
    client: Client
    job: str
    unit: str
    instrument: str


@pytest.fixture
def shop_floor(owner) -> Shop:
    unit = make_working_unit(by=owner, number="SR-4", keyoff_baseline_ua=28_000)
    generate_checks(unit=unit, by=owner)
    instrument = make_instrument()
    client = Client()
    client.force_login(owner)
    job = f"/jobs/{unit.job.number}/"
    return Shop(client, job, f"{job}units/SR-4/", str(instrument.pk))


def rows() -> dict[str, int]:
    """How many rows each of our tables has."""
    ours = [
        model
        for app in ("catalog", "jobs", "inspections")
        for model in apps.get_app_config(app).get_models()
    ]
    return {m._meta.label: m.objects.count() for m in ours if m._meta.label not in LOGS}


def tap(**fields: Any) -> dict[str, Any]:
    return {"client_id": str(uuid4()), "base_sequence": "0", "pressed": "pass", **fields}


def file(name: str, content: bytes, media_type: str = "image/jpeg") -> SimpleUploadedFile:
    return SimpleUploadedFile(name, content, content_type=media_type)


CIRCUIT = {
    "ref": "A-09", "designation": "Siren", "device_kind": "fuse_blade", "awg": "10",
    "insulation_c": "125", "return_path": "wire", "bundle_count": "1",
    "loads-TOTAL_FORMS": "0", "loads-INITIAL_FORMS": "0",
}  # fmt: skip
UNIT = {"number": "SR-9", "version": "0"}
PARTS = b"code,kind,description,list_usd,hours,weight_lb\nGH-2,warning,Grille head,148,x,-5\n"

TABLE: list[tuple[str, str, dict[str, Any], list[str]]] = [
    (
        "VIN with a wrong check digit",
        "{job}units/new/",
        {**UNIT, "vin": VIN.replace("B", "A", 1)},
        ["check digit"],
    ),
    ("VIN too short", "{job}units/new/", {**UNIT, "vin": "0DEVN4"}, ["VIN", "6", "17"]),
    ("VIN with a letter O", "{job}units/new/", {**UNIT, "vin": "ODEVN4HB7TS000417"}, ["O"]),
    (
        "negative length",
        "{job}rows/circuit/add/",
        {**CIRCUIT, "length_mm": "-3", "device_ma": "10"},
        ["One-way length is -3 ft; it must be above 0"],
    ),
    (
        "zero length",
        "{job}rows/circuit/add/",
        {**CIRCUIT, "length_mm": "0", "device_ma": "10"},
        ["One-way length is 0 ft; it must be above 0"],
    ),
    (
        "length of 400 ft",
        "{job}rows/circuit/add/",
        {**CIRCUIT, "length_mm": "400", "device_ma": "10"},
        ["400 ft is above 200"],
    ),
    (
        "unknown gauge",
        "{job}rows/circuit/add/",
        {**CIRCUIT, "length_mm": "3", "device_ma": "10", "awg": "11"},
        ["11 is not one of the available choices"],
    ),
    (
        "negative current",
        "{job}rows/circuit/add/",
        {**CIRCUIT, "length_mm": "3", "device_ma": "-10", "through_average_ma": "-2"},
        ["-10 A is below 0", "-2 A is below 0"],
    ),
    (
        "supply of 0 V",
        "{job}rows/supply/add/",
        {"ref": "X", "name": "X", "kind": "battery", "nominal_mv": "0"},
        ["0 V is below 1"],
    ),
    (
        "mode on 0 V",
        "{job}rows/mode/add/",
        {"key": "x", "name": "X", "source": "idle", "bus_mv": "0"},
        ["0 V is below 1"],
    ),
    ("duty of a missing mode", "{job}modes/night/duty/", {}, ["There is nothing at"]),
    (
        "rating that is no number",
        "{job}rows/circuit/add/",
        {**CIRCUIT, "length_mm": "3", "device_ma": "many"},
        ["many is not a number"],
    ),
    (
        "missing reading",
        "{unit}checks/KEYOFF/",
        tap(instrument="of the shop floor"),
        ["Key-off draw needs a reading in mA"],
    ),
    (
        "upload that is no image",
        "{unit}checks/ID.VIN/",
        tap(photos=file("plate.jpg", b"%PDF-1.7 " + b"x" * 100)),
        ["plate.jpg"],
    ),
    ("photo of 0 bytes", "{unit}checks/ID.VIN/", tap(photos=file("none.jpg", b"")), ["none.jpg"]),
    (
        "photo of 60 MB",
        "{unit}checks/ID.VIN/",
        tap(photos=file("big.jpg", b"\xff\xd8\xff\xe0" + bytes(60 * MEGABYTE))),
        ["big.jpg", "60 MB", "25 MB"],
    ),
    (
        "sheet with a bad row",
        "/parts/import/",
        {"file": file("parts.csv", PARTS, "text/csv")},
        ["hours", "x", "-5"],
    ),
    (
        "packet acceptance by an unknown link",
        "/p/" + "x" * 43 + "/",
        {"name": "E", "answer": "accepted"},
        ["link"],
    ),
]


@pytest.mark.parametrize(
    ("path", "data", "words"), [row[1:] for row in TABLE], ids=[row[0] for row in TABLE]
)
def test_bad_input_is_answered_by_a_sentence_and_changes_nothing(shop_floor, path, data, words):
    before = rows()
    path = path.format(job=shop_floor.job, unit=shop_floor.unit)
    if "instrument" in data:
        data = {**data, "instrument": shop_floor.instrument}
    response = shop_floor.client.post(path, data, follow=True)
    page = response.content.decode()
    assert response.status_code in (200, 404, 422)
    for word in words:
        assert word in page
    assert rows() == before


def test_a_missing_rating_is_kept_and_named_as_missing(shop_floor):
    job = make_wired_job(device_ma=None)
    page = shop_floor.client.get(f"/jobs/{job.number}/circuits/").content.decode()
    assert "Data missing" in page


def test_a_loop_without_a_source_of_its_own_is_refused(shop_floor):
    """A link that joins a supply to itself feeds nothing but itself."""
    supply = Supply.objects.get(job__number=shop_floor.job.split("/")[2])
    before = rows()
    data = {**CIRCUIT, "ref": "E", "name": "Link", "length_mm": "3", "supply": supply.pk}
    page = shop_floor.client.post(
        f"{shop_floor.job}rows/feed/add/", {**data, "second_supply": supply.pk}
    )
    assert page.status_code == 422
    assert "A link joins two supplies; MAIN is its first." in page.content.decode()
    assert rows() == before


DESIGN_PAGES = (
    "circuits/", "modes/", "modes/x/duty/", "weight/", "single-line/", "zones/", "rules/", "ac/",
    "trace/", "trace/circuit/A-01/", "trace/supply/MAIN/", "trace/load/L01/", "design/keep/",
    "build/", "build.json",
)  # fmt: skip


@pytest.mark.slow
@pytest.mark.parametrize(
    ("model", "values"),
    [
        (Supply, {"nominal_mv": 0}),
        (Supply, {"kind": "shore"}),
        (Circuit, {"awg": "11"}),
        (Circuit, {"length_mm": 121_920}),
        (Circuit, {"length_mm": None, "device_ma": None, "awg": ""}),
        (Circuit, {"bundle_count": 0}),
        (Circuit, {"through_average_ma": 9_000}),
        (CurrentDraw, {"average_ma": 9_000_000, "peak_ma": 9_000_000}),
        (CurrentDraw, {"average_ma": None, "peak_ma": None}),
        (OperatingMode, {"bus_mv": 0}),
        (CircuitLoad, {"quantity": 0}),
    ],
    ids=lambda value: " ".join(value) if isinstance(value, dict) else "",
)
def test_what_no_form_lets_through_is_a_finding_on_every_page(shop_floor, model, values):
    """Rows that came another way: each page answers, none shows NaN, the schedule says why."""
    job = Job.objects.get(number=shop_floor.job.split("/")[2])
    mode = OperatingMode.objects.create(job=job, key="x", name="X", source="battery")
    ModeDuty.objects.create(mode=mode, circuit=job.circuits.get())
    model.objects.update(**values)
    sizing = f"circuits/{job.circuits.get().pk}/sizing/"
    for path in (*DESIGN_PAGES, sizing):
        page = shop_floor.client.get(shop_floor.job + path)
        assert page.status_code == 200, path
        assert not re.search(r"\b(nan|inf)\b", page.content.decode(), re.IGNORECASE), path
    schedule = shop_floor.client.get(f"{shop_floor.job}circuits/")
    assert schedule.context["review"].problems


def test_a_job_without_any_mode_says_what_is_not_judged(shop_floor):
    page = shop_floor.client.get(f"{shop_floor.job}circuits/").content.decode()
    assert "neither energy nor voltage in use is judged" in page


@pytest.fixture
def offered(shop_floor, owner) -> Quote:
    quote = make_draft_quote(by=owner)
    return offer_quote(quote=quote, version=quote.version, by=owner)


def test_an_expired_link_opens_nothing(offered, owner):
    link, token = make_link(
        job=offered.job, purpose=QUOTE, subject_id=offered.pk, sent_to="Edda", by=owner
    )
    CustomerLink.objects.filter(pk=link.pk).update(expires_at=timezone.now())
    before = rows()
    response = Client().get(f"/q/{token}/", follow=True)
    assert response.status_code == 404
    assert offered.number not in response.content.decode()
    assert rows() == before


def test_a_second_approval_says_who_approved_and_when(offered, owner):
    decide_quote(quote=offered, answer="approved", name="Edda Quill", digest=offered.digest)
    _, token = make_link(
        job=offered.job, purpose=QUOTE, subject_id=offered.pk, sent_to="Edda", by=owner
    )
    customer = Client()
    customer.get(f"/q/{token}/", follow=True)
    before = rows()
    response = customer.post(
        "/q/approve/", {"name": "Somebody Else", "digest": offered.digest}, follow=True
    )
    assert "Edda Quill" in response.content.decode()
    assert rows() == before
