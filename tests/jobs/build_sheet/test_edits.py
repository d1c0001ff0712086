"""The schedule edited in place in a real browser: preview, save, the finding beside the row."""

import pytest

from tests.browser import PHONE, WIDE, axe, scrolls_sideways
from tests.factories import make_wired_job

pytestmark = [pytest.mark.django_db, pytest.mark.slow, pytest.mark.browser]


@pytest.mark.parametrize("size", [WIDE, PHONE])
def test_a_length_is_edited_in_place_with_its_finding_beside_it(open_as, designer, size):
    job = make_wired_job(awg="16")
    row = f"#circuit-{job.circuits.get().pk}"
    page = open_as(designer, f"/jobs/{job.number}/circuits/", viewport=size)
    page.click(f"{row} a.btn")
    page.wait_for_selector(f"{row}.editing")
    length = page.locator(f"{row} [name=length_mm]")
    length.fill("60")
    with page.expect_response("**/row/"):
        length.press("Tab")
    page.wait_for_selector(f"{row} >> text=Appears")
    axe(page)
    assert not scrolls_sideways(page)
    length.press("Enter")
    page.wait_for_selector(f"{row}:not(.editing) >> text=lost to the load at peak")
    assert "is saved" in page.inner_text("#schedule-says")
    assert "lost to the load at peak" in page.inner_text("#problems")
    axe(page)
    assert float(job.circuits.get().length_mm) == 18288.0
