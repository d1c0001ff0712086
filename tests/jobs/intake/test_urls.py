"""Every page of this slice in a real browser: rules of access, sizes, and what htmx adds."""

from datetime import date

import pytest

from jobs.models import ConditionPhoto, Contact, Job, Unit
from tests import pictures
from tests.browser import (
    BAY_TARGET,
    OFFICE_TARGET,
    PHONE,
    TALL,
    WIDE,
    axe,
    scrolls_sideways,
    too_small,
)
from tests.factories import (
    VIN,
    make_agency,
    make_furnished_item,
    make_job,
    make_requirement,
    make_unit,
)

pytestmark = [pytest.mark.browser, pytest.mark.slow]

JOB = "/jobs/J-0042/"
UNIT = JOB + "units/SR-4/"
OFFICE = [
    "/agencies/",
    "/agencies/new/",
    "/agencies/{agency}/",
    "/agencies/{agency}/edit/",
    "/agencies/{agency}/legal/",
    "/agencies/{agency}/contacts/new/",
    "/jobs/",
    "/jobs/new/",
    JOB,
    JOB + "edit/",
    JOB + "cancel/",
    JOB + "history/",
    JOB + "links/",
    JOB + "requirements/",
    JOB + "requirements/new/",
    JOB + "requirements/1/edit/",
    JOB + "requirements/copy/",
    JOB + "furnished/",
    JOB + "furnished/new/",
    JOB + "units/",
    JOB + "units/new/",
    UNIT,
    UNIT + "edit/",
    UNIT + "arrival/report/",
]
BAY = [UNIT + "arrival/", UNIT + "arrival/readings/", UNIT + "arrival/walk/"]


@pytest.fixture
def job(append_only, shop) -> Job:
    """One job with a bit of everything. The page must look right, whatever state rows are in."""
    agency = make_agency(
        name="Kestrel Sound Harbour Rescue District",
        legal_profile={"colours": {"front": ["red"]}, "tones": ["wail"]},
        legal_source="State code 9",
        legal_checked_on=date(2026, 3, 12),
    )
    Contact.objects.create(agency=agency, name="Edda Quill", role="Purchasing", may_approve=True)
    job = make_job(
        agency=agency, number="J-0042", title="Shore rescue van", promised_on=date(2026, 6, 12)
    )
    make_unit(job=job, number="SR-4", vin=VIN, gvwr_g="5003123.841")
    make_requirement(job=job)
    make_requirement(job=job, status="assumed", drives_design=True)
    make_requirement(job=job, status="confirmed")
    make_furnished_item(job=job, needed_for_stage="S7", expected_on=date(2026, 5, 4))
    return job


@pytest.mark.parametrize("size", [WIDE, PHONE], ids=["wide", "phone"])
def test_office_pages_are_accessible_and_fit(open_as, manager, job, size):
    page = open_as(manager, "/jobs/", viewport=size)
    for path in OFFICE:
        page.goto(path.format(agency=job.agency_id))
        axe(page)
        assert too_small(page, OFFICE_TARGET) == [], path
        assert not scrolls_sideways(page), path
        assert page.locator("h1").count() == 1, path
        assert page.locator(".btn-main").count() <= 1, path


@pytest.mark.parametrize("size", [WIDE, TALL, PHONE], ids=["wide", "tall", "phone"])
def test_bay_pages_are_accessible_and_fit_a_glove(open_as, technician, job, size):
    page = open_as(technician, "/jobs/", viewport=size)
    for path in BAY:
        page.goto(path)
        axe(page, bay=True)
        assert too_small(page, BAY_TARGET) == [], path
        assert not scrolls_sideways(page), path


def test_a_refused_form_leads_to_its_errors(open_as, manager, job):
    page = open_as(manager, JOB + "units/new/")
    page.get_by_label("GVWR").fill("heavy")
    page.get_by_role("button", name="Add unit").click()
    page.get_by_role("link", name="GVWR (lb): heavy is not a number").click()
    assert page.evaluate("() => document.activeElement.name") == "gvwr_g"
    axe(page)


def test_a_vin_is_checked_while_it_is_typed(open_as, manager, job):
    page = open_as(manager, JOB + "units/new/")
    says = page.locator("#vin-says")
    field = page.get_by_label("VIN", exact=False).first
    field.press_sequentially("1G4AH59H5")
    says.get_by_text("8 more characters to go.").wait_for()
    field.press_sequentially("5G118341")
    says.get_by_text("is 5; the other characters give 4").wait_for()
    axe(page)
    field.fill(VIN)
    says.get_by_text("Check digit right").wait_for()


def test_agencies_are_offered_while_their_name_is_typed(open_as, manager, job):
    for number in range(60):
        make_agency(name=f"District {number:02d}")
    make_agency(name="Zenith Patrol")
    page = open_as(manager, "/jobs/new/")
    assert page.locator("option[value='Zenith Patrol']").count() == 0
    page.get_by_label("Agency", exact=True).press_sequentially("zen")
    page.locator("option[value='Zenith Patrol']").wait_for(state="attached")


def test_a_status_is_set_in_its_row(open_as, manager, job):
    page = open_as(manager, JOB + "requirements/")
    row = page.locator("#rq1")
    row.get_by_text("Set status").click()
    row.get_by_label("Status").select_option("confirmed")
    row.get_by_role("button", name="Save status").click()
    row.get_by_text("A confirmed requirement names who said so.").wait_for()
    axe(page)
    row.get_by_label("Who confirmed or waived it").fill("Tobin Rask")
    row.get_by_role("button", name="Save status").click()
    row.get_by_text("Confirmed by Tobin Rask").wait_for()
    assert job.requirements.get(number=1).status == "confirmed"


def test_one_tap_and_the_shutter_bring_a_photo(open_as, technician, job):
    page = open_as(technician, UNIT + "arrival/walk/", viewport=TALL)
    front = page.locator("#view-front")
    with page.expect_file_chooser() as chooser:
        front.get_by_label("Take photo").click()
    picture = {"name": "a.jpg", "mimeType": "image/jpeg", "buffer": pictures.jpeg()}
    chooser.value.set_files(picture)
    front.get_by_text("Preview is being made").wait_for()
    assert ConditionPhoto.objects.get().view == "front"
    page.get_by_role("status").filter(has_text="7 of 8 views left").wait_for()
    axe(page, bay=True)


def test_a_vehicle_is_checked_in_without_javascript(open_as, technician, job):
    page = open_as(technician, UNIT + "arrival/", java_script_enabled=False)
    page.get_by_role("link", name="Read the vehicle").click()
    page.get_by_label("VIN from the plate").fill("TS000417")
    page.get_by_label("Odometer").fill("12")
    page.get_by_label("Keys").fill("2")
    page.get_by_label("Fuel").fill("75")
    page.get_by_role("button", name="Save readings").click()
    page.get_by_role("link", name="Take photos").click()
    for tile in page.locator(".view").all()[:8]:
        view = tile.get_attribute("id")
        picture = {"name": "a.jpg", "mimeType": "image/jpeg", "buffer": pictures.jpeg(view)}
        tile.locator("input[type=file]").set_input_files(picture)
        tile.get_by_role("button", name="Send photo").click()
    page.get_by_role("link", name="Go on with check-in").click()
    page.get_by_label("Handed over by").fill("Ilse Marrow")
    page.get_by_role("button", name="Accept vehicle").click()
    page.get_by_text("by Tess Cedar from Ilse Marrow").wait_for()
    assert Unit.objects.get().arrived_at is not None
