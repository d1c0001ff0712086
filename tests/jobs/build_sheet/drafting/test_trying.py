import pytest
from django.urls import reverse
from playwright.sync_api import expect

from jobs.build_sheet.drafting.trying import tried
from jobs.models import ControlLogic
from tests.browser import PHONE, axe, scrolls_sideways
from tests.factories import make_draft
from tests.jobs.controls.small import small_logic


def test_tried_reads_a_whole_expression():
    (says,) = tried(small_logic(), "UP AND NOT PARKED", lines=False)
    assert (says.sentence, says.wrong) == ("Mast button is pressed and not parked.", False)


def test_tried_reads_line_by_line():
    good, bad = tried(small_logic(), "MAST\n\nMASTS", lines=True)
    assert not good.wrong
    assert bad.wrong
    assert "Did you mean MAST" in bad.sentence
    assert (bad.mark.before, bad.mark.here, bad.mark.after) == ("", "MASTS", "")


def test_tried_marks_the_end_of_what_stops_too_early():
    (says,) = tried(small_logic(), "UP AND", lines=False)
    assert (says.mark.before, says.mark.here) == ("UP AND", "␣")


@pytest.mark.browser
@pytest.mark.slow
def test_a_rule_answers_while_it_is_typed_and_is_saved_with_its_proof(open_as, designer):
    draft = make_draft(by=designer)
    args = [draft.job.number, draft.version]
    tab = open_as(designer, reverse("jobs:logic_entry", args=[*args, "rules", "R1"]))
    when, says = tab.locator("#id_when"), tab.locator("#says-when")
    when.fill("UP AND GEAR is Q")
    expect(says).to_contain_text("GEAR has no position “Q”; it has P, R, N, D.")
    expect(says.locator("mark")).to_have_text("Q")
    axe(tab)
    when.fill("UP AND GEAR is P")
    expect(says).to_contain_text("Mast button is pressed and gear is P.")
    tab.get_by_text("Names for “When”").click()
    tab.get_by_role("button", name="PARKED parked").first.click()
    expect(when).to_have_value("UP AND GEAR is P AND PARKED")
    when.fill("UP")
    tab.get_by_role("button", name="Save rule").click()
    row = tab.get_by_role("row", name="I1 Refuted")
    expect(row).to_contain_text("Mast up is on, which is allowed only while parked")
    axe(tab)
    tab.set_viewport_size(PHONE)
    assert not scrolls_sideways(tab)
    assert ControlLogic.objects.get().logic["rules"][0]["when"] == "UP"
