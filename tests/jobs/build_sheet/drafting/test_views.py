import pytest
from django.urls import reverse

from jobs.build_sheet.drafting.actions import save_entry
from jobs.build_sheet.drafting.document import entry_of
from jobs.controls.grammar import MAX_NESTING
from jobs.models import ControlLogic
from tests.factories import make_draft, make_job, release_draft
from tests.form_data import form_data
from tests.jobs.controls.small import small_data

pytestmark = pytest.mark.django_db


@pytest.fixture
def draft(client, designer):
    client.force_login(designer)
    return make_draft(by=designer)


def at(name, draft, *more):
    return reverse(f"jobs:{name}", args=[draft.job.number, draft.version, *more])


def change(client, draft, part="rules", entry="R1", **typed):
    path = at("logic_entry", draft, part, entry)
    return client.post(path, form_data(client.get(path), **typed))


def words(response):
    return response.content.decode()


def fresh(draft):
    return ControlLogic.objects.get(pk=draft.pk)


def test_logic_start_copies_the_newest_version(client, draft):
    path = reverse("jobs:logic_start", args=[draft.job.number])
    response = client.post(path, form_data(client.get(path), version="1.1", note="Second"))
    copy = ControlLogic.objects.get(version="1.1")
    assert response["Location"] == at("logic_sheet", copy)
    assert copy.based_on == "1.0"
    assert client.post(path, {"version": "1.1", "note": "Twice"}).status_code == 422
    assert client.post(path, {"version": "add", "note": "No digit"}).status_code == 422


def test_logic_sheet_shows_sentences_and_proofs(client, draft):
    page = words(client.get(at("logic_sheet", draft)))
    assert "Mast up turns on when mast button is pressed and parked" in page
    assert "Proved" in page
    assert "Mast up is never on unless parked." in page


def test_logic_sheet_says_what_is_refuted_after_a_change(client, draft):
    response = change(client, draft, when="UP")
    assert response.status_code == 302
    page = words(client.get(at("logic_sheet", draft)))
    assert "Refuted" in page
    assert "Mast up is on, which is allowed only while parked" in page


def test_logic_entry_says_the_sentence_and_keeps_nothing_when_asked(client, draft):
    response = change(client, draft, when="UP AND GEAR is P", preview="1")
    assert response.status_code == 200
    assert "It would read: Mast up turns on when mast button is pressed and gear is P" in words(
        response
    )
    assert fresh(draft).edits == 0


def test_logic_entry_adds_a_chosen_name_to_what_is_typed(client, draft):
    response = change(client, draft, when="UP", insert="when:GEAR is P")
    assert "UP AND GEAR is P</textarea>" in words(response)
    response = change(client, draft, when="UP OR", insert="when:PARKED")
    assert "UP OR PARKED</textarea>" in words(response)
    assert fresh(draft).edits == 0


@pytest.mark.parametrize(
    ("typed", "says"),
    [
        ("UP AND PARKD", "At place 8: “PARKD” is no signal, term or output. Did you mean PARKED"),
        ("UP AND", "The expression stops too early"),
        ("UP && PARKED", "“&amp;” at place 4 is not used here. Write AND."),
        ("GEAR is Q", "GEAR has no position “Q”"),
        ("SPD at least 7", "“7” is no threshold of SPD"),
        ("MAST", "form a circle"),
        ("UP " * 4000, "characters; at most 10,000"),
        ("NOT " * 900 + "UP", f"more than {MAX_NESTING} parentheses and NOTs"),
        ("(" * 4000 + "UP", f"more than {MAX_NESTING} parentheses and NOTs"),
        (" OR ".join(["PARKED"] * 100), "conditions with its terms written out"),
    ],
)
def test_logic_entry_answers_a_bad_expression_with_a_sentence(client, draft, typed, says):
    response = change(client, draft, when=typed)
    assert response.status_code == 422
    assert says in words(response)
    assert typed[:30].strip().replace("&", "&amp;") in words(response)
    assert fresh(draft).edits == 0


def test_logic_entry_marks_the_place_of_the_fault(client, draft):
    assert "UP AND <mark>PARKD</mark>" in words(change(client, draft, when="UP AND PARKD"))


def test_logic_entry_refuses_two_rules_on_one_output_without_priority(client, draft):
    response = change(client, draft, entry="R2", output="MAST")
    assert response.status_code == 422
    assert "both drive MAST with priority 0; give one of them a higher priority" in words(response)


