"""The whole thread in a real browser: from an empty shop to a vehicle that the customer accepted.

Five people, each in a browser of their own: the office manager, a designer, a technician, an
inspector, and the customer, who has no account. A real worker makes previews and documents.
"""

from collections.abc import Iterator
from datetime import timedelta
from io import BytesIO
from pathlib import Path
from typing import Any

import pytest
from django.contrib.auth.models import User
from django.utils import timezone
from PIL import Image
from playwright.sync_api import Error as PlaywrightError
from playwright.sync_api import Page

from inspections.evidence.verify import verify_all
from inspections.models import Acceptance, Check, Defect, Packet, Result
from jobs.models import ConditionPhoto, Job, Quote, Shop
from tests.browser import WIDE, axe
from tests.factories import VIN
from tests.running import wait_until

PASSPHRASE = "lantern on the quay"
PART = {
    "code": "GH-2", "kind": "warning", "description": "Grille head", "ownership": "shop",
    "list_usd": "148", "hours": "0.75", "weight_lb": "0.6", "supply_min_v": "10.5",
    "supply_max_v": "16", "function": "on", "colour": "red", "load_model": "current",
    "average_a": "0.9", "peak_a": "1.8", "standby_ma": "", "inrush_a": "", "inrush_ms": "",
}  # fmt: skip
pytestmark = [pytest.mark.slow, pytest.mark.browser]


class Person:
    """One person at one browser. Words in messages are what they would see."""

    def __init__(self, page: Page) -> None:
        self.page = page

    def go(self, path: str) -> None:
        answer = self.page.goto(path)
        assert answer is not None and answer.status == 200, f"{path}: {answer and answer.status}"

    def fill(self, **fields: Any) -> None:
        for name, value in fields.items():
            field = self.page.locator(f"[name='{name}']:not([type=hidden])").first
            kind = field.evaluate("e => e.type")
            if kind in ("checkbox", "radio"):
                values = value if isinstance(value, list) else [value]
                for one in values:
                    chosen = f"[name='{name}'][value='{one}']" if one is not True else None
                    (self.page.locator(chosen) if chosen else field).check()
            elif kind == "select-one":
                field.select_option(**(value if isinstance(value, dict) else {"value": value}))
            elif kind == "file":
                field.set_input_files(value)
            else:
                field.fill(str(value))

    def press(self, words: str) -> None:
        button = self.page.get_by_role("button", name=words).first
        assert button.count(), f"no {words!r}:\n{self.page.locator('main').inner_text()[:1500]}"
        button.click()
        self.page.wait_for_load_state()
        bad = self.page.locator(".error-summary")
        assert bad.count() == 0, f"{words}: {bad.first.inner_text()}"

    def follow(self, words: str) -> None:
        link = self.page.get_by_role("link", name=words).first
        try:
            link.wait_for(timeout=10_000)
        except PlaywrightError:
            seen = self.page.locator("main").inner_text()[:1500]
            raise AssertionError(f"no link {words!r}:\n{seen}") from None
        link.click()
        self.page.wait_for_load_state()

    def sees(self, words: str) -> None:
        text = self.page.locator("main").inner_text()
        assert words in text, f"{words!r} is not on {self.page.url}:\n{text[:1500]}"


@pytest.fixture
def people(append_only, worker, live_server, browser, settings) -> Iterator[Any]:
    """A function that gives each person a browser of their own."""
    settings.PUBLIC_URL = live_server.url
    contexts = []

    def enter(**options: Any) -> Person:
        context = browser.new_context(base_url=live_server.url, **{"viewport": WIDE, **options})
        contexts.append(context)
        return Person(context.new_page())

    yield enter
    for context in contexts:
        context.close()


def sign_in(person: Person, username: str) -> Person:
    person.go("/in/")
    person.fill(username=username, password=PASSPHRASE)
    person.press("Sign in")
    return person


def picture(tmp_path: Path, words: str) -> str:
    buffer = BytesIO()
    Image.new("RGB", (900, 700), (len(words) * 5 % 255, 120, 160)).save(buffer, "JPEG")
    path = tmp_path / f"{words}.jpg"
    path.write_bytes(buffer.getvalue())
    return str(path)


def open_the_shop(manager: Person) -> None:
    # A server that has served a shop does not lead here by itself any more.
    manager.go("/first/")
    manager.fill(
        shop_name="Quay Vehicle Works", full_name="Mona Ash", username="mona",
        passphrase=PASSPHRASE, again=PASSPHRASE,
    )  # fmt: skip
    manager.press("Open the shop")
    manager.go("/shop/")
    manager.fill(labour_rate_cents="118", supplies_bp="3")
    manager.press("Save")
    manager.go("/instruments/new/")
    manager.fill(asset="DM-2", name="Multimeter", calibration_due="2099-01-01")
    manager.press("Save instrument")
    for name, username, role in (
        ("Dan Birch", "dan", "designer"),
        ("Tess Cedar", "tess", "technician"),
        ("Ines Elm", "ines", "inspector"),
    ):
        manager.go("/people/new/")
        manager.fill(
            full_name=name, username=username, roles=role, passphrase=PASSPHRASE, again=PASSPHRASE
        )
        manager.press("Add person")


