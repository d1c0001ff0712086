"""The simulator: a version of the control logic tried step by step."""

from typing import Any
from urllib.parse import urlencode

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.views.decorators.http import require_safe

from config.access import any_role
from jobs.build_sheet.control.address import AddressError, Asked, Situation, read, resting, written
from jobs.build_sheet.control.example import Example, example_of, play_example
from jobs.build_sheet.control.plan import plan_of
from jobs.build_sheet.control.simulation import Shown, play
from jobs.build_sheet.models import ControlLogic
from jobs.build_sheet.views import page
from jobs.controls.codec import from_json
from jobs.controls.logic import Logic
from jobs.controls.order import LogicError


def kept_or_404(number: str, version: str) -> ControlLogic:
    rows = ControlLogic.objects.select_related("job__agency")
    return get_object_or_404(rows, job__number=number, version=version)


@require_safe
@any_role
def logic_simulator(request: HttpRequest, number: str, version: str) -> HttpResponse:
    """One situation of the logic; the address holds all of it, so that it can be passed on."""
    kept = kept_or_404(number, version)
    logic = from_json(kept.logic)
    query = {key: value.strip() for key, value in request.GET.items()}
    example, step = None, 0
    if "example" in query:
        example, step = _example(logic, query)
    problem = ""
    try:
        shown = play_example(logic, example, step) if example else play(logic, read(logic, query))
    except (AddressError, LogicError) as error:
        problem = str(error)
        shown = play(logic, Asked(before=Situation(settings=resting(logic))))
    context = _simulated(kept, logic, shown) | {"problem": problem, "step": step}
    if example:
        context |= _steps(example, step)
    status = 422 if problem else 200
    return page(request, kept.job, "control/logic_simulator", status=status, **context)


def _simulated(kept: ControlLogic, logic: Logic, shown: Shown) -> dict[str, Any]:
    plan, unplaced = plan_of(kept.job, logic, shown)
    after = written(logic, shown.after)
    return {
        "kept": kept,
        "shown": shown,
        "plan": plan,
        "unplaced": unplaced,
        "after": after,
        "restart": urlencode({"at": after["at"]}) if "at" in after else "",
        "jumps": (("1", "1 s"), ("10", "10 s"), ("60", "1 min"), ("600", "10 min")),
        "driven": [each for each in shown.outputs if not each.is_internal],
        "internal": [each for each in shown.outputs if each.is_internal],
    }


def _example(logic: Logic, query: dict[str, str]) -> tuple[Example, int]:
    """The counterexample that is asked for and its step; 404 when there is no such thing."""
    example = example_of(logic, query["example"])
    step = query.get("step", "1")
    if example is None or not (step.isascii() and step.isdecimal() and len(step) < 4):
        raise Http404("There is no counterexample of this name to step through.")
    if not 1 <= int(step) <= max(example.steps, 1):
        raise Http404(f"This counterexample has {example.steps} steps.")
    return example, int(step)


def _steps(example: Example, step: int) -> dict[str, Any]:
    name = example.interlock.name
    return {
        "example": example,
        "previous": urlencode({"example": name, "step": step - 1}) if step > 1 else "",
        "next": urlencode({"example": name, "step": step + 1}) if step < example.steps else "",
    }