@pytest.mark.parametrize(
    ("field", "typed", "says"),
    [
        ("on_delay_s", "-1", "-1 lies outside 0 to 86400 s"),
        ("on_delay_s", "nan", "nan is not a number"),
        ("on_delay_s", "soon", "soon is not a number"),
        ("priority", "1.5", "1.5 is not a whole number"),
        ("output", "NOTHING", "is not one of the available choices"),
        ("unsafe", "GEAR", "must read like “GEAR is P”"),
        ("unsafe", "GEAR is Q", "GEAR cannot be “Q”"),
        ("name", "", "This needs a value"),
        ("name", "R2", "R2 is in this version already"),
        ("when", "UP\0", "Null characters are not allowed"),
    ],
)
def test_logic_entry_names_the_field_and_the_limit(client, draft, field, typed, says):
    response = change(client, draft, **{field: typed})
    assert response.status_code == 422
    assert says in words(response)
    assert fresh(draft).edits == 0


def test_logic_entry_says_which_other_entry_a_change_would_break(client, draft):
    response = change(client, draft, "signals", "GEAR", positions="P, R, N", unsafe="R")
    assert response.status_code == 302
    response = change(client, draft, "signals", "GEAR", positions="R, N", rest="", unsafe="R")
    assert response.status_code == 422
    assert "Term PARKED, when: At place 9: GEAR has no position “P”" in words(response)


def test_logic_entry_renames_everywhere(client, draft):
    assert change(client, draft, "signals", "GEAR", name="SELECTOR").status_code == 302
    assert "GEAR" not in str(fresh(draft).logic)


def test_logic_entry_tells_the_second_designer_and_keeps_what_they_typed(client, draft, designer):
    path = at("logic_entry", draft, "rules", "R1")
    form = form_data(client.get(path), when="UP AND GEAR is P")
    entry = entry_of(draft.logic, "rules", "R1") | {"when": "UP AND PB"}
    save_entry(draft=draft, seen=0, part="rules", was="R1", entry=entry, by=designer)
    response = client.post(path, form)
    assert response.status_code == 409
    page = words(response)
    assert "Somebody else changed logic 1.0" in page
    assert "What stands there now: Mast up turns on when mast button is pressed and park" in page
    assert "UP AND GEAR is P</textarea>" in page
    assert client.post(path, form_data(response)).status_code == 302
    assert entry_of(fresh(draft).logic, "rules", "R1")["when"] == "UP AND GEAR is P"


def test_logic_entry_of_a_double_click_changes_once(client, draft):
    path = at("logic_entry_add", draft, "outputs")
    form = form_data(client.get(path), name="LAMP", label="lamp")
    assert client.post(path, form).status_code == 302
    assert client.post(path, form).status_code in (409, 422)
    assert fresh(draft).edits == 1


def test_logic_entry_of_a_released_version_is_sent_back(client, draft, designer):
    form = form_data(client.get(at("logic_entry", draft, "rules", "R1")), when="UP")
    release_draft(draft, by=designer)
    for method, data in ((client.get, {}), (client.post, form)):
        response = method(at("logic_entry", draft, "rules", "R1"), data)
        assert response["Location"] == at("logic_sheet", draft)
    page = words(client.get(at("logic_sheet", draft)))
    assert "is released and stays as it is" in page
    assert "Add rule" not in page


def test_logic_entry_adds_a_signal_of_each_kind(client, draft):
    path = at("logic_entry_add", draft, "signals")
    plain = form_data(client.get(path))
    kinds = [
        {"name": "DOOR", "label": "door", "kind": "two_state"},
        {"name": "SLIDE", "label": "slide", "kind": "position", "positions": "0, 1, 2"},
        {"name": "VOLTS", "label": "battery", "kind": "measured", "thresholds": "11.9, 12.3 low"},
    ]
    for seen, typed in enumerate(kinds):
        assert client.post(path, {**plain, **typed, "edits": seen}).status_code == 302
    added = entry_of(fresh(draft).logic, "signals", "VOLTS")
    assert added["thresholds"] == [{"value": 11.9}, {"value": 12.3, "name": "low"}]