def fill_the_catalog(manager: Person, tmp_path: Path) -> None:
    sheet = tmp_path / "parts.csv"
    sheet.write_text("\n".join(",".join(row) for row in (PART, PART.values())))
    manager.go("/parts/import/")
    manager.fill(file=str(sheet))
    manager.press("Show dry run")
    manager.press("Apply 1 change")
    manager.go("/parts/GH-2/")
    manager.sees("Grille head")


def take_the_job_in(manager: Person) -> str:
    manager.go("/jobs/new/")
    manager.fill(
        agency_name="Harbour Rescue District", new_agency=True, title="Shore van",
        promised_on=(timezone.localdate() + timedelta(days=60)).isoformat(),
    )  # fmt: skip
    manager.press("Start job")
    number = Job.objects.get().number
    job = f"/jobs/{number}/"
    manager.go(f"{job}units/new/")
    manager.fill(number="SR-4", vin=VIN, wheelbase_mm="148", gvwr_g="11030", gawr_front_g="4630")
    manager.fill(
        gawr_rear_g="7275", received_front_g="3340", received_rear_g="2610", keyoff_baseline_ua="28"
    )
    manager.press("Add unit")
    manager.go(f"{job}requirements/new/")
    manager.fill(text="Red and white light to the front, Łódź style ½ Ω", source="First call")
    manager.press("Add requirement")
    manager.page.get_by_text("Set status").first.click()
    manager.fill(
        status="confirmed", settled_by="Tobin Rask", settled_on=timezone.localdate().isoformat()
    )
    manager.page.get_by_role("button", name="Save status").click()
    manager.page.get_by_text("Confirmed by Tobin Rask").wait_for()
    return job


def design(designer: Person, job: str) -> None:
    designer.go(f"{job}rows/line/add/")
    designer.fill(
        ref="L01", part_code="GH-2", quantity="4", section="warning", zone="front", stage="S6",
        x_mm="-30", y_mm="0",
    )  # fmt: skip
    designer.press("Save build line")
    designer.go(f"{job}rows/supply/add/")
    designer.fill(
        ref="MAIN", name="Main battery", kind="battery", nominal_mv="13.2", capacity_mah="95"
    )
    designer.press("Save supply")
    designer.go(f"{job}rows/feed/add/")
    designer.fill(
        ref="A", name="Warning", supply={"label": "Main battery"}, device_kind="breaker_manual",
        device_ma="50", awg="6", length_mm="16", source_distance_mm="8", panel_place="Rear panel",
    )  # fmt: skip
    designer.press("Save feed")
    designer.go(f"{job}rows/circuit/add/")
    designer.fill(
        ref="A-01", designation="Grille heads", feed={"label": "A"}, device_kind="fuse_blade",
        device_ma="10", awg="12", length_mm="10", label="A-01",
    )  # fmt: skip
    designer.page.locator("[name='loads-0-line']").select_option(index=1)
    designer.page.locator("[name='loads-0-quantity']").fill("4")
    designer.press("Save circuit")
    designer.go(f"{job}circuits/")
    designer.sees("0.35 V")


def sell(manager: Person, customer: Person, job: str) -> None:
    manager.go(f"{job}quotes/")
    manager.press("Draft a quote from the build sheet")
    manager.follow("Edit terms")
    manager.fill(tax_bp="6.5")
    manager.press("Save terms")
    manager.press("Offer revision A")
    manager.fill(other="Edda Quill")
    manager.press("Make the link")
    address = manager.page.locator("#link").input_value()
    customer.go(address)
    axe(customer.page)
    customer.fill(name="Edda Quill")
    customer.press("Approve this quote")
    assert Quote.objects.get().state == "approved"
    assert Job.objects.get().state == "approved"
    customer.go(address)
    customer.sees("Edda Quill")


def check_in(technician: Person, job: str, tmp_path: Path) -> None:
    unit = f"{job}units/SR-4/"
    technician.go(f"{unit}arrival/readings/")
    technician.fill(plate=VIN, odometer_mi="12", keys="2", fuel_percent="75", condition="As new")
    technician.press("Save readings")
    technician.go(f"{unit}arrival/walk/")
    for view, _ in ConditionPhoto.VIEWS:
        if view == "damage":
            continue
        technician.go(f"{unit}arrival/walk/")
        with technician.page.expect_response(lambda answer: answer.request.method == "POST"):
            technician.page.locator(f"#shoot-{view}").set_input_files(picture(tmp_path, view))
        technician.page.wait_for_load_state("networkidle")


