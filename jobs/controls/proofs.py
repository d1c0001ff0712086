"""The two entry points of the proof floor: judge every interlock, list every test step."""

from jobs.controls.logic import Interlock, Logic
from jobs.controls.model import Model
from jobs.controls.prove import prove
from jobs.controls.results import Result


def prove_all(logic: Logic) -> list[tuple[Interlock, Result]]:
    """Every interlock with its result, in the order of the logic."""
    models: dict[float, Model] = {}
    results = []
    for interlock in logic.interlocks:
        if interlock.allow_s not in models:
            models[interlock.allow_s] = Model(logic, allow_s=interlock.allow_s)
        results.append((interlock, prove(models[interlock.allow_s], interlock)))
    return results
