"""The repository's own content: what it may hold and what must be said in it."""

import re
import subprocess
from pathlib import Path

import pytest

PROJECT = Path(__file__).resolve().parent.parent
# Written in parts, so that this file does not hold them itself.
FORBIDDEN = {
    "unfinished work": r"\b(?:TO" r"DO|FIX" r"ME|X" r"XX|HA" r"CK)\b",
    "a machine's path": r"(?<![\w.])/(?:wo" r"rk|ro" r"ot|ho" r"me/\w+|Us" r"ers/\w+)/",
    "a registry's address": r"(?:py" r"pi\.org|python" r"hosted|npm" r"js\.(?:com|org))",
    "a content network": r"(?:cdn\.|un" r"pkg\.com|js" r"delivr|google" r"apis)",
    "where the work came from": r"\b(?:chat"
    r"gpt|open"
    r"ai|anth"
    r"ropic|cl"
    r"aude|co"
    r"pilot)\b",
}
TEXT = {".py", ".html", ".css", ".js", ".md", ".txt", ".toml", ".json", ".csv", ".svg", ".yaml"}


def _tracked() -> list[Path]:
    listed = subprocess.run(
        ["git", "ls-files", "-z"], cwd=PROJECT, capture_output=True, text=True, check=True
    ).stdout.split("\0")
    found = [PROJECT / name for name in listed if name]
    return [path for path in found if path.is_file()]


@pytest.mark.parametrize("what", FORBIDDEN)
def test_repository_holds_no(what: str) -> None:
    pattern = re.compile(FORBIDDEN[what], re.IGNORECASE if "came" in what else 0)
    hits = [
        f"{path.relative_to(PROJECT)}:{number}: {line.strip()[:100]}"
        for path in _tracked()
        if path.suffix in TEXT or path.name in ("Makefile", "Procfile", "run")
        for number, line in enumerate(path.read_text(encoding="utf-8").splitlines(), 1)
        if pattern.search(line)
    ]
    assert hits == []


def test_top_level_stays_as_agreed() -> None:
    agreed = {
        *("README.md", "DEVELOPERS.md", "manage.py", "requirements.txt", "pyproject.toml"),
        *("Makefile", "Procfile", ".ci", ".gitignore", "LICENSE"),
        *("config", "catalog", "jobs", "inspections", "templates", "tests"),
    }
    assert {path.relative_to(PROJECT).parts[0] for path in _tracked()} <= agreed


def _requirements() -> list[str]:
    lines = (PROJECT / "requirements.txt").read_text().splitlines()
    return [line for line in lines if line.strip() and not line.startswith("#")]


def test_every_requirement_is_pinned_and_says_why() -> None:
    shape = re.compile(r"^[A-Za-z0-9_.-]+(\[[a-z,]+\])?==[\w.]+(; [^#]+)?\s+# \S.{9,}$")
    assert [line for line in _requirements() if not shape.match(line)] == []


def test_every_requirement_names_files_that_exist() -> None:
    """A comment that points at a moved file misleads the next reader."""
    places = re.compile(r"(?:config|jobs|catalog|inspections|templates|tests)/[\w/.]+")
    missing = [
        f"{line.split('==')[0]}: {name}"
        for line in _requirements()
        for name in places.findall(line)
        if not (PROJECT / name.rstrip(".")).exists()
    ]
    assert missing == []


def test_repository_holds_no_large_file() -> None:
    """Half a megabyte is enough for any source or table; pictures and prints are made, not kept."""
    large = [path.name for path in _tracked() if path.stat().st_size > 500_000]
    assert large == []