def accept_arrival(technician: Person, job: str) -> None:
    technician.go(f"{job}units/SR-4/arrival/")
    technician.fill(handed_over_by="Ilse Marrow")
    technician.press("Accept vehicle")


def work(technician: Person, inspector: Person, job: str, stages: list[str]) -> None:
    for code in stages:
        path = f"{job}units/SR-4/stages/{code}/"
        for hold in Job.objects.get().units.get().stages.get(code=code).holds.all():
            inspector.go(f"{path}holds/{hold.code}/")
            inspector.fill(note="Seen")
            inspector.press("Release hold")
        technician.go(path)
        technician.press("Start timer")
        technician.follow("Finish stage")
        technician.press("Finish stage")


def check_everything(inspector: Person, technician: Person, job: str, tmp_path: Path) -> None:
    """One check fails, is reworked by the technician and passes with the inspector again."""
    unit = f"{job}units/SR-4/"
    failed = "A-01.V"
    for ref in Check.objects.filter(retired=False).values_list("ref", flat=True):
        answer_check(inspector, unit, ref, tmp_path, value="12.0" if ref == failed else "")
    defect = Defect.objects.get()
    technician.go(f"{unit}defects/{defect.number}/")
    technician.fill(
        cause="workmanship", cause_text="Loose ring", containment="Others checked",
        disposition="rework", rework_text="New ring",
    )  # fmt: skip
    technician.press("Save description")
    technician.press("Mark reworked")
    answer_check(inspector, unit, failed, tmp_path)
    assert Defect.objects.get().state == "closed"
    for ref in ("A-01.F", "A-01.P", "A-01.I"):  # what the rework disturbed
        answer_check(inspector, unit, ref, tmp_path)


def answer_check(person: Person, unit: str, ref: str, tmp_path: Path, value: str = "") -> None:
    check = Check.objects.get(ref=ref)
    person.go(f"{unit}checks/{ref}/")
    if check.kind == "reading":
        middle = check.predicted if check.predicted is not None else check.high or check.low
        person.fill(value_typed=value or f"{middle:.2f}", instrument={"index": 1})
    if check.photo_required:
        person.fill(photos=picture(tmp_path, ref))
    answers = Result.objects.filter(check_item=check)
    before = answers.count()
    person.page.get_by_role("button", name="Pass", exact=True).click()
    wait_until(lambda: answers.count() > before, seconds=20, what=f"{ref} has arrived")


def hand_over(manager: Person, inspector: Person, customer: Person, job: str, worker: Any) -> None:
    unit = f"{job}units/SR-4/"
    inspector.go(f"{unit}release/")
    inspector.fill(passphrase=PASSPHRASE)
    inspector.press("Release unit SR-4")
    manager.go(f"{unit}packet/")
    manager.press("Build packet")
    worker.wait_for(
        lambda: Packet.objects.get().document.state == "done", seconds=90, what="the packet is made"
    )
    manager.go(f"{unit}packet/")
    manager.page.get_by_text("Record receipt").first.click()
    manager.fill(received_by="Tobin Rask", odometer_mi="31", keys="2")
    manager.press("Record receipt")
    manager.page.get_by_text("Make a link for the customer").first.click()
    manager.fill(sent_to="Edda Quill")
    manager.press("Make link")
    customer.go(manager.page.locator("a[href*='/p/']").get_attribute("href"))
    axe(customer.page)
    with customer.page.expect_download() as download:
        customer.page.get_by_role("link", name="Open the packet").click()
    assert Path(download.value.path()).read_bytes().startswith(b"%PDF")
    customer.fill(name="Edda Quill", items="Spare fuses missing")
    customer.press("Accept vehicle")
    customer.sees("Accepted with open items by Edda Quill")


def test_one_job_from_first_call_to_handover(people, worker, tmp_path):
    manager = people()
    open_the_shop(manager)
    fill_the_catalog(manager, tmp_path)
    job = take_the_job_in(manager)
    designer = sign_in(people(), "dan")
    design(designer, job)
    customer = people(viewport={"width": 390, "height": 844})
    sell(manager, customer, job)
    manager.go(f"{job}stages/")
    manager.press("Plan stages")
    technician = sign_in(people(viewport={"width": 800, "height": 1280}), "tess")
    inspector = sign_in(people(), "ines")
    check_in(technician, job, tmp_path)
    accept_arrival(technician, job)
    work(technician, inspector, job, [f"S{n}" for n in range(14)])
    inspector.go(f"{job}units/SR-4/checks/")
    inspector.press("Make checks from the design")
    check_everything(inspector, technician, job, tmp_path)
    hand_over(manager, inspector, customer, job, worker)
    assert Acceptance.objects.get().name == "Edda Quill"
    assert Job.objects.get().state == "delivered"
    assert verify_all() == []
    assert User.objects.count() == 4
    assert Shop.objects.get().name == "Quay Vehicle Works"
