"""Every cited document stands here once, and every citation in the calculation leads here."""

import re
from pathlib import Path

import pytest

from jobs.electrical.check import check
from jobs.sources import SOURCE_BY_ID, SOURCES, cite
from tests.jobs.electrical.demo import demo_design

PROJECT = Path(__file__).resolve().parent.parent.parent
PURE = [
    path for room in ("electrical", "weight") for path in (PROJECT / "jobs" / room).rglob("*.py")
]


def test_ids_are_unique():
    assert len(SOURCE_BY_ID) == len(SOURCES)


@pytest.mark.parametrize("path", PURE, ids=lambda path: str(path.relative_to(PROJECT)))
def test_every_citation_in_code_leads_to_a_document(path):
    text = path.read_text(encoding="utf-8")
    cited = re.findall(r'source="([^"]+)"', text)
    for line in re.findall(r"Source: ([^.(]+)", text):
        cited += re.findall(r"[a-z0-9]+(?:-[a-z0-9]+)+|kirchhoff|peukert|bci", line)
    assert set(cited) <= SOURCE_BY_ID.keys()


def test_every_finding_of_the_demo_cites_a_document():
    for finding in check(demo_design()):
        assert finding.source in SOURCE_BY_ID
        assert all(step.source in SOURCE_BY_ID or not step.source for step in finding.steps)


def test_a_citation_says_when_it_is_not_from_the_official_text():
    assert cite("33cfr183-425-t5").endswith("table 5")
    assert cite("nfpa1901-ch13").endswith("[V2]")
    assert cite("common-practice") == "Common practice, no source"
