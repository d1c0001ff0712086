"""The catalog's pages in a real browser: accessible, pressable, narrow enough, without scripts."""

from pathlib import Path

import pytest
from playwright.sync_api import Page

from catalog.models import Part
from tests.browser import OFFICE_TARGET, PHONE, WIDE, axe, scrolls_sideways, too_small
from tests.catalog.hostile import csv_of
from tests.factories import make_part

pytestmark = [pytest.mark.browser, pytest.mark.slow]
SIZES = pytest.mark.parametrize("size", [WIDE, PHONE], ids=["wide", "phone"])


def in_order(page: Page) -> None:
    axe(page)
    assert too_small(page, OFFICE_TARGET) == []
    assert not scrolls_sideways(page)


def make_catalog() -> None:
    make_part(
        code="ND-12",
        kind="control",
        description="Output module, twelve channels",
        draws=[{"average_ma": 300, "peak_ma": 300, "standby_ua": 3000}],
        limits=[{"what": "channel", "label": "1 to 4", "limit_ma": 25_000, "count": 4}],
    )
    make_part(code="LB-60T", description="Roof bar", mass_g=None)


PAGES = (
    "/parts/",
    "/parts/?kind=bulb",
    "/parts/?search=none",
    "/parts/ND-12/",
    "/parts/ND-12/edit/",
    "/parts/ND-12/retire/",
    "/parts/new/",
    "/parts/import/",
)


@SIZES
def test_pages_are_accessible_and_fit(open_as, designer, size):
    make_catalog()
    page = open_as(designer, viewport=size)
    for path in PAGES:
        page.goto(path)
        in_order(page)


@SIZES
def test_a_part_is_made_and_revised_without_scripts(open_as, designer, size):
    page = open_as(designer, "/parts/new/", viewport=size, java_script_enabled=False)
    page.get_by_label("Code").fill("lb-60t")
    page.get_by_label("Kind").select_option("Warning light")
    page.get_by_role("button", name="Save part").click()
    in_order_without_scripts(page, "Description: This needs a value.")
    page.get_by_label("Description").fill("Roof bar")
    page.get_by_label("List price ($)").fill("2140")
    page.get_by_label("Fitting time (h)").fill("6")
    for row, colour in enumerate(("red", "white", "amber"), start=1):
        page.get_by_label(f"Current row {row}, Function").fill("on")
        page.get_by_label(f"Current row {row}, Colour").fill(colour)
        page.get_by_label(f"Current row {row}, Average (A)").fill("9.5")
    page.get_by_role("button", name="Add rows").first.click()
    page.get_by_label("Current row 4, Function").fill("low")
    page.get_by_role("button", name="Save part").click()
    assert page.get_by_role("heading", level=1).inner_text() == "Roof bar"
    page.get_by_role("link", name="Revise part").click()
    page.get_by_label("Current row 1, Remove").check()
    page.get_by_label("Why this revision").fill("Amber is not fitted")
    page.get_by_role("button", name="Save as revision 2").click()
    assert page.get_by_text("LB-60T is at revision 2.").is_visible()
    part = Part.objects.get(code="LB-60T")
    assert (part.current.draws.count(), part.current.number) == (3, 2)


def in_order_without_scripts(page: Page, sentence: str) -> None:
    assert page.get_by_role("link", name=sentence).is_visible()
    assert page.title().startswith("Error: ")
    assert not scrolls_sideways(page)


def test_the_list_follows_the_search_while_typing(open_as, designer):
    make_catalog()
    page = open_as(designer, "/parts/")
    page.get_by_label("Search").press_sequentially("roof")
    page.wait_for_url("**/parts/?search=roof**")
    assert page.get_by_role("link", name="LB-60T").is_visible()
    assert page.get_by_role("link", name="ND-12").count() == 0
    page.get_by_role("link", name="Weight").click()
    page.wait_for_url("**sort=weight**")
    assert page.get_by_label("Search").input_value() == "roof"
    in_order(page)


@SIZES
def test_a_sheet_is_refused_corrected_looked_at_and_applied(open_as, designer, tmp_path, size):
    make_catalog()
    path: Path = tmp_path / "prices.csv"
    page = open_as(designer, "/parts/import/", viewport=size)
    path.write_bytes(csv_of("ND-12,lots", "LB-60T,2", header="code,list_usd"))
    page.get_by_label("Sheet with parts").set_input_files(path)
    page.get_by_role("button", name="Show dry run").click()
    assert page.get_by_text("lots is not a number. Type it in $.").is_visible()
    in_order(page)
    path.write_bytes(csv_of("ND-12,560.25", "LB-60T,148", header="code,list_usd"))
    page.get_by_label("Sheet with parts").set_input_files(path)
    page.get_by_role("button", name="Show dry run").click()
    assert page.get_by_text("$560.25").is_visible()
    in_order(page)
    page.get_by_role("button", name="Apply 1 change").click()
    assert page.get_by_text("0 new and 1 changed parts from prices.csv.").is_visible()
    assert Part.objects.get(code="ND-12").current.list_price_cents == 56_025


def test_the_second_of_two_people_sees_both_changes(open_as, designer, manager):
    make_catalog()
    first = open_as(designer, "/parts/ND-12/edit/")
    second = open_as(manager, "/parts/ND-12/edit/")
    first.get_by_label("Weight (lb)").fill("4")
    first.get_by_role("button", name="Save as revision 2").click()
    second.get_by_label("List price ($)").fill("600")
    second.get_by_role("button", name="Save as revision 2").click()
    assert second.get_by_role("heading", name="Somebody else changed ND-12").is_visible()
    in_order(second)
    second.get_by_role("button", name="Save as revision 3").click()
    current = Part.objects.get(code="ND-12").current
    assert (current.number, current.list_price_cents) == (3, 60_000)
    assert str(current.mass_g) == "1814.369"
