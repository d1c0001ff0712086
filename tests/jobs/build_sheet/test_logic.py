import copy

import pytest

from inspections.demo.rows import read
from jobs.build_sheet.logic import LogicError, keep_logic, proofs_of, rule_sentences
from jobs.models import ControlLogic
from tests.factories import make_job

pytestmark = pytest.mark.django_db


def test_keep_logic_stores_a_digest_and_refuses_the_same_version_twice(designer):
    job = make_job()
    kept = keep_logic(job=job, version="1.3", data=read("logic_v1_3"), note="", by=designer)
    assert len(kept.sha256) == 64
    with pytest.raises(LogicError, match=r"Version 1\.3 is already kept"):
        keep_logic(job=job, version="1.3", data=read("logic_v1_3"), note="", by=designer)


def test_keep_logic_with_an_unknown_signal_keeps_nothing(designer):
    data = copy.deepcopy(read("logic_v1_3"))
    data["rules"][0]["when"] = "NO_SUCH_SIGNAL"
    with pytest.raises(LogicError, match="NO_SUCH_SIGNAL"):
        keep_logic(job=make_job(), version="2", data=data, note="", by=designer)
    assert not ControlLogic.objects.exists()


@pytest.mark.parametrize("data", [None, [], "text", 7, {"rules": 3}])
def test_keep_logic_refuses_what_is_no_logic(designer, data):
    with pytest.raises(LogicError):
        keep_logic(job=make_job(), version="2", data=data, note="", by=designer)


def test_proofs_of_put_what_is_refuted_first(designer):
    kept = keep_logic(job=make_job(), version="1.2", data=read("logic_v1_2"), note="", by=designer)
    proofs = proofs_of(kept)
    assert proofs[0].state == "fail"
    assert "Mast up is on" in proofs[0].text


def test_rule_sentences_are_plain_words(designer):
    kept = keep_logic(job=make_job(), version="1.3", data=read("logic_v1_3"), note="", by=designer)
    sentences = [row["sentence"] for row in rule_sentences(kept)]
    assert any(sentence.startswith("Mast up turns on when") for sentence in sentences)
