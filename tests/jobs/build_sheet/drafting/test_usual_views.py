import pytest
from django.urls import reverse

from jobs.build_sheet.drafting.actions import start_draft
from jobs.build_sheet.drafting.working_out import complete
from jobs.controls.templates.catalogue import TEMPLATES
from jobs.models import ControlLogic, LogicWork
from tests.factories import make_draft, make_job
from tests.form_data import form_data

pytestmark = pytest.mark.django_db

SPECIAL = {"R19": "Mast up", "R06": "Siren", "R24": "Door", "R04": "Headlight", "R30": "Load"}


@pytest.fixture
def draft(client, designer):
    client.force_login(designer)
    return start_draft(job=make_job(), version="0.1", note="Empty", by=designer)


def path_of(draft, key):
    return reverse("jobs:usual_add", args=[draft.job.number, draft.version, key])


def add(client, draft, key, **typed):
    return client.post(path_of(draft, key), form_data(client.get(path_of(draft, key)), **typed))


def fresh(draft):
    return ControlLogic.objects.get(pk=draft.pk)


def test_usual_list_says_what_is_there_already(client, draft):
    assert add(client, draft, "R19").status_code == 302
    page = client.get(reverse("jobs:usual_list", args=[draft.job.number, "0.1"])).content.decode()
    assert all(key in page for key in TEMPLATES)
    assert page.count("Yes") == 1
    assert "after the rule that drives SIREN_ARM" in page


def test_usual_add_shows_what_it_would_add(client, draft):
    page = client.get(path_of(draft, "R19")).content.decode()
    assert "Mast up turns on when mast up asked for is on" in page
    assert "Mast up is never on unless parked" in page
    assert "Common practice, no source" in page
    assert fresh(draft).edits == 0


def test_usual_add_takes_the_shops_numbers(client, draft):
    response = add(client, draft, "R17", mph="12", wait="3", preview="1")
    assert "12 mph or more, for 3 s without a break" in response.content.decode()
    assert fresh(draft).edits == 0
    assert add(client, draft, "R17", mph="12", wait="3").status_code == 302
    rule = fresh(draft).logic["rules"][0]
    assert (rule["when"], rule["on_delay_s"]) == ("SPD at least 12", 3)


@pytest.mark.parametrize(
    ("typed", "says"),
    [
        ("99", "Off from is 99; it must lie within 1 to 25 mph"),
        ("nan", "Off from is nan; it must lie within 1 to 25 mph"),
        ("fast", "Off from must be a number, not “fast”"),
    ],
)
def test_usual_add_names_the_field_and_the_limit(client, draft, typed, says):
    response = add(client, draft, "R17", mph=typed)
    assert response.status_code == 422
    assert says in response.content.decode()
    assert fresh(draft).edits == 0


def test_usual_add_after_what_it_needs(client, draft):
    assert "add the rule that drives it first" in client.get(path_of(draft, "R06")).content.decode()
    assert add(client, draft, "R06").status_code == 422
    assert add(client, draft, "R05").status_code == 302
    assert add(client, draft, "R06").status_code == 302


def test_usual_add_twice_says_that_it_is_there(client, draft):
    form = form_data(client.get(path_of(draft, "R24")))
    assert client.post(path_of(draft, "R24"), form).status_code == 302
    assert client.post(path_of(draft, "R24"), form).status_code in (409, 422)
    assert add(client, draft, "R24").status_code == 422
    assert fresh(draft).edits == 1


def test_usual_add_takes_names_of_the_shop_and_refuses_bad_ones(client, draft):
    assert add(client, draft, "R25", door="LOCKER_1", light="LOCKER_1_LIGHT").status_code == 302
    names = [each["name"] for each in fresh(draft).logic["outputs"]]
    assert names == ["LOCKER_1_LIGHT"]
    response = add(client, draft, "R25", door="{volts}", light="two words")
    assert response.status_code == 422
    assert "is not a name" in response.content.decode()


@pytest.mark.slow
def test_every_usual_rule_can_be_added_one_after_the_other_and_is_proved(client, draft):
    left, stuck = list(TEMPLATES), 0
    while left and stuck < len(left):
        key = left.pop(0)
        if add(client, draft, key).status_code == 302:
            stuck = 0
        else:
            left.append(key)
            stuck += 1
    assert left == []
    proofs = complete(fresh(draft), LogicWork.Kind.PROOFS).found
    assert {row["state"] for row in proofs} == {"pass"}


def test_usual_add_is_for_designers_and_known_rules(client, draft, manager):
    assert client.get(path_of(draft, "R99")).status_code == 404
    client.force_login(manager)
    assert client.get(path_of(draft, "R19")).status_code == 403


def test_usual_add_to_a_released_version_is_refused(client, designer):
    client.force_login(designer)
    kept = make_draft(by=designer)
    form = form_data(client.get(path_of(kept, "R24")))
    ControlLogic.objects.filter(pk=kept.pk).update(
        released_by="Dan Birch", released_at=kept.made_at
    )
    response = client.post(path_of(kept, "R24"), form)
    assert response.status_code == 409
    assert "is released and stays as it is" in response.content.decode()