def test_logic_entry_adds_a_lamp_head_with_its_order(client, draft):
    path = at("logic_entry_add", draft, "heads")
    typed = {
        "name": "GRILLE", "label": "grille head", "zone": "front", "colours": "red, white",
        "patterns-0-name": "still", "patterns-0-when": "PARKED", "patterns-0-colours": "red",
        "patterns-0-ORDER": "2",
        "patterns-1-name": "alarm", "patterns-1-when": "ALARM", "patterns-1-colours": "white",
        "patterns-1-ORDER": "1",
    }  # fmt: skip
    response = client.post(path, form_data(client.get(path)) | typed)
    assert response.status_code == 302
    head = entry_of(fresh(draft).logic, "heads", "GRILLE")
    assert [pattern["name"] for pattern in head["patterns"]] == ["alarm", "still"]
    bad = typed | {"name": "B", "patterns-0-when": "NOWHERE", "edits": "1"}
    response = client.post(path, form_data(client.get(path)) | bad)
    assert response.status_code == 422
    assert "NOWHERE" in words(response)


def test_logic_entry_wires_an_output_to_a_channel(client, draft):
    path = at("logic_entry_add", draft, "nodes")
    typed = {"name": "N1", "label": "front node", "channels": "1, 25\n2, 10, fast, 20"}
    for wrong in ("1", "1, none", "1, 25\n1, 10", "1, 25, fast, 20, more", "1, 9999"):
        form = form_data(client.get(path)) | typed | {"channels": wrong}
        assert client.post(path, form).status_code == 422
    assert client.post(path, form_data(client.get(path)) | typed).status_code == 302
    channels = entry_of(fresh(draft).logic, "nodes", "N1")["channels"]
    assert channels[1] == {"name": "2", "limit_ma": 10000, "kind": "fast", "peak_limit_ma": 20000}
    path = at("logic_entry_add", draft, "wires")
    form = form_data(client.get(path)) | {"name": "MAST", "place": "N1.2"}
    assert client.post(path, form).status_code == 302
    assert entry_of(fresh(draft).logic, "wires", "N1.2")["name"] == "MAST"


def test_logic_entry_remove_says_what_needs_it(client, draft):
    path = at("logic_entry_remove", draft, "signals", "UP")
    client.post(path, {"edits": "0"})
    page = words(client.get(at("logic_sheet", draft)))
    assert "UP is not removed. It is used by rule R1." in page
    client.post(at("logic_entry_remove", draft, "interlocks", "I3"), {"edits": "0"})
    assert entry_of(fresh(draft).logic, "interlocks", "I3") is None


def test_expression_try_says_how_it_reads_or_where_it_is_wrong(client, draft):
    path = at("expression_try", draft, "rules")
    good = words(client.post(path, {"field": "when", "when": "NOT PARKED AND UP"}))
    assert "Not parked and mast button is pressed." in good
    bad = words(client.post(path, {"field": "when", "when": "NOT PARKED AN UP"}))
    assert "AND or OR may be missing" in bad
    assert "<mark>AN</mark>" in bad
    long = words(client.post(path, {"field": "when", "when": "A" * 20_000}))
    assert "at most 10,000" in long
    assert len(long) < 1000
    assert client.post(path, {}).status_code == 200


def test_logic_discard_removes_the_draft(client, draft):
    client.post(at("logic_discard", draft), {"edits": "5"})
    assert ControlLogic.objects.exists()
    client.post(at("logic_discard", draft), {"edits": "0"})
    assert not ControlLogic.objects.exists()


def test_unknown_objects_are_not_found(client, draft):
    other = make_job()
    paths = [
        reverse("jobs:logic_sheet", args=[other.number, "1.0"]),
        at("logic_entry_add", draft, "version"),
        at("logic_entry", draft, "rules", "R9"),
        at("logic_entry", draft, "version", "R1"),
    ]
    assert [client.get(path).status_code for path in paths] == [404] * 4


def test_changing_is_for_designers(client, draft, manager):
    client.force_login(manager)
    assert client.get(at("logic_sheet", draft)).status_code == 200
    assert client.get(at("logic_entry", draft, "rules", "R1")).status_code == 403
    assert client.post(at("logic_discard", draft)).status_code == 403


def test_a_long_logic_is_still_one_page(client, designer, django_assert_max_num_queries):
    client.force_login(designer)
    rules, outputs = small_data()["rules"], small_data()["outputs"]
    for number in range(150):
        outputs.append({"name": f"OUT_{number}", "label": f"output {number}"})
        rules.append({"name": f"X{number}", "output": f"OUT_{number}", "when": "UP"})
    draft = make_draft(by=designer, data=small_data(rules=rules, outputs=outputs))
    client.get(at("logic_sheet", draft))
    with django_assert_max_num_queries(14):
        assert "Output 149 turns on" in words(client.get(at("logic_sheet", draft)))
