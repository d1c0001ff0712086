"""Calculation code stands alone: importing it loads no framework, in a fresh interpreter."""

import json
import subprocess
import sys
import tomllib
from pathlib import Path

import pytest

PROJECT = Path(__file__).resolve().parent.parent
STRANGERS = ("django", "celery", "weasyprint", "redis", "catalog", "inspections", "config")
LOAD = """
import importlib, json, pkgutil, sys
name, strangers = sys.argv[1], sys.argv[2:]
found = importlib.import_module(name)
loaded = [name]
for part in pkgutil.walk_packages(getattr(found, "__path__", []), name + "."):
    importlib.import_module(part.name)
    loaded.append(part.name)
print(json.dumps([loaded, [one for one in strangers if one in sys.modules]]))
"""


def _pure() -> list[str]:
    tools = tomllib.loads((PROJECT / "pyproject.toml").read_text())["tool"]
    name = "Calculation code knows no framework, table, clock or disk"
    contracts = tools["importlinter"]["contracts"]
    return next(one for one in contracts if one["name"] == name)["source_modules"]


@pytest.mark.parametrize("name", _pure())
def test_pure_package_loads_no_stranger(name: str) -> None:
    done = subprocess.run(
        [sys.executable, "-c", LOAD, name, *STRANGERS],
        cwd=PROJECT,
        capture_output=True,
        text=True,
    )
    assert done.returncode == 0, done.stderr
    loaded, strangers = json.loads(done.stdout)
    assert loaded
    assert strangers == []


def test_web_process_does_not_load_the_renderer() -> None:
    """The renderer is large; only the worker needs it."""
    code = (
        "import config.wsgi, sys; from django.urls import get_resolver;"
        "get_resolver().url_patterns; print('weasyprint' in sys.modules)"
    )
    done = subprocess.run([sys.executable, "-c", code], cwd=PROJECT, capture_output=True, text=True)
    assert done.returncode == 0, done.stderr
    assert done.stdout.strip() == "False"
