import json
from io import StringIO

import pytest
from django.core.management import CommandError, call_command

from tests.factories import make_draft, make_job
from tests.jobs.controls.small import small_data

pytestmark = pytest.mark.django_db


def prove(job, *options):
    out = StringIO()
    call_command("prove", job.number, *options, stdout=out)
    return out.getvalue()


def test_prove_prints_proofs_and_test_steps(designer):
    words = prove(make_draft(by=designer).job)
    assert "Proved     I1           Mast up only when parked" in words
    assert "Unplug park brake. Expect: Mast up is off." in words


def test_prove_as_json_keeps_its_names(designer):
    data = json.loads(prove(make_draft(by=designer).job, "--json"))
    assert {"version", "sha256", "released_by", "proofs", "steps"} == data.keys()
    assert {"name", "label", "safety", "state", "word", "text"} == data["proofs"][0].keys()
    assert {"key", "digest", "start", "instruction", "expected"} <= data["steps"][0].keys()


def test_prove_ends_badly_when_an_interlock_does_not_hold(designer):
    rules = small_data()["rules"]
    rules[0]["when"] = "UP"
    with pytest.raises(CommandError, match="1 of 3 interlocks are not proved"):
        prove(make_draft(by=designer, data=small_data(rules=rules)).job)


def test_prove_without_logic_says_so(designer):
    with pytest.raises(CommandError, match="has no such control logic"):
        prove(make_job())
