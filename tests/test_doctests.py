"""Examples in the calculation code run, and every formula has one, with its source."""

import doctest
import inspect
from importlib import import_module
from pathlib import Path
from types import ModuleType

import pytest

PROJECT = Path(__file__).resolve().parent.parent
ROOMS = ("jobs/electrical", "jobs/weight", "jobs/controls")
FORMULAS = [
    *("jobs.electrical.ac", "jobs.electrical.battery", "jobs.electrical.conductor"),
    *("jobs.electrical.current", "jobs.electrical.protection", "jobs.electrical.voltage_drop"),
]


def _modules() -> list[str]:
    paths = [path for room in ROOMS for path in (PROJECT / room).rglob("*.py")]
    paths.append(PROJECT / "jobs" / "findings.py")
    names = [".".join(path.relative_to(PROJECT).with_suffix("").parts) for path in sorted(paths)]
    return [name for name in names if not name.endswith("__init__")]


@pytest.mark.parametrize("name", _modules())
def test_examples_hold(name: str) -> None:
    assert doctest.testmod(import_module(name)).failed == 0


def _functions(module: ModuleType) -> list[str]:
    return [
        name
        for name, item in vars(module).items()
        if inspect.isfunction(item)
        and item.__module__ == module.__name__
        and not name.startswith("_")
    ]


@pytest.mark.parametrize("name", FORMULAS)
def test_every_formula_has_an_example_and_a_source(name: str) -> None:
    module = import_module(name)
    for function in _functions(module):
        text = inspect.getdoc(getattr(module, function)) or ""
        assert ">>> " in text, f"{name}.{function} has no example"
        assert "Source: " in text, f"{name}.{function} names no source"
