"""What makes two documents the same."""

from pathlib import Path

import pytest

from jobs.documents import fingerprint
from jobs.documents.fingerprint import canonical, fingerprint_of, template_digest, tools

PARTS = {"sections": [{"template": "print/section.html", "data": {"a": 1, "b": 2}}]}


@pytest.fixture(autouse=True)
def fresh(settings) -> None:
    for function in (tools, template_digest):
        function.cache_clear()


def test_order_of_keys_does_not_matter() -> None:
    other = {"sections": [{"data": {"b": 2, "a": 1}, "template": "print/section.html"}]}
    assert fingerprint_of(**PARTS) == fingerprint_of(**other)


def test_order_of_sections_matters() -> None:
    one, two = PARTS["sections"][0], {"template": "print/contents.html", "data": {}}
    assert fingerprint_of(sections=[one, two]) != fingerprint_of(sections=[two, one])


def test_not_a_number_is_refused() -> None:
    with pytest.raises(ValueError, match="JSON"):
        canonical({"a": float("inf")})


@pytest.fixture
def template(settings, tmp_path: Path) -> Path:
    ours = settings.TEMPLATES[0]
    settings.TEMPLATES = [{**ours, "DIRS": [tmp_path, *ours["DIRS"]]}]
    (tmp_path / "outer.html").write_text('{% extends "middle.html" %}{% include "part.html" %}')
    (tmp_path / "middle.html").write_text("{% block a %}{% endblock %}")
    (tmp_path / "part.html").write_text('{% include "part.html" %}')
    return tmp_path


@pytest.mark.parametrize("name", ["outer.html", "middle.html", "part.html"])
def test_every_template_taking_part_counts(template: Path, settings, name: str) -> None:
    before = template_digest("outer.html")
    (template / name).write_text((template / name).read_text() + "x")
    settings.TEMPLATES = [dict(settings.TEMPLATES[0])]  # forgets the loaded templates
    template_digest.cache_clear()
    assert template_digest("outer.html") != before


@pytest.mark.parametrize("package", ["weasyprint", "pydyf", "fontpkg-ibm-plex-mono"])
def test_renderer_and_fonts_count(monkeypatch, package: str) -> None:
    before = fingerprint_of(**PARTS)
    real = fingerprint.version
    monkeypatch.setattr(
        fingerprint, "version", lambda name: "99" if name == package else real(name)
    )
    tools.cache_clear()
    assert fingerprint_of(**PARTS) != before
    monkeypatch.undo()
    tools.cache_clear()


def test_style_sheet_and_filters_count() -> None:
    assert {"print.css", "units.py", "printing.py"} <= set(tools())
