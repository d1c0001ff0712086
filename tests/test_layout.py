"""Tests mirror the tree, and files stay short enough to be read in one sitting."""

import subprocess
from pathlib import Path

import pytest

PROJECT = Path(__file__).resolve().parent.parent
LONGEST = 250
LONGEST_TEST = 400
# Files that may be longer, each with its own limit and the reason.
LONGER = {
    "inspections/checklists/standard.py": 350,  # a table: every check the shop makes by default
}


def _tracked(*patterns: str) -> list[Path]:
    listed = subprocess.run(
        ["git", "ls-files", "--cached", "--others", "--exclude-standard", "-z", *patterns],
        cwd=PROJECT,
        capture_output=True,
        text=True,
        check=True,
    ).stdout.split("\0")
    return [Path(name) for name in listed if name and (PROJECT / name).exists()]


MIRRORED = [path for path in _tracked("tests/*/*test_*.py") if path.name.startswith("test_")]


@pytest.mark.parametrize("path", MIRRORED, ids=str)
def test_module_has_a_source_twin(path: Path) -> None:
    source = PROJECT / path.relative_to("tests").parent / path.name.removeprefix("test_")
    assert source.exists() or source.with_suffix("").is_dir(), f"{path} tests no {source}"


def _lines(path: Path) -> int:
    return len((PROJECT / path).read_text(encoding="utf-8").splitlines())


def _limit(path: Path) -> int:
    if str(path) in LONGER:
        return LONGER[str(path)]
    return LONGEST_TEST if path.parts[0] == "tests" else LONGEST


def test_files_are_short() -> None:
    written = [path for path in _tracked("*.py", "*.html") if "migrations" not in path.parts]
    long = {str(path): _lines(path) for path in written if _lines(path) > _limit(path)}
    assert long == {}


def test_exceptions_are_still_needed() -> None:
    needless = [name for name in LONGER if _lines(Path(name)) <= LONGEST]
    assert needless == []


def test_package_markers_are_empty() -> None:
    """Importing jobs.electrical runs jobs/__init__.py, so a marker must not import anything."""
    markers = [path for path in _tracked("*/__init__.py") if path.parts[0] in ("catalog", "jobs")]
    full = [str(path) for path in markers if len(path.parts) <= 3 and _lines(path)]
    assert full == []
