import pytest
from django.urls import reverse

from inspections.checklists.templates import current_templates
from inspections.models import CheckTemplate

pytestmark = pytest.mark.django_db


def edit(code):
    return reverse("inspections:check_template_edit", args=[code])


def filled(client, code, **changed):
    """What the edit page would send without a change, with some of it changed."""
    form = client.get(edit(code)).context["form"]
    data = {
        name: "" if form[name].value() is None else form[name].value()
        for name in form.fields
        if form[name].value() is not False
    }
    version = CheckTemplate.objects.filter(code=code).count()
    return {**data, "seen_version": version, "note": "Tried it", **changed}


def test_check_template_list_says_what_is_sampled_and_why(client, inspector):
    client.force_login(inspector)
    page = client.get(reverse("inspections:check_template_list")).content.decode()
    assert "Sample, 20 %." in page
    assert "Small circuits repeat" in page
    assert "Safety, power and protection" in page
    assert "Add check" in page


def test_check_template_list_of_a_technician_has_no_changes(client, technician):
    client.force_login(technician)
    page = client.get(reverse("inspections:check_template_list")).content.decode()
    assert "Add check" not in page
    assert client.get(edit("ROAD")).status_code == 403


@pytest.mark.parametrize("code", ["ROAD", "circuit.volts", "keyoff", "SIREN.1"])
def test_check_template_edit_keeps_a_new_version(client, manager, code):
    client.force_login(manager)
    answer = client.post(edit(code), filled(client, code, title="Another title {ref}"))
    assert answer.status_code == 302
    last = CheckTemplate.objects.filter(code=code).order_by("version").last()
    assert (last.version, last.title, last.made_by) == (2, "Another title {ref}", manager)
    assert "Tried it" in client.get(edit(code)).content.decode()


def test_every_template_can_be_opened_and_saved_unchanged(client, manager):
    client.force_login(manager)
    for template in current_templates():
        answer = client.post(edit(template.code), filled(client, template.code))
        assert answer.status_code == 302, (template.code, answer.context["form"].errors)
    assert {one.version for one in current_templates()} == {2}


@pytest.mark.parametrize(
    ("code", "changed", "words"),
    [
        ("ROAD", {"note": ""}, "needs a value"),
        ("ROAD", {"title": ""}, "needs a value"),
        ("ROAD", {"stage": "S99"}, "not one of the available choices"),
        ("ROAD", {"seen_version": "7"}, "changed by somebody else"),
        ("ROAD", {"seen_version": "9" * 40}, "changed by somebody else"),
        ("ROAD", {"coverage_reason": ""}, "needs a value"),
        ("ROAD", {"expected_text": ""}, "Say what is expected"),
        ("RADIO.SWR", {"low": "2", "high": "1"}, "At most 1 is below at least 2"),
        ("RADIO.SWR", {"low": "", "high": ""}, "at least one limit"),
        ("RADIO.SWR", {"low": "1e99"}, "digits"),
        ("circuit.volts", {"sample_percent": "0"}, "greater than or equal to 1"),
        ("circuit.volts", {"spread_percent": "900"}, "less than or equal to 100"),
        ("circuit.volts", {"spread_least": "-1"}, "greater than or equal to 0"),
    ],
)
def test_check_template_edit_refuses_what_does_not_fit(client, manager, code, changed, words):
    client.force_login(manager)
    answer = client.post(edit(code), filled(client, code, **changed))
    assert answer.status_code == 422
    assert words in answer.content.decode()
    assert CheckTemplate.objects.filter(code=code).count() == 1


def test_check_template_edit_of_an_unknown_code_is_not_found(client, manager):
    client.force_login(manager)
    assert client.get(edit("NONE")).status_code == 404


def new(**changed):
    return {
        "code": "BODY.PAINT",
        "title": "Paint",
        "area": "Body",
        "stage": "S13",
        "kind": "visual",
        "expected_text": "No scratch",
        "coverage": "all",
        "sample_percent": "100",
        "coverage_reason": "Each panel is seen",
        **changed,
    }


def test_check_template_new_adds_a_check_once(client, manager):
    client.force_login(manager)
    address = reverse("inspections:check_template_new")
    assert client.get(address).status_code == 200
    assert client.post(address, new()).status_code == 302
    answer = client.post(address, new())
    assert answer.status_code == 422
    assert "BODY.PAINT is taken" in answer.content.decode()
    assert CheckTemplate.objects.get(code="BODY.PAINT").source == "every"


@pytest.mark.parametrize("code", ["", "a b", "../x", "X" * 40, "<b>"])
def test_check_template_new_refuses_codes_that_no_address_can_hold(client, manager, code):
    client.force_login(manager)
    answer = client.post(reverse("inspections:check_template_new"), new(code=code))
    assert answer.status_code == 422


def test_no_page_of_templates_shows_a_code_of_the_program(client, manager):
    """What the design fills in is framed in the list and stands in brackets where it is edited."""
    client.force_login(manager)
    page = client.get(reverse("inspections:check_template_list")).content.decode()
    assert "Voltage at <span" in page
    assert '<span class="filled">circuit name</span>' in page
    form = client.get(edit("circuit.volts")).content.decode()
    assert "Voltage at [circuit name] ([circuit])" in form
    assert "[circuit] and [circuit name] are filled in from the design." in form
    for text in (page, form):
        assert "{name}" not in text
        assert "{ref}" not in text


def test_brackets_are_stored_as_what_the_design_fills_in(client, manager):
    client.force_login(manager)
    typed = filled(client, "circuit.volts", title="Volts at [circuit]")
    assert client.post(edit("circuit.volts"), typed).status_code == 302
    last = CheckTemplate.objects.filter(code="circuit.volts").order_by("version").last()
    assert last.title == "Volts at {ref}"
    typed = filled(client, "circuit.volts", title="Volts at [amps]")
    answer = client.post(edit("circuit.volts"), typed)
    assert answer.status_code == 422
    assert "[amps] is nothing that the design knows" in answer.content.decode()
