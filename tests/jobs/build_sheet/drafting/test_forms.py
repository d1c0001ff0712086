"""Every field of the document has its field in a form, and comes back as it went in."""

from dataclasses import fields

import pytest

from jobs.build_sheet.drafting.document import KEYS, NOUNS, read
from jobs.build_sheet.drafting.fitted_forms import PatternForm
from jobs.build_sheet.drafting.forms import FORMS
from jobs.build_sheet.drafting.typed import typed_entry
from jobs.controls.codec import to_json
from jobs.controls.logic import Head, Interlock, Logic, Node, Output, Pattern, Rule, Term, Wire
from jobs.controls.signals import Signal
from jobs.models import ControlLogic
from tests.form_data import form_data
from tests.jobs.controls.demo import demo_logic

SHAPES = {"signals": Signal, "terms": Term, "outputs": Output, "rules": Rule, "heads": Head}
SHAPES |= {"interlocks": Interlock, "nodes": Node, "wires": Wire}


def names(shape: type) -> set[str]:
    return {each.name for each in fields(shape)}


@pytest.mark.parametrize("part", SHAPES)
def test_each_field_of_an_entry_can_be_typed(part):
    typed = set(FORMS[part].base_fields) | ({"patterns"} if part == "heads" else set())
    assert typed == names(SHAPES[part])


def test_each_field_of_a_pattern_can_be_typed():
    assert set(PatternForm.base_fields) == names(Pattern)


def test_every_part_that_can_be_edited_has_its_words():
    assert FORMS.keys() == KEYS.keys() == NOUNS.keys()
    assert FORMS.keys() <= names(Logic)


class Answer:
    """A form as a page would send it back."""

    def __init__(self, html: str) -> None:
        self.content = f"<form method='post' class='form'>{html}</form>".encode()


def sent_back(draft: ControlLogic, logic: Logic, part: str, name: str) -> dict:
    """What the document holds after the untouched form of one entry is saved."""
    shown = typed_entry(draft, logic, part, name, None)
    html = "".join(str(field) for field in shown.form)
    if shown.patterns is not None:
        html += str(shown.patterns.management_form)
        html += "".join(str(field) for form in shown.patterns for field in form)
    again = typed_entry(draft, logic, part, name, form_data(Answer(html)))
    assert again.good, again.form.errors
    return again.entry()


@pytest.mark.parametrize("part", FORMS)
def test_every_entry_of_the_demo_survives_its_form(part):
    logic = demo_logic("1.3")
    data = to_json(logic)
    draft = ControlLogic(logic=data, version="1.3")
    for entry in data.get(part, []):
        name = entry[KEYS[part]]
        typed = sent_back(draft, logic, part, name)
        changed = data | {
            part: [typed if each[KEYS[part]] == name else each for each in data[part]]
        }
        assert to_json(read(changed)) == data, (part, name)
