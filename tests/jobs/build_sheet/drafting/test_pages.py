"""Every page of the editor: the site's rules, axe, and no sideways scrolling on a phone."""

import pytest
from django.test import Client
from django.urls import reverse

from tests.browser import PHONE, TALL, WIDE, axe, scrolls_sideways
from tests.factories import make_draft
from tests.jobs.controls.small import small_data
from tests.pages import read
from tests.test_pages import faults

PARTS = ("signals", "terms", "outputs", "rules", "heads", "profile", "interlocks", "nodes", "wires")


def paths_of(draft):
    args = [draft.job.number, draft.version]
    yield reverse("jobs:logic_list", args=args[:1])
    yield reverse("jobs:logic_start", args=args[:1])
    for name in ("logic_sheet", "logic_gate", "usual_list"):
        yield reverse(f"jobs:{name}", args=args)
    yield reverse("jobs:usual_add", args=[*args, "R19"])
    yield reverse("jobs:usual_add", args=[*args, "R06"])
    for part in PARTS:
        yield reverse("jobs:logic_entry_add", args=[*args, part])
    yield reverse("jobs:logic_entry", args=[*args, "interlocks", "I1"])


@pytest.fixture
def draft(designer):
    rules = small_data()["rules"]
    rules[0]["when"] = "UP"
    return make_draft(by=designer, data=small_data(rules=rules))


@pytest.mark.django_db
def test_every_page_of_the_editor_keeps_the_rules_of_the_site(draft, designer):
    client = Client()
    client.force_login(designer)
    wrong = []
    for path in paths_of(draft):
        answer = client.get(path)
        page = read(path, path, answer.status_code, answer.content.decode())
        wrong += [f"{path} {fault}" for fault in faults(page)]
    assert wrong == []


@pytest.mark.browser
@pytest.mark.slow
def test_every_page_of_the_editor_is_accessible_and_fits(open_as, draft, designer):
    tab = open_as(designer)
    for path in paths_of(draft):
        tab.goto(path)
        axe(tab)
        for size in (WIDE, TALL, PHONE):
            tab.set_viewport_size(size)
            assert not scrolls_sideways(tab), (path, size)
